"""A part of a file holds exactly what lies in its time, on the clock of the file."""

from collections.abc import Callable
from fractions import Fraction
from pathlib import Path

import numpy as np
import pytest
from media_clips import H264_B, Made, make_clip, number_in

from review.errors import BadInputError, MachineError
from review.media import Footage, FrameReader, copy_part, probe_video, read_audio, read_audio_blocks, read_frames

Getter = Callable[[str], Made]


@pytest.mark.parametrize("name", ["h264_b_frames", "hevc_open_gop", "variable_rate", "late_start", "transport_stream"])
def test_part_holds_exactly_the_frames_of_its_time(made: Getter, name: str) -> None:
    clip = made(name)
    whole = probe_video(clip.path)
    begin_s, end_s = whole.time_s[21] - 1e-4, whole.time_s[43]  # the frame at end_s belongs to what follows
    part = probe_video(Footage(clip.path, begin_s, end_s))
    np.testing.assert_array_equal(part.time_s, whole.time_s[21:43])
    assert part.duration_s == pytest.approx(whole.time_s[43] - whole.time_s[21])
    frames = list(read_frames(part))
    assert [number_in(f.rgb) for f in frames] == list(range(21, 43))
    assert [f.index for f in frames] == list(range(22))
    assert [number_in(f.rgb) for f in read_frames(Footage(clip.path, begin_s, end_s), 3, 9, 2)] == [24, 26, 28]
    with FrameReader(part) as reader:
        assert [number_in(reader.frame(i).rgb) for i in (21, 0, 10)] == [42, 21, 31]
        with pytest.raises(IndexError):
            reader.frame(22)


def test_part_from_zero_is_the_file_wherever_its_clock_starts(made: Getter) -> None:
    clip = made("late_start")
    np.testing.assert_array_equal(probe_video(Footage(clip.path)).time_s, probe_video(clip.path).time_s)


def test_part_beyond_the_file_is_named(made: Getter) -> None:
    with pytest.raises(BadInputError, match=r"from 50\.00 s on.*runs from 0\.00"):
        probe_video(Footage(made("h264_b_frames").path, 50.0, 54.0))


@pytest.fixture(scope="module")
def noisy(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Twenty seconds of noise under pictures."""
    sound = (0.2 * np.random.default_rng(3).standard_normal(20 * 48000)).astype(np.float32)
    path = tmp_path_factory.mktemp("noisy") / "n.mp4"
    make_clip(path, tuple(range(0, 200 * 1536, 1536)), Fraction(1, 15360), options=H264_B, sound=sound)
    return path


def test_sound_of_a_part_is_that_of_the_file_at_the_same_time(noisy: Path) -> None:
    whole = read_audio(noisy)
    part = read_audio(Footage(noisy, 7.0, 9.5))
    assert whole is not None
    assert part is not None
    assert 7.0 <= part.start_s < 7.0 + 1.5 / part.rate_hz
    assert part.start_s + part.duration_s == pytest.approx(9.5, abs=1.5 / part.rate_hz)
    first = round((part.start_s - whole.start_s) * whole.rate_hz)
    np.testing.assert_allclose(part.samples, whole.samples[first : first + len(part.samples)], atol=1e-4)
    assert read_audio(Footage(noisy, 30.0)) is None


def test_blocks_put_together_are_the_whole_sound(noisy: Path) -> None:
    whole = read_audio(noisy)
    assert whole is not None
    together = np.full(len(whole.samples), np.nan, dtype=np.float32)
    blocks = list(read_audio_blocks(noisy, 3.0, 0.5))
    for before, after in zip(blocks, blocks[1:], strict=False):
        assert before.start_s + before.duration_s - after.start_s == pytest.approx(0.5, abs=1e-6)
    for block in blocks:
        first = round((block.start_s - whole.start_s) * whole.rate_hz)
        together[first : first + len(block.samples)] = block.samples
    np.testing.assert_array_equal(together, whole.samples)


COPIED = ["h264_b_frames", "h264_open_gop", "hevc_open_gop", "variable_rate", "240_fps", "transport_stream"]


@pytest.mark.parametrize("name", [*COPIED, "refreshed_bit_by_bit", "one_keyframe"])
def test_copy_of_a_part_shows_the_same_frames_at_the_same_times(made: Getter, tmp_path: Path, name: str) -> None:
    clip = made(name)
    whole = probe_video(clip.path)
    first, stop = whole.n_frames // 2, 3 * whole.n_frames // 4
    begin_s, end_s = ((whole.time_s[i - 1] + whole.time_s[i]) / 2 for i in (first, stop))
    target = tmp_path / "copy.part"
    copy_part(Footage(clip.path, begin_s, end_s), target)
    part = probe_video(Footage(target, begin_s, end_s))
    np.testing.assert_allclose(part.time_s, whole.time_s[first:stop], atol=1e-6)
    assert [number_in(f.rgb) for f in read_frames(part)] == list(range(first, stop))
    with FrameReader(clip.path) as source, FrameReader(part) as copied:
        np.testing.assert_array_equal(copied.frame(3).rgb, source.frame(first + 3).rgb)


def test_sound_of_a_copied_part_stays_in_its_place(noisy: Path, tmp_path: Path) -> None:
    footage = Footage(noisy, 7.05, 12.05)
    copy_part(footage, tmp_path / "copy.part")
    whole, part = read_audio(footage), read_audio(Footage(tmp_path / "copy.part", 7.05, 12.05))
    assert whole is not None
    assert part is not None
    assert part.start_s == pytest.approx(whole.start_s, abs=0.001)
    n = min(len(whole.samples), len(part.samples)) - 4800
    # the first decoded sound of the copy lacks what it overlaps with; that lies before the part
    lag = np.argmax(np.correlate(part.samples[4800:n], whole.samples[5300 : n - 500], "valid")) - 500
    assert abs(lag) <= 48


def test_copy_that_cannot_be_written_leaves_nothing(made: Getter, tmp_path: Path) -> None:
    clip = made("h264_b_frames")
    with pytest.raises(MachineError, match="could not be written"):
        copy_part(Footage(clip.path, 1.0, 2.0), tmp_path / "no folder" / "copy.part")
    with pytest.raises(BadInputError, match="AVI"):
        copy_part(Footage(made("avi").path, 0.5, 1.0), tmp_path / "copy.part")
    assert list(tmp_path.iterdir()) == []
