"""Cue and feel spoken: with consent, undone and done again, moved with their batch, withdrawn."""

from dataclasses import replace
from datetime import date

import numpy as np
import pytest

from review.errors import BadInputError
from review.jobs.correcting import put_voice
from review.jobs.lesson_file import PupilPlan
from review.jobs.moving.swings import move_swings
from review.jobs.pupils import withdraw_consent
from review.jobs.showing.lesson import show_lesson
from review.jobs.undoing import redo, undo
from review.jobs.voices import check_may_speak_in, load_voice_in
from review.lesson import Batch, Consent, Handedness, Lesson, Pupil, Purpose, Shot, Swing, VoiceOf
from review.library import Library
from review.media import Audio
from tests.made_voices import RATE_HZ, speak

ALL = Consent("Pat Example", date(2026, 1, 1), frozenset(Purpose))
DAY = date(2026, 3, 14)


def spoken(seconds=1.5, pitch_hz=220.0):
    return Audio(speak(seconds, pitch_hz=pitch_hz), RATE_HZ, 0.0)


@pytest.fixture
def folder(tmp_path):
    with Library.open(tmp_path / "library") as library:
        library.add_pupil(Pupil("p", "Pat Example", Handedness.RIGHT, consent=ALL))
        library.add_pupil(Pupil("q", "Kim Example", Handedness.RIGHT))
        batches = (Batch("l-1", 1, cue="tall"), Batch("l-2", 2, feel="slow"))
        library.add_lesson(Lesson("l", "p", DAY, batches=batches))
        rows = [Shot(f"r{n}", n, "shots.csv", {"club_path_deg": float(n)}) for n in (1, 2)]
        library.add_shots("l", rows)
        library.replace_swings("l", [Swing(f"s{n}", n, shot=rows[n - 1], batch_id=f"l-{n}") for n in (1, 2)])
    return tmp_path / "library"


def test_spoken_played_recorded_anew_taken_off_and_undone(folder):
    with Library.open(folder) as library:
        first = put_voice(library, "l", "l-1", VoiceOf.CUE, spoken(1.5))
        again = put_voice(library, "l", "l-1", VoiceOf.CUE, spoken(2.5))
        feel = put_voice(library, "l", "l-2", VoiceOf.FEEL, spoken(1.0))
        assert first.lesson_id == again.lesson_id == feel.lesson_id == "l"
    shown = show_lesson(folder, "l")
    assert {key: voice.duration_s for key, voice in shown.voices.items()} == {
        ("l-1", VoiceOf.CUE): 2.5,
        ("l-2", VoiceOf.FEEL): 1.0,
    }
    assert shown.lesson.batches[0].cue == "tall"  # the words stay beside it
    played = load_voice_in(folder, "l", "l-1", VoiceOf.CUE)
    np.testing.assert_allclose(played.samples, spoken(2.5).samples, atol=1e-4)
    with Library.open(folder) as library:
        off = put_voice(library, "l", "l-2", VoiceOf.FEEL, None)
        assert set(library.voices("l")) == {("l-1", VoiceOf.CUE)}
        undo(library, off)
        undo(library, again)
        assert {v.duration_s for v in library.voices("l").values()} == {1.5, 1.0}
        redo(library, again)
        redo(library, off)
        assert {v.duration_s for v in library.voices("l").values()} == {2.5}
    with pytest.raises(BadInputError, match="any longer"):
        load_voice_in(folder, "l", "l-2", VoiceOf.FEEL)


def test_without_consent_the_coach_may_speak_and_the_pupil_may_not(folder):
    with Library.open(folder) as library:
        put_voice(library, "l", "l-1", VoiceOf.FEEL, spoken(pitch_hz=300.0))
        put_voice(library, "l", "l-1", VoiceOf.CUE, spoken())
        withdraw_consent(library, "p")
        assert set(library.voices("l")) == {("l-1", VoiceOf.CUE)}
        assert len(list((folder / "voice").iterdir())) == 1
        put_voice(library, "l", "l-2", VoiceOf.CUE, spoken(2.0))
        with pytest.raises(BadInputError, match="ask Pat Example"):
            put_voice(library, "l", "l-2", VoiceOf.FEEL, spoken())
        child = Pupil("p", "Pat Example", Handedness.RIGHT, consent=ALL, is_minor=True, guardian="Sam Example")
        library.update_pupil(child)
    with pytest.raises(BadInputError, match="guardian"):
        check_may_speak_in(folder, "l", VoiceOf.FEEL)
    check_may_speak_in(folder, "l", VoiceOf.CUE)


@pytest.mark.parametrize(
    ("audio", "why"),
    [
        (spoken(0.1), "too short"),
        (Audio(np.zeros(RATE_HZ, np.float32), RATE_HZ, 0.0), "muted"),
    ],
)
def test_what_nobody_can_hear_is_not_kept(folder, audio, why):
    with Library.open(folder) as library:
        with pytest.raises(BadInputError, match=why):
            put_voice(library, "l", "l-1", VoiceOf.CUE, audio)
        with pytest.raises(BadInputError, match="no longer in this lesson"):
            put_voice(library, "l", "gone", VoiceOf.CUE, spoken())
        assert library.voices("l") == {}
    assert list((folder / "voice").iterdir()) == []


@pytest.mark.parametrize("agrees", [True, False])
def test_a_batch_moved_to_another_pupil_takes_its_voices_along(folder, agrees):
    with Library.open(folder) as library:
        if agrees:
            kim = library.pupil("q")
            library.update_pupil(replace(kim, consent=replace(ALL, given_by=kim.name)))
        put_voice(library, "l", "l-2", VoiceOf.CUE, spoken(1.0))
        put_voice(library, "l", "l-2", VoiceOf.FEEL, spoken(2.0))
        moved = move_swings(library, library.lesson("l"), [2], PupilPlan("Kim Example", Handedness.RIGHT))
        assert library.voices("l") == {}
        there = {of: voice.duration_s for (_, of), voice in library.voices(moved.lesson.id).items()}
        assert there == {VoiceOf.CUE: 1.0, **({VoiceOf.FEEL: 2.0} if agrees else {})}
        library.forget_pupil("q")
        assert list((folder / "voice").iterdir()) == []
