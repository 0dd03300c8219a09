"""What other rooms say, in German; every page of the window is walked in test_app_every_page."""

import pytest
from said_texts import left_english

from review.app.language import speak
from review.app.look.number_axis import NumberAxis
from review.app.sentences import say_sentences
from review.compare.remarks import find_remarks
from review.compare.samples import Sample
from review.errors import ReviewError
from review.jobs.handing_out.noting import BEGUN
from review.jobs.handing_out.privacy import NO_BODY
from review.jobs.sample import find_sample_lesson
from review.media.sound_devices import _NOTHING, _explain
from review.media.voice_file import read_voice
from review.shots.flight import say_why


@pytest.fixture(autouse=True)
def _english_after():
    yield
    speak("en")


def test_numbers_on_an_axis_have_a_comma(qapp):
    speak("de")
    assert NumberAxis("left").tickStrings([0.0, 0.5, 1.0], 1.0, 0.5) == ["0", "0,5", "1,0"]
    speak("en")
    assert NumberAxis("left").tickStrings([0.0, 0.5, 1.0], 1.0, 0.5) == ["0", "0.5", "1.0"]


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
        *(
            f"{_NOTHING} {what} {go_on}"
            for what in ("Install the tool again.", "Install the tool again: it brings that part.")
        ),
        f"{_NOTHING} Ask whoever looks after it to install libportaudio2. {go_on}",
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


def test_what_was_handed_over_is_german():
    whats = (
        "take-home in out",
        "take-home in out, faces covered",
        "whole lesson in out.zip",
        "numbers and points in out",
    )
    whats += ("1 talk in out", "2 talks in out", "talks in out")
    said = [f"{what}{begun}, to Jo Example on 2026-03-14" for what in whats for begun in ("", f" ({BEGUN})")]
    speak("de")
    assert left_english({say_sentences(text) for text in said}, ("out.zip", "out", "Jo Example")) == set()


@pytest.mark.parametrize("view", ["Face on", "Down the line"])
def test_what_a_take_home_lacks_is_german(view):
    again = "Run: lesson-review measure --lesson 4b3f4310; then takehome again."
    said = [
        NO_BODY,
        "1 swing of 2 measured quickly, the others thoroughly: changes between them are told less surely. "
        "Measure all of them thoroughly, without --quick.",
        f"{view} not beside each other: swing 4 was not filmed from there; --swings takes others.",
        f"{view} not beside each other: no impact is known there in swing 17. {again}",
        f"{view} not beside each other: no impact is known there in swings 5 and 17. {again}",
    ]
    speak("de")
    assert left_english({say_sentences(text) for text in said}, ()) == set()
