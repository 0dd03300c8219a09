"""A coach's talk over a clip: kept with its log, rendered with consent, left out without, taken off, brought back."""

from dataclasses import replace
from datetime import date
from pathlib import Path

import numpy as np
import pytest

from review.errors import BadInputError
from review.jobs.handing_out.privacy import settle_privacy
from review.jobs.handing_out.talks import render_talks
from review.jobs.talking_over import (
    Spoken,
    keep_talk_over,
    remove_talk_over,
    restore_talk_over,
)
from review.lesson import Clip, Consent, Drawing, DrawingKind, Handedness, Lesson, Moment, Pupil, Purpose
from review.library import Library
from review.media import Audio, VideoWriter, probe_video, read_audio, read_voice
from tests.made_voices import RATE_HZ, speak

LINE = Drawing("d", DrawingKind.LINE, ((0.1, 0.5), (0.4, 0.5)), 0.0, 9.0, accent=1)
MOMENTS = (
    Moment(0, "c", 0),
    Moment(4000, "c", 3, speed=0.25, drawings=(LINE,)),
    Moment(9000, "c", 1, view=(0.1, 0.2, 0.6, 0.7), note="heel"),
)


@pytest.fixture
def folder(tmp_path) -> Path:
    with VideoWriter(tmp_path / "clip.mp4", 160, 90, 60) as writer:
        for n in range(6):
            writer.write(np.full((90, 160, 3), 40 * n, np.uint8))
    consent = Consent("Pat Example", date(2026, 1, 1), frozenset(Purpose))
    with Library.open(tmp_path / "library") as library:
        library.add_pupil(Pupil("p", "Pat Example", Handedness.RIGHT, consent=consent))
        library.add_lesson(Lesson("l", "p", date(2026, 3, 14)))
        sha256, file = library.store_clip_file(tmp_path / "clip.mp4")
        library.add_clip("l", Clip("c", sha256, file, "clip.mp4", n_frames=6, duration_s=0.1))
    return tmp_path / "library"


def keep(folder, seconds=2.0):
    return keep_talk_over(folder, "l", Spoken(MOMENTS, Audio(speak(seconds), RATE_HZ, 0.0)))


def render_talks_in(folder, lesson_id, to, cover_faces):
    """As the take-home does, with today's consent to share."""
    with Library.open(folder) as library:
        pupil = library.pupil(library.lesson(lesson_id).pupil_id)
        return render_talks(library, lesson_id, to, settle_privacy(pupil, date.today(), cover_faces))


def test_kept_whole_rendered_and_rendered_again(folder, tmp_path):
    talk = keep(folder)
    with Library.open(folder) as library:
        assert library.talk_overs("l") == (talk,)
        assert talk.moments == MOMENTS
        voice = read_voice(library.path_of_voice(library.voice(talk.voice_id)))
        np.testing.assert_allclose(voice.samples, speak(2.0), atol=1e-4)
    for _ in range(2):
        videos, notes = render_talks_in(folder, "l", tmp_path, cover_faces=False)
        assert ([video.file_name for video in videos], notes) == (["01-talk-over-a-clip.mp4"], ())
    assert probe_video(tmp_path / "01-talk-over-a-clip.mp4").n_frames == 60
    assert read_audio(tmp_path / "01-talk-over-a-clip.mp4").duration_s == pytest.approx(2.0, abs=0.1)


def test_notes_without_a_voice_and_nothing_at_all(folder, tmp_path):
    talk = keep_talk_over(folder, "l", Spoken((Moment(0, "c", 0), Moment(700, "c", 2, note="heel")), None, 1.5))
    assert (talk.voice_id, talk.rate_hz, talk.n_samples) == ("", 1000, 1500)
    muted = Audio(np.zeros(RATE_HZ, np.float32), RATE_HZ, 0.0)
    with pytest.raises(BadInputError, match="nothing was noted"):
        keep_talk_over(folder, "l", Spoken((Moment(0, "c", 0),), muted))
    videos, _ = render_talks_in(folder, "l", tmp_path, cover_faces=False)
    assert read_audio(tmp_path / videos[0].file_name) is None
    assert videos[0].notes == ("0:00 heel",)


def test_without_consent_a_talk_is_left_out_or_refused(folder, tmp_path):
    keep(folder)
    with Library.open(folder) as library:
        pupil = library.pupil("p")
        shared = replace(pupil.consent, purposes=frozenset({Purpose.SHARE}))
        library.update_pupil(replace(pupil, consent=shared))
        privacy = settle_privacy(library.pupil("p"), date.today())
        videos, notes = render_talks(library, "l", tmp_path, privacy, first_number=3)
        assert videos == ()
        assert "consent" in notes[0]
    videos, notes = render_talks_in(folder, "l", tmp_path, cover_faces=True)
    assert videos == ()
    with Library.open(folder) as library:
        library.update_pupil(replace(library.pupil("p"), consent=None))
    with pytest.raises(BadInputError, match="consent to share"):
        render_talks_in(folder, "l", tmp_path, cover_faces=False)


def test_a_face_that_cannot_be_covered_leaves_the_talk_out(folder, tmp_path):
    keep(folder)
    videos, notes = render_talks_in(folder, "l", tmp_path, cover_faces=True)
    assert videos == ()
    assert "left out" in notes[0]


def test_taken_off_brought_back_and_forgotten(folder):
    talk = keep(folder)
    remove_talk_over(folder, talk)
    with Library.open(folder) as library:
        assert library.talk_overs("l") == ()
    restore_talk_over(folder, "l", talk)
    with Library.open(folder) as library:
        assert library.talk_overs("l") == (talk,)
        library.forget_pupil("p")
    assert list((folder / "voice").iterdir()) == []
