"""What a lesson tells is said in the window without command lines, and in German; the notes are the lesson's own."""

import inspect
import re
from datetime import date

import pytest

from review.app.language import load_words, speak
from review.app.live.told import _SENTENCES, say_told
from review.app.pupils.words import say_purpose
from review.jobs.live import coach, intake, session
from review.jobs.records import note_missing_consent
from review.lesson import Consent, Handedness, Pupil, Purpose


@pytest.fixture(autouse=True)
def _english_after():
    yield
    speak("en")


@pytest.mark.parametrize("is_minor", [False, True])
def test_missing_consent_speaks_of_the_pupils_page(is_minor):
    pupil = Pupil("p", "Pat Example", Handedness.RIGHT, is_minor=is_minor)
    (note,) = note_missing_consent(pupil, date(2026, 3, 14))
    assert "--" in note
    said = say_told(note)
    assert "Pat Example" in said
    assert "note it with A" in said
    for purpose in (Purpose.KEEP, Purpose.MEASURE, Purpose.SHARE):
        assert say_purpose(purpose) in said  # as the form says it
    assert "--" not in said
    speak("de")
    assert "Einwilligung" in say_told(note)


def test_a_refusal_is_told_and_nobody_is_asked_again():
    refused = Consent("Pat Example", date(2026, 3, 14), frozenset())
    (note,) = note_missing_consent(Pupil("p", "Pat Example", Handedness.RIGHT, consent=refused), date(2026, 3, 14))
    assert say_told(note) == note == "Pat Example refused consent on 2026-03-14: nothing is measured or handed out."
    speak("de")
    assert "abgelehnt" in say_told(note)


def test_body_numbers_without_consent():
    said = say_told(f"No body numbers: Pat has not consented to being measured. {session._CONSENT}")
    assert said.startswith("No body numbers: Pat has not agreed")
    assert "Ctrl-C" not in said
    assert "lesson-review" not in said


def test_every_sentence_has_its_german():
    assert {sentence for _, sentence in _SENTENCES} <= set(load_words("de"))


def test_words_that_can_be_taken_back_are_those_of_the_coach():
    source = inspect.getsource(coach)
    names = re.findall(r'_key\("(.+?)"\)|KeyDone\("(.+?)"|, f?"((?:the|what|whether) .+?)"\)', source)
    speak("de")
    found = [next(filter(None, name)).replace("{swing.order}", "7") for name in names]
    assert len(found) >= 7
    assert all(say_told(name) != name for name in found), found


def test_what_is_not_known_is_said_as_it_came():
    assert say_told("Something else.") == "Something else."
    assert "lesson-review" in inspect.getsource(intake)  # what would reach the window without these words
