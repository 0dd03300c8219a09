"""Whatever is asked for, in whatever order, with a copy or without: the frame that comes carries its number."""

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from media_clips import RECIPES, Made, number_in

from review.media import DamagedCopyError, FrameSource, ReviewCopy, write_review_copy

Getter = Callable[[str], Made]


def open_source(clip: Made, folder: Path, with_copy: bool) -> FrameSource:
    if not with_copy:
        return FrameSource(clip.path)
    copy_map = write_review_copy(clip.path, folder / "copy.part")
    return FrameSource(clip.path, ReviewCopy(folder / "copy.part", copy_map))


@pytest.mark.parametrize("with_copy", [False, True])
@pytest.mark.parametrize("name", sorted(RECIPES))
def test_jumps_steps_and_reading_ahead(made: Getter, tmp_path: Path, name: str, with_copy: bool) -> None:
    clip = made(name)
    rng = np.random.default_rng(8)
    with open_source(clip, tmp_path, with_copy) as source:
        assert source.n_frames == clip.n_frames
        assert source.has_copy is with_copy
        at = 0
        for _ in range(60):
            at = int(rng.choice([rng.integers(clip.n_frames), min(at + 1, clip.n_frames - 1), max(0, at - 1)]))
            assert number_in(source.frame(at)) == at
            for _ in range(int(rng.integers(4))):
                source.read_ahead()
        rgb = source.frame(at)
        np.testing.assert_array_equal(source.screen_frame(at)[..., 2::-1], rgb)
        assert np.all(source.screen_frame(at)[..., 3] == 255)
        for wrong in (-1, clip.n_frames):
            with pytest.raises(IndexError):
                source.frame(wrong)


@pytest.mark.parametrize("direction", [1, -1])
def test_what_was_read_ahead_is_not_decoded_again(
    made: Getter, tmp_path: Path, direction: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    clip = made("h264_b_frames")
    read: list[int] = []
    plain = ReviewCopy.read
    monkeypatch.setattr(ReviewCopy, "read", lambda self, i: (read.append(i), plain(self, i))[1])
    with open_source(clip, tmp_path, with_copy=True) as source:
        for i in (40, 40 + direction):
            source.frame(i)
        while source.read_ahead():
            pass
        assert sorted(read) == sorted(40 + direction * k for k in range(8))
        read.clear()
        for k in range(2, 8):
            assert number_in(source.frame(40 + direction * k)) == 40 + direction * k
        assert not read


def test_reading_ahead_ends_at_both_ends(made: Getter, tmp_path: Path) -> None:
    for with_copy in (False, True):
        with open_source(made("one_keyframe"), tmp_path, with_copy) as source:
            for i in (2, 1, 58, 59):
                source.frame(i)
                while source.read_ahead():
                    pass
                assert number_in(source.frame(i)) == i


def test_damage_met_on_the_way_leads_to_the_original(made: Getter, tmp_path: Path) -> None:
    clip = made("h264_b_frames")
    source = open_source(clip, tmp_path, with_copy=True)
    copy = source._copy
    assert copy is not None
    with (tmp_path / "copy.part").open("rb+") as file:
        file.seek(int(copy.map.begin_byte[30]) + 20)
        file.write(b"\0\0\0\0")
    with source:
        assert number_in(source.frame(29)) == 29
        assert not source.is_copy_damaged
        assert [number_in(source.frame(i)) for i in (30, 29, 31)] == [30, 29, 31]
        assert source.is_copy_damaged
        assert not source.has_copy


def test_copy_of_something_else_is_refused(made: Getter, tmp_path: Path) -> None:
    clip = made("h264_b_frames")
    copy_map = write_review_copy(clip.path, tmp_path / "copy.part")
    late = replace(copy_map, time_s=copy_map.time_s + 0.001)
    for other, wrong in ((made("late_start"), copy_map), (clip, late)):
        with pytest.raises(DamagedCopyError, match="times"):
            FrameSource(other.path, ReviewCopy(tmp_path / "copy.part", wrong))
