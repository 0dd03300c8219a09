"""A German window on the sample lesson: no English sentence on any page, but for the coach's own words."""

import re
import shutil

import pytest
from page_walk import walk_live, walk_pages
from said_texts import left_english, list_said, record_painted
from waiting import PATIENCE_MS

from review.app.language import speak
from review.app.look.choice import Choice
from review.app.look.number_axis import NumberAxis
from review.app.other_pages import PAGES
from review.app.sentences import say_sentences
from review.app.voice import recorder
from review.compare.remarks import find_remarks
from review.compare.samples import Sample
from review.errors import ReviewError
from review.jobs.sample import find_sample_lesson
from review.library import Library
from review.media.sound_devices import _NOTHING, _explain
from review.media.voice_file import read_voice
from review.shots.flight import say_why
from tests.made_voices import MadeDevices


@pytest.fixture(autouse=True)
def _english_after():
    yield
    speak("en")


POINT = re.compile(r"\d\.\d")


@pytest.fixture
def walked(qtbot, open_lesson, sample_library, tmp_path, monkeypatch):
    """A German window on a copy of the sample lesson, a microphone at hand."""
    monkeypatch.setattr(recorder, "open_devices", MadeDevices)
    window = open_lesson(shutil.copytree(sample_library, tmp_path / "library"))
    window.choose_look(Choice(language="de"))
    with qtbot.waitSignal(window.state.comparison_changed, timeout=PATIENCE_MS):
        window.state.open_lesson(window.state.pupils[0].lessons[0].id)
    return window


def look_at(window, steps, painted, named):
    """Everything that is said on the way, each text with the page it was said on first."""
    said = {}
    for name, page in steps:
        page.grab()
        on = window.pages.currentWidget() if page is window else page
        new = list_said(on) | list_said(window.status) | list_said(window.bar) | painted
        said = {**dict.fromkeys(new, name), **said}
        named.add(name)
        painted.clear()
    return said


def test_no_page_of_the_lesson_speaks_english(qtbot, monkeypatch, walked):
    shown, painted = walked.state.lesson, record_painted(monkeypatch)
    own = [text for batch in shown.lesson.batches for text in (batch.cue, batch.feel, batch.target) if text]
    own += [*shown.lesson.practice_plan, shown.lesson.check_alone, shown.lesson.aim, *(clip.original_name for swing in shown.swings for clip in swing.clips)]
    own += [swing.left_out for swing in shown.swings if swing.left_out] + [shown.pupil.name, str(walked.state.library)]
    own += [pupil.pupil.name for pupil in walked.state.pupils]
    table = find_sample_lesson().parent / "shots.csv"
    own += [table.name, *table.read_text(encoding="utf-8").split("\n", 1)[0].split(",")]
    said = look_at(walked, walk_pages(qtbot, walked), painted, named := set())
    assert set(PAGES) <= named
    assert len(said) > 600
    assert {text: said[text] for text in left_english(said, own)} == {}
    assert {text: said[text] for text in filter(POINT.search, said)} == {}


def test_a_lesson_that_goes_on_speaks_no_english(qtbot, monkeypatch, open_window, tmp_path):
    clips = tmp_path / "clips"
    clips.mkdir()
    Library.open(tmp_path / "library").close()
    window = open_window(tmp_path / "library")
    window.choose_look(Choice(language="de"))
    painted = record_painted(monkeypatch)
    said = look_at(window, walk_live(qtbot, window, str(clips)), painted, named := set())
    assert named == {"begin", "live"}
    assert {text: said[text] for text in left_english(said, [str(tmp_path)])} == {}


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
