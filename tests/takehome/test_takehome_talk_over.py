"""A talk over a clip as a video: voice and picture in step, measured by decoding what was written."""

import hashlib
import re
from datetime import datetime
from pathlib import Path

import numpy as np
import pytest

from review.errors import Cancelled
from review.lesson import Drawing, DrawingKind, Moment, TalkOver
from review.media import Audio, VideoWriter, probe_video, read_audio, read_frames
from review.pose import LandmarkTrack
from review.takehome import shown_frames
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


def test_the_bodys_lines_and_a_faint_frame_are_shown_as_noted(clip, tmp_path):
    """Lead side solid, trail side dashed; the frame below at 35 in 100; turned about the picture's middle."""
    points = np.full((10, 33, 3), np.nan)
    points[:, [11, 13], :2] = [[40, 20], [120, 20]]  # the left upper arm, a right-hander's lead side
    points[:, [12, 14], :2] = [[40, 70], [120, 70]]
    zeros = np.zeros((10, 33, 3))
    track = LandmarkTrack(np.arange(10) / 60, points, zeros, np.ones((10, 33)), 160, 90, "none", "made up")
    moments = (
        Moment(0, "c", 0),
        Moment(500, "c", 0, with_body=True),
        Moment(1000, "c", 0, ghost=1),
        Moment(1500, "c", 0, with_body=True, turn_deg=90.0),
    )
    talk = TalkOver("t", AT, 1000, 2000, moments)
    render_talk_over(talk, {"c": TalkedClip(clip, None, track=track)}, None, tmp_path / "a.mp4")
    frames = [frame.rgb.max(axis=2).astype(int) for frame in read_frames(tmp_path / "a.mp4")]
    plain, lined, faint, turned = (frames[n] for n in (5, 20, 35, 55))
    assert plain.max() < 40
    solid, dashed = (lined[row, 45:116] for row in (20, 70))
    assert solid.min() > 180
    assert 4 <= np.count_nonzero(np.diff((dashed < 180).astype(int)) == 1) <= 8  # 4 on and 2 off, in widths of 2
    assert faint.mean() == pytest.approx(0.35 * 255, abs=6)
    assert (turned[10:80, 105] > 120).mean() > 0.9  # the lead arm, 25 above the middle, is 25 to its right now
    render_talk_over(talk, {"c": TalkedClip(clip, None)}, None, tmp_path / "b.mp4")
    frames = [frame.rgb.max() for frame in read_frames(tmp_path / "b.mp4")]
    assert frames[20] < 40  # without consent to measure there is no track to draw


def test_what_is_covered_is_not_shown(clip, tmp_path):
    heads = np.tile(np.array([[[80.0, 45.0, 20.0, 20.0, 0.0]]]), (10, 1, 1))
    cover = PictureCover(heads, 160, 90)
    talk = TalkOver("t", AT, 1000, 300, (Moment(0, "c", 1),))
    render_talk_over(talk, {"c": TalkedClip(clip, cover=cover)}, None, tmp_path / "t.mp4")
    picture = next(iter(read_frames(tmp_path / "t.mp4"))).rgb
    assert picture[45, 80].max() < 230 < picture[5, 5].min()


def test_a_faint_frame_is_covered_too(clip, tmp_path):
    """The head lies elsewhere on the frame below: nothing of it may shine through."""
    heads = np.full((10, 1, 5), np.nan)
    heads[1, 0] = [80.0, 45.0, 20.0, 20.0, 0.0]
    talk = TalkOver("t", AT, 1000, 300, (Moment(0, "c", 0, ghost=1),))
    for name, cover in (("covered", PictureCover(heads, 160, 90)), ("bare", None)):
        render_talk_over(talk, {"c": TalkedClip(clip, cover)}, None, tmp_path / f"{name}.mp4")
    covered, bare = (next(iter(read_frames(tmp_path / f"{n}.mp4"))).rgb.astype(int) for n in ("covered", "bare"))
    assert bare[45, 80].max() - covered[45, 80].max() > 10
    assert np.abs(bare[5, 5] - covered[5, 5]).max() < 4


def test_all_pictures_that_are_handed_out_come_through_one_door():
    package = Path(shown_frames.__file__).parent
    reads = {path.name for path in package.rglob("*.py") if re.search(r"read_planes|FrameSource", path.read_text())}
    assert reads == {"shown_frames.py"}
    # what was just written is read again for its picture on the page
    reads = {path.name for path in package.rglob("*.py") if "read_frames" in path.read_text()}
    assert reads == {"writing.py"}


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
