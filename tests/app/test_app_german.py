"""A German window on the sample lesson: no English sentence on any page, but for the coach's own words."""

import re

import pytest
from PyQt5.QtCore import Qt
from PyQt5.QtTest import QTest
from said_texts import list_said, record_painted
from waiting import PATIENCE_MS

from review.app.language import speak
from review.app.look.choice import Choice
from review.app.sentences import say_sentences
from review.compare.remarks import find_remarks
from review.compare.samples import Sample
from review.errors import ReviewError
from review.jobs.sample import find_sample_lesson
from review.media.sound_devices import _explain
from review.media.voice_file import read_voice
from review.shots.flight import say_why

ENGLISH = re.compile(
    r"\b(the|and|of|not|swings?|is|are|to|for|with|it|this|that|from|no|be|by|or|on|at|batch|batches|shots?|rows?|"
    r"than|while|because|there|they|you|your|its|has|have|once|only)\b"
)


@pytest.fixture(autouse=True)
def _english_after():
    yield
    speak("en")


def left_english(said, own):
    """Texts with an English function word that is not in the coach's own text."""
    found = set()
    for text in said:
        rest = " ".join(text.split())
        for words in own:
            rest = rest.replace(words, "")
        lines = [line.strip("„“”… ") for line in re.split(r"[·:;\n]|, ", rest)]
        found |= {text for line in lines if ENGLISH.search(line) and not any(line in words for words in own)}
    return found


def test_no_page_of_the_lesson_speaks_english(qtbot, monkeypatch, open_lesson, sample_library):
    window = open_lesson(sample_library)
    window.choose_look(Choice(language="de"))
    painted, state = record_painted(monkeypatch), window.state

    def settle():
        qtbot.waitUntil(lambda: not len(state.line), timeout=PATIENCE_MS)

    with qtbot.waitSignal(state.comparison_changed, timeout=PATIENCE_MS):
        state.open_lesson(state.pupils[0].lessons[0].id)
    shown, said, named = state.lesson, set(), set()
    own = [text for batch in shown.lesson.batches for text in (batch.cue, batch.feel, batch.target) if text]
    own += [shown.lesson.aim, *(clip.original_name for swing in shown.swings for clip in swing.clips)]
    own += [swing.left_out for swing in shown.swings if swing.left_out] + [shown.pupil.name, str(state.library)]

    def look(name, page=None):
        settle()
        (page or window).grab()
        said.update(list_said(page or window.pages.currentWidget()), list_said(window.status), painted)
        named.add(name)

    look("chart")
    for key in shown.keys:
        state.choose_measures([key])
        look("chart")
    for swing in shown.swings:
        state.choose_swing(swing.id)
        look("chart")
    window.chart.put_right()
    look("put right")
    state.open_swing(next(swing.id for swing in shown.swings if swing.clips))
    qtbot.waitUntil(lambda: window.swing_page.is_ready, timeout=PATIENCE_MS)
    look("swing")
    pair = window.two_swings.show_page()
    qtbot.waitUntil(lambda: pair.is_ready, timeout=PATIENCE_MS)
    for _ in shown.keys:
        QTest.keyClick(pair, Qt.Key.Key_M)
        look("pair")
    for name in ("balls", "handing_out", "questions", "cautions", "reading_errors", "settings"):
        window.others.show(name)
        look(name)
    page = window.others.show("pupil")
    page.open_pupil(shown.pupil.id)
    look("pupil")
    view = window.two_swings.show_view()
    for _ in range(7):
        QTest.keyClick(view, Qt.Key.Key_PageDown)
        look("pupil view", view)
    view.leave()
    assert len(said) > 300
    assert len(named) == 12
    assert left_english(said, own) == set()


def test_remarks_with_numbers_and_names_inside_are_german():
    """Every kind of remark, made by the functions that make them."""
    drifting, level, odd = (2.0, 3.1, 4.0, 5.2, 6.1, 7.0, 8.2), (1.0, 1.2, 0.9, 1.1, 1.0, 0.8, 1.1), (9.0, *([1.0] * 6))
    speak("de")
    remarks = {
        text
        for first, last in ((drifting, level), (level, drifting), (level, odd), (drifting[::-1], level))
        for text in find_remarks("club_path_deg", Sample(first), Sample(last))
    }
    assert len(remarks) > 3
    assert left_english({say_sentences(text) for text in remarks}, ()) == set()


def test_why_a_ball_flew_as_it_did_is_german():
    from itertools import product

    from review.lesson import Handedness

    speak("de")
    whys = {
        say_why(
            {
                "club_path_deg": path,
                "face_angle_deg": face,
                "face_to_path_deg": face - path,
                "launch_direction_deg": start,
                "spin_axis_deg": axis,
                "strike_across_mm": strike,
            },
            Handedness.RIGHT,
        )
        for path, face, start, axis, strike in product((-4, 0, 5), (-3, 0, 4), (-9, 0, 3), (-8, 0, 8), (-12, 12))
    }
    assert len(whys) > 50
    assert left_english({say_sentences(why) for why in whys}, ()) == set()


def test_the_coach_s_words_inside_a_sentence_stay_as_they_are():
    speak("de")
    said = say_sentences(
        "club: left and right in the first batch, 7i in the last; another club changes path, attack and speed by itself"
    )
    assert said == (
        "Schläger: left and right in der ersten Serie, 7i in der letzten; "
        "ein anderer Schläger ändert Weg, Eintreffwinkel und Tempo von selbst"
    )
    assert say_sentences("My own words, and not the program's.") == "My own words, and not the program's."
    speak("en")
    assert say_sentences("you said it has no row.") == "you said it has no row."


def test_what_voices_and_talks_say_is_german():
    whys = ("device unavailable", "Error querying device -1", "odd")
    go_on = "Everything else goes on; words can be typed."
    with pytest.raises(ReviewError) as damaged:
        read_voice(find_sample_lesson())
    said = [
        str(damaged.value),
        *(str(_explain(Exception(why), device)) for device in ("microphone", "loudspeaker") for why in whys),
        f"The package sounddevice is not installed; install the tool again. {go_on}",
        f"Voice needs the sound library PortAudio, which is missing on this computer; install it. {go_on}",
        "The voice could not be written to D:/lessons: disk is full. Make room, then again.",
        "That voice is no longer in the library.",
        "The microphone gave no sound and nothing was noted, so nothing is kept.",
        "The log of a talk over a clip is damaged; take it off and talk anew.",
        "Talk 2 over a clip is left out: consent to keep and share the voice is not on record.",
        "Talk 2 over a clip is left out: a clip of it is no longer in this lesson.",
        "Talk 2 over a clip is left out: the player was not found, so the face cannot be covered",
    ]
    speak("de")
    own = ("odd", "disk is full", find_sample_lesson().name)
    assert left_english({say_sentences(text) for text in said}, own) == set()
