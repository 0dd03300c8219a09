"""A talk over a clip as a video: voice and picture in step, measured by decoding what was written."""

import hashlib
from datetime import datetime

import numpy as np
import pytest

from review.errors import Cancelled
from review.lesson import Drawing, DrawingKind, Moment, TalkOver
from review.media import Audio, VideoWriter, probe_video, read_audio, read_frames
from review.takehome.picture_cover import PictureCover
from review.takehome.talk_over import RATE_HZ, render_talk_over
from review.takehome.talk_picture import TalkedClip

AT = datetime(2026, 3, 14, 18, 0)
VOICE_HZ = 22050


@pytest.fixture(scope="module")
def clip(tmp_path_factory):
    """Ten frames, 160 x 90: odd ones white, even ones black."""
    path = tmp_path_factory.mktemp("clip") / "clip.mp4"
    with VideoWriter(path, 160, 90, 60) as writer:
        for n in range(10):
            writer.write(np.full((90, 160, 3), 255 * (n % 2), np.uint8))
    return path


def test_voice_and_picture_stay_in_step_over_three_minutes(clip, tmp_path):
    # a click and a white picture together, at odd moments; the clip is scrubbed back and forth in between
    clicks_s = np.cumsum(np.random.default_rng(4).uniform(2.0, 9.0, 30))
    clicks_s = clicks_s[clicks_s < 178]
    voice = np.zeros(180 * VOICE_HZ, np.float32)
    moments = [Moment(0, "c", 0)]
    for n, click_s in enumerate(clicks_s):
        at = round(click_s * VOICE_HZ)
        voice[at : at + 400] = 0.8 * np.sin(2 * np.pi * 2000 * np.arange(400) / VOICE_HZ)
        moments += [Moment(at, "c", 2 * (n % 5) + 1), Moment(at + VOICE_HZ // 2, "c", 2 * ((n * 3) % 5))]
    talk = TalkOver("t", AT, VOICE_HZ, len(voice), tuple(moments), "v")
    path = tmp_path / "talk.mp4"
    n_pictures = render_talk_over(talk, {"c": TalkedClip(clip, None)}, Audio(voice, VOICE_HZ, 0.0), path)

    info = probe_video(path)
    assert n_pictures == info.n_frames == 180 * RATE_HZ
    assert path.stat().st_size < 16_000_000
    bright = np.array([frame.rgb.mean() > 128 for frame in read_frames(path)])
    seen_s = info.time_s[1:][bright[1:] & ~bright[:-1]]
    audio = read_audio(path, VOICE_HZ)
    loud = np.flatnonzero(np.abs(audio.samples) > 0.2) / VOICE_HZ + audio.start_s
    heard_s = loud[np.concatenate([[True], np.diff(loud) > 0.5])]
    assert len(seen_s) == len(heard_s) == len(clicks_s)
    assert np.abs(seen_s - heard_s).max() < 0.040
    assert np.abs(heard_s - clicks_s).max() < 0.010


def test_drawings_view_and_notes_are_in_the_picture_and_twice_is_the_same(clip, tmp_path):
    line = Drawing("d", DrawingKind.LINE, ((0.1, 0.5), (0.4, 0.5)), 0.0, 9.0)
    moments = (
        Moment(0, "c", 0),
        Moment(500, "c", 0, drawings=(line,)),
        Moment(1000, "c", 0, view=(0.0, 0.25, 0.5, 0.75), drawings=(line,)),
        Moment(1500, "c", 0, note="keep the heel down"),
    )
    talk = TalkOver("t", AT, 1000, 2000, moments)
    digests = []
    for name in ("a.mp4", "b.mp4"):
        render_talk_over(talk, {"c": TalkedClip(clip, None)}, None, tmp_path / name)
        digests.append(hashlib.sha256((tmp_path / name).read_bytes()).hexdigest())
    assert digests[0] == digests[1]
    frames = [frame.rgb for frame in read_frames(tmp_path / "a.mp4")]
    plain, drawn, near, noted = (frames[n].max(axis=2).astype(int) for n in (5, 20, 35, 55))
    assert plain.max() < 40
    across = np.flatnonzero(drawn[45] > 100)
    assert (across.min(), across.max()) == (pytest.approx(16, abs=3), pytest.approx(64, abs=3))
    across = np.flatnonzero(near[45] > 100)  # twice as large, from the left edge on
    assert (across.min(), across.max()) == (pytest.approx(32, abs=4), pytest.approx(128, abs=4))
    assert noted[:40].max() < 40 < noted[60:].max()
    assert read_audio(tmp_path / "a.mp4") is None


def test_what_is_covered_is_not_shown(clip, tmp_path):
    heads = np.tile(np.array([[[80.0, 45.0, 20.0, 20.0, 0.0]]]), (10, 1, 1))
    cover = PictureCover(heads, 160, 90)
    talk = TalkOver("t", AT, 1000, 300, (Moment(0, "c", 1),))
    render_talk_over(talk, {"c": TalkedClip(clip, cover=cover)}, None, tmp_path / "t.mp4")
    picture = next(iter(read_frames(tmp_path / "t.mp4"))).rgb
    assert picture[45, 80].max() < 230 < picture[5, 5].min()


def test_cancelled_leaves_no_file(clip, tmp_path):
    def stop(done, total):
        if done == 4:
            raise Cancelled("stopped")

    talk = TalkOver("t", AT, 1000, 3000, (Moment(0, "c", 0),))
    with pytest.raises(Cancelled):
        render_talk_over(talk, {"c": TalkedClip(clip, None)}, None, tmp_path / "t.mp4", stop)
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("places", [(), (5,), (0, 7, 7)])
def test_moments_begin_at_the_voice_and_come_one_after_another(places):
    with pytest.raises(ValueError, match="moments"):
        TalkOver("t", AT, 1000, 100, tuple(Moment(at, "c", 0) for at in places))
