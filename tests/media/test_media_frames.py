"""Frame N is frame N: every picture carries its number, so nothing has to be believed."""

import shutil
from collections.abc import Callable
from fractions import Fraction
from pathlib import Path

import cv2
import numpy as np
import pytest
from media_clips import H264_B, HEIGHT_PX, RECIPES, WIDTH_PX, Made, is_red, make_clip, number_in, run_ffmpeg

from review.errors import BadInputError
from review.media import FrameReader, probe_video, read_frames

Getter = Callable[[str], Made]
ALL = sorted(RECIPES)


@pytest.mark.parametrize("name", ALL)
def test_every_frame_in_order_with_its_number_and_time(made: Getter, name: str) -> None:
    clip = made(name)
    info = probe_video(clip.path)
    frames = list(read_frames(info))
    assert [number_in(f.rgb) for f in frames] == list(range(clip.n_frames))
    assert [f.index for f in frames] == list(range(clip.n_frames))
    np.testing.assert_array_equal([f.time_s for f in frames], info.time_s)
    # a transport stream is shifted as a whole by its muxer; the file stores no finer than its own time base
    shift_s = info.time_s[0] - clip.time_s[0] if name == "transport_stream" else 0.0
    np.testing.assert_allclose(info.time_s - shift_s, clip.time_s, atol=1e-6)


@pytest.mark.parametrize("name", ALL)
def test_any_frame_in_any_order(made: Getter, name: str) -> None:
    clip = made(name)
    order = np.random.default_rng(1).permutation(clip.n_frames)
    with FrameReader(clip.path) as reader:
        assert [number_in(reader.frame(int(i)).rgb) for i in order] == [int(i) for i in order]


@pytest.mark.parametrize("name", ALL)
def test_random_access_without_help_of_the_cache(made: Getter, name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    clip = made(name)
    whole = {f.index: f.rgb for f in read_frames(clip.path)}
    monkeypatch.setattr("review.media.frames._CACHE_BYTES", 0)
    with FrameReader(clip.path) as reader:
        for i in np.random.default_rng(2).integers(0, clip.n_frames, 25):
            np.testing.assert_array_equal(reader.frame(int(i)).rgb, whole[int(i)])


@pytest.mark.parametrize("name", ALL)
@pytest.mark.parametrize("start", [1, 19, 20, 21, 47, 48, 49, 59])
def test_starting_late_gives_the_same_pictures(made: Getter, name: str, start: int) -> None:
    clip = made(name)
    got = list(read_frames(clip.path, start=start, stop=start + 9, step=4))
    want = [i for i in range(start, start + 9, 4) if i < clip.n_frames]
    assert [f.index for f in got] == want
    assert [number_in(f.rgb) for f in got] == want


def test_backward_and_forward_steps(made: Getter) -> None:
    clip = made("hevc_open_gop")
    steps = [60, 59, 58, 57, 30, 31, 32, 29, 0, 69, 68]
    with FrameReader(clip.path) as reader:
        assert [number_in(reader.frame(i).rgb) for i in steps] == steps
        with pytest.raises(IndexError, match=r"0\.\.69, got 70"):
            reader.frame(70)
        with pytest.raises(IndexError):
            reader.frame(-1)


@pytest.mark.parametrize("name", ["h264_b_frames", "hevc_open_gop", "variable_rate", "240_fps"])
def test_agrees_with_an_independent_reader(made: Getter, name: str) -> None:
    """OpenCV reads in order exactly; its pictures and times are made by other code than ours."""
    clip = made(name)
    capture = cv2.VideoCapture(str(clip.path))
    numbers, times = [], []
    while True:
        times.append(capture.get(cv2.CAP_PROP_POS_MSEC) / 1000)
        ok, bgr = capture.read()
        if not ok:
            break
        times[-1] = capture.get(cv2.CAP_PROP_POS_MSEC) / 1000
        numbers.append(number_in(bgr[:, :, ::-1]))
    info = probe_video(clip.path)
    assert numbers == list(range(info.n_frames))
    np.testing.assert_allclose(info.time_s, times[: info.n_frames], atol=0.0015)  # OpenCV reports whole-ish ms


def test_variable_rate_times_are_not_even(made: Getter) -> None:
    info = probe_video(made("variable_rate").path)
    steps = np.round(np.diff(info.time_s) * 60).astype(int)
    assert set(steps) == {1, 2, 3}
    assert info.frame_rate_hz == pytest.approx(60.0)


def test_240_fps(made: Getter) -> None:
    info = probe_video(made("240_fps").path)
    assert info.frame_rate_hz == pytest.approx(240.0)
    assert info.duration_s == pytest.approx(1.0)


@pytest.mark.parametrize("turn", [0, 90, 180, 270])
@pytest.mark.parametrize("mirror", [False, True])
def test_turned_and_mirrored_pictures_come_upright(tmp_path: Path, turn: int, mirror: bool) -> None:
    """The red corner of the stored picture goes where the display matrix puts it.

    FFmpeg's own player logic is the outside reader: its bundled program turns pictures by itself.
    """
    clip = make_clip(tmp_path / "t.mp4", tuple(range(6)), Fraction(1, 30), turn_deg=turn, mirror=mirror)
    info = probe_video(clip.path)
    frame = next(read_frames(info))
    run_ffmpeg("-i", str(clip.path), "-frames:v", "1", str(tmp_path / "t.png"))
    outside = cv2.imread(str(tmp_path / "t.png"))[:, :, ::-1]
    assert frame.rgb.shape == outside.shape == (info.height_px, info.width_px, 3)
    corners = [(4, 4), (4, -5), (-5, 4), (-5, -5)]
    assert [is_red(frame.rgb[c]) for c in corners] == [is_red(outside[c]) for c in corners]
    assert sum(is_red(frame.rgb[c]) for c in corners) == 1
    if not mirror:
        assert info.rotation_deg == turn
        assert number_in(np.rot90(frame.rgb, -turn // 90)) == 0
    assert (info.width_px, info.height_px) == ((128, 256) if turn % 180 else (256, 128))


def test_smaller_pictures_keep_number_and_proportions(tmp_path: Path, made: Getter) -> None:
    frames = list(read_frames(made("h264_b_frames").path, start=40, stop=44, max_height_px=64))
    assert [f.rgb.shape for f in frames] == [(64, 128, 3)] * 4
    assert [number_in(f.rgb) for f in frames] == [40, 41, 42, 43]
    turned = make_clip(tmp_path / "t.mp4", tuple(range(3)), Fraction(1, 30), turn_deg=90)
    assert next(read_frames(turned.path, max_height_px=128)).rgb.shape == (128, 64, 3)
    assert next(read_frames(turned.path, max_height_px=9999)).rgb.shape == (WIDTH_PX, HEIGHT_PX, 3)


def test_cut_by_edit_list_hides_the_frames_before(made: Getter, tmp_path: Path) -> None:
    """A cut without re-encoding keeps the frames from the keyframe on, hidden by the edit list."""
    target = tmp_path / "cut.mp4"
    run_ffmpeg("-ss", "1.0", "-i", str(made("h264_b_frames").path), "-c", "copy", str(target))
    info = probe_video(target)
    numbers = [number_in(f.rgb) for f in read_frames(info)]
    assert numbers == list(range(30, 90))  # 1.0 s at 30 per second; the keyframe before is 24
    assert info.n_frames == 60
    assert info.time_s[0] == pytest.approx(0.0, abs=1e-6)
    with FrameReader(target) as reader:
        assert [number_in(reader.frame(i).rgb) for i in (59, 0, 33, 17, 18)] == [89, 30, 63, 47, 48]


def test_late_start_is_kept(made: Getter) -> None:
    assert probe_video(made("late_start").path).time_s[0] == pytest.approx(0.5)


def test_clip_that_changed_since_probing(made: Getter, tmp_path: Path) -> None:
    path = tmp_path / "a.mp4"
    shutil.copy(made("h264_b_frames").path, path)
    info = probe_video(path)
    shutil.copy(made("one_keyframe").path, path)
    with pytest.raises(BadInputError, match="changed since .*90 frames then, 60 now"):
        read_frames(info)


def test_wrong_numbers_are_refused_at_the_call(made: Getter) -> None:
    path = made("h264_b_frames").path
    with pytest.raises(ValueError, match="must not be negative"):
        read_frames(path, start=-1)
    with pytest.raises(ValueError, match="max_height_px"):
        read_frames(path, max_height_px=0)
    assert list(read_frames(path, start=90)) == []


def test_wide_pixels_are_shown_square(tmp_path: Path) -> None:
    source = make_clip(tmp_path / "s.mp4", tuple(range(4)), Fraction(1, 30), options=H264_B)
    target = tmp_path / "wide.mp4"
    run_ffmpeg("-i", str(source.path), "-c", "copy", "-bsf:v", "h264_metadata=sample_aspect_ratio=4/3", str(target))
    info = probe_video(target)
    assert (info.width_px, info.height_px) == (round(WIDTH_PX * 4 / 3), HEIGHT_PX)
    assert [number_in(f.rgb) for f in read_frames(info)] == [0, 1, 2, 3]
