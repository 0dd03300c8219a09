"""Frame i of a review copy is frame i of the original: every picture carries its number, read in both."""

from collections.abc import Callable
from fractions import Fraction
from pathlib import Path

import numpy as np
import pytest
from media_clips import H264_B, HEIGHT_PX, RECIPES, WIDTH_PX, Made, is_red, make_clip, number_in, run_ffmpeg

from review.errors import BadInputError, Cancelled, MachineError
from review.media import (
    CopyMap,
    DamagedCopyError,
    Footage,
    ReviewCopy,
    VideoSource,
    probe_video,
    read_frames,
    write_review_copy,
)

Getter = Callable[[str], Made]


def check_map(source: VideoSource, target: Path) -> CopyMap:
    """Hold every picture of a copy against the number in the same frame of its original, in a wild order."""
    copy_map = write_review_copy(source, target)
    original = list(read_frames(source))
    numbers = [number_in(f.rgb) for f in original]
    assert numbers == list(range(numbers[0], numbers[0] + len(numbers)))
    np.testing.assert_array_equal(copy_map.time_s, [f.time_s for f in original])
    with ReviewCopy(target, copy_map) as copy:
        for i in np.random.default_rng(4).permutation(len(original)):
            assert number_in(copy.to_rgb(copy.read(int(i)))) == numbers[i]
    return copy_map


@pytest.mark.parametrize("name", list(RECIPES))
def test_every_frame_is_that_of_the_original(made: Getter, tmp_path: Path, name: str) -> None:
    clip = made(name)
    copy_map = check_map(clip.path, tmp_path / "copy.part")
    assert (copy_map.width_px, copy_map.height_px) == (WIDTH_PX, HEIGHT_PX)


@pytest.mark.parametrize("name", ["h264_b_frames", "hevc_open_gop", "variable_rate", "late_start"])
def test_part_of_a_file(made: Getter, tmp_path: Path, name: str) -> None:
    time_s = probe_video(made(name).path).time_s
    copy_map = check_map(Footage(made(name).path, time_s[17] - 1e-4, time_s[41]), tmp_path / "copy.part")
    np.testing.assert_array_equal(copy_map.time_s, time_s[17:41])


def test_edit_list_that_begins_later_hides_the_same_frames(made: Getter, tmp_path: Path) -> None:
    path = tmp_path / "edited.mp4"  # copied from 1 s on, the key frame lies before: an edit list hides what leads to it
    run_ffmpeg("-ss", "1.0", "-i", str(made("h264_b_frames").path), "-c", "copy", "-an", str(path))
    check_map(path, tmp_path / "copy.part")


@pytest.mark.parametrize(("turn_deg", "mirror"), [(90, False), (270, False), (180, True)])
def test_copy_stands_upright(tmp_path: Path, turn_deg: int, mirror: bool) -> None:
    clip = make_clip(
        tmp_path / "r.mp4",
        tuple(range(0, 8 * 512, 512)),
        Fraction(1, 15360),
        options=H264_B,
        turn_deg=turn_deg,
        mirror=mirror,
    )
    copy_map = write_review_copy(clip.path, tmp_path / "copy.part")
    (original,) = read_frames(clip.path, 3, 4)
    with ReviewCopy(tmp_path / "copy.part", copy_map) as copy:
        shown = copy.to_rgb(copy.read(3))
    assert shown.shape == original.rgb.shape
    corners = [(r, c) for r in (4, -5) for c in (4, -5) if is_red(shown[r, c])]
    assert corners == [(r, c) for r in (4, -5) for c in (4, -5) if is_red(original.rgb[r, c])]
    assert len(corners) == 1


def test_colours_are_those_of_the_original(tmp_path: Path) -> None:
    path = tmp_path / "c.mp4"
    run_ffmpeg("-f", "lavfi", "-i", "smptebars=s=320x240:r=10:d=0.4", "-pix_fmt", "yuv420p", str(path))
    copy_map = write_review_copy(path, tmp_path / "copy.part")
    (original,) = read_frames(path, 2, 3)
    with ReviewCopy(tmp_path / "copy.part", copy_map) as copy:
        shown = copy.to_rgb(copy.read(2))
    for x in range(20, 320, 46):  # the middle of each bar; edges share their colour with the neighbour in 4:2:0
        np.testing.assert_allclose(shown[60, x].astype(int), original.rgb[60, x], atol=6)  # two roundings and crf 23


def test_large_pictures_are_made_smaller_and_odd_sides_kept(tmp_path: Path) -> None:
    path = tmp_path / "large.mkv"
    run_ffmpeg("-f", "lavfi", "-i", "testsrc2=s=2398x1200:r=10:d=0.3", "-c:v", "ffv1", str(path))
    copy_map = write_review_copy(path, tmp_path / "copy.part")
    assert copy_map.height_px == round(1200 * 1920 / 2398) == 961
    assert copy_map.width_px == 1920
    (original,) = read_frames(path, 1, 2, max_height_px=961)
    with ReviewCopy(tmp_path / "copy.part", copy_map) as copy:
        shown = copy.to_rgb(copy.read(1))
    assert shown.shape == (961, 1920, 3)
    assert np.abs(shown.astype(int) - original.rgb).mean() < 8  # drawn lines lose colour in 4:2:0


def test_cancelled_or_impossible_copies_leave_nothing(made: Getter, tmp_path: Path) -> None:
    def cancel(done: int, total: int) -> None:
        assert total == 90
        if done == 10:
            raise Cancelled("Stopped.")

    with pytest.raises(Cancelled):
        write_review_copy(made("h264_b_frames").path, tmp_path / "copy.part", cancel)
    with pytest.raises(MachineError, match="Writing"):
        write_review_copy(made("h264_b_frames").path, tmp_path / "no folder" / "copy.part")
    with pytest.raises(BadInputError, match="does not exist"):
        write_review_copy(tmp_path / "nothing.mp4", tmp_path / "copy.part")
    assert list(tmp_path.iterdir()) == []


def test_missing_encoder_is_said(made: Getter, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("review.media.review_copy._CODEC", "no_such_codec")
    with pytest.raises(MachineError, match=r"encoder for H\.264"):
        write_review_copy(made("h264_b_frames").path, tmp_path / "copy.part")
    assert list(tmp_path.iterdir()) == []


def test_damage_is_found_before_a_wrong_picture_is_shown(made: Getter, tmp_path: Path) -> None:
    target = tmp_path / "copy.part"
    copy_map = write_review_copy(made("h264_b_frames").path, target)
    whole = target.read_bytes()
    place = int(copy_map.begin_byte[40] + copy_map.n_bytes[40] // 2)
    target.write_bytes(whole[:place] + bytes([whole[place] ^ 1]) + whole[place + 1 :])
    with ReviewCopy(target, copy_map) as copy:
        assert number_in(copy.to_rgb(copy.read(39))) == 39
        with pytest.raises(DamagedCopyError, match="frame 40"):
            copy.read(40)
        assert number_in(copy.to_rgb(copy.read(41))) == 41
    target.write_bytes(whole[:-1])
    with pytest.raises(DamagedCopyError, match="bytes"):
        ReviewCopy(target, copy_map)
    target.write_bytes(b"\0" * len(whole))
    with pytest.raises(DamagedCopyError):
        ReviewCopy(target, copy_map)


def test_map_survives_being_kept_and_refuses_nonsense(made: Getter, tmp_path: Path) -> None:
    copy_map = write_review_copy(made("variable_rate").path, tmp_path / "copy.part")
    arrays = copy_map.as_arrays()
    kept = CopyMap.from_arrays(arrays)
    for name, array in kept.as_arrays().items():
        np.testing.assert_array_equal(array, arrays[name])
    with pytest.raises(ValueError, match="whole map"):
        CopyMap.from_arrays({k: v for k, v in arrays.items() if k != "crc32"})
    with pytest.raises(ValueError, match="shape"):
        CopyMap.from_arrays(arrays | {"crc32": arrays["crc32"][:-1]})
    with pytest.raises(ValueError, match="outside"):
        CopyMap.from_arrays(arrays | {"n_bytes": arrays["n_bytes"] * 1000})
