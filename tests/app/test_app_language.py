"""Every sentence of the window has a German one with the same places to fill."""

import ast
import re
from pathlib import Path

import pytest

import review.app
from review.app import language
from review.app.language import load_words, say_count, speak, tr
from review.app.lesson_chart.first_last import Verdict
from review.lesson import SwingKind, View

APP = Path(review.app.__file__).parent


def sentences() -> set[str]:
    found = set()
    for file in APP.rglob("*.py"):
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
            if not (isinstance(node, ast.Call) and isinstance(node.func, ast.Name)):
                continue
            said = {"tr": node.args[:1], "say_count": node.args[1:]}.get(node.func.id, [])
            found |= {
                c.value for a in said for c in ast.walk(a) if isinstance(c, ast.Constant) and isinstance(c.value, str)
            }
    return found


@pytest.fixture(autouse=True)
def _english_after():
    yield
    speak("en")


def test_every_sentence_is_in_the_german_file():
    spoken = sentences() | {one.value for one in (*SwingKind, *View)}
    spoken |= {verdict.value for verdict in Verdict if verdict is not Verdict.NOT_JUDGED}
    assert spoken - load_words("de").keys() == set()


def test_the_same_places_are_filled():
    for english, german in load_words("de").items():
        assert sorted(re.findall(r"{\w+}", english)) == sorted(re.findall(r"{\w+}", german)), english


def test_a_sentence_of_another_room_names_no_place_that_the_english_one_has_not():
    for english, german in load_words("de_sentences").items():
        places = re.findall(r"{=?\w+}", english)
        assert set(re.findall(r"{=?\w+}", german)) <= set(places), english
        assert len(set(places)) == len(places), english


def test_the_other_language_is_spoken_and_what_is_missing_stays():
    speak("de")
    assert tr("Batch {n}", n=3) == "Serie 3"
    assert say_count(1, "1 swing", "{n} swings") == "1 Schwung"
    assert tr("a sentence nobody wrote") == "a sentence nobody wrote"
    speak("en")
    assert tr("Batch {n}", n=3) == "Batch 3"


def test_a_language_nobody_speaks_is_refused():
    with pytest.raises(KeyError):
        speak("xx")


def test_who_reads_the_words_in_another_thread_keeps_whole_ones():
    speak("de")
    words, phrases, sentences = language._words, language.load_phrases(), language.load_sentences()
    before = (dict(words), dict(phrases), dict(sentences))
    speak("en")
    assert (words, phrases, sentences) == before
    assert all(before)
