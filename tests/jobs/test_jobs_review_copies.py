"""Review copies in a library: kept once, remade when damaged, gone with their pupil."""

import os
import shutil
import time
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from lessons_of_one_clip import CLIP, plan_lesson

from review.errors import BadInputError, Cancelled, MachineError
from review.jobs.adding import add_lesson
from review.jobs.free_space import LOW_BYTES
from review.jobs.review_copies import drop_copy, has_copy, make_copy, open_frames, thin_copies
from review.jobs.showing.swing import copy_swing
from review.library import Library
from review.media import FrameReader


@pytest.fixture
def library(tmp_path: Path):
    with Library.open(tmp_path / "library") as library:
        yield library


@pytest.fixture
def clip(library):
    return library.clips(add_lesson(library, plan_lesson()).lesson.id)[0]


def copies(library) -> list[Path]:
    return sorted(p for p in (library.folder / "derived").rglob("*") if p.is_file() and "review_copy" in str(p))


def test_copy_is_made_once_and_shows_the_clip(library, clip) -> None:
    with open_frames(library, clip) as source:
        assert not source.has_copy
    told: list[tuple[int, int]] = []
    make_copy(library, clip, lambda done, total: told.append((done, total)))
    assert told[-1] == (clip.n_frames, clip.n_frames)
    assert told == sorted(told)
    made_at = [p.stat().st_mtime_ns for p in copies(library)]
    assert len(made_at) == 2
    make_copy(library, clip)
    assert [p.stat().st_mtime_ns for p in copies(library)] == made_at
    with open_frames(library, clip) as source, FrameReader(CLIP) as original:
        assert source.has_copy
        np.testing.assert_array_equal(source.time_s, original.info.time_s)
        at = clip.n_frames // 2
        apart = [np.abs(source.frame(at).astype(int) - original.frame(at + by).rgb).mean() for by in (-6, 0, 6)]
    assert np.argmin(apart) == 1
    assert apart[1] < 4  # crf 23 and colour at half the size


@pytest.mark.parametrize("harm", ["cut", "no video", "no map", "bad map", "other video"])
def test_copy_that_is_not_whole_is_thrown_away_and_remade(library, clip, harm: str) -> None:
    make_copy(library, clip)
    video, kept = sorted(copies(library), key=lambda p: p.suffix)
    whole = video.read_bytes()
    if harm == "cut":
        video.write_bytes(whole[: len(whole) // 2])
    elif harm == "no video":
        video.unlink()
    elif harm == "no map":
        kept.unlink()
    elif harm == "bad map":
        kept.write_bytes(kept.read_bytes()[:200])
    else:
        video.write_bytes(whole + b"\0")
    assert not has_copy(library, clip)
    with open_frames(library, clip) as source:
        assert not source.has_copy
    make_copy(library, clip)
    assert has_copy(library, clip)
    assert video.read_bytes() == whole


def test_cancelled_copy_leaves_nothing(library, clip) -> None:
    def cancel(done: int, total: int) -> None:
        if done == 20:
            raise Cancelled("Stopped.")

    with pytest.raises(Cancelled):
        make_copy(library, clip, cancel)
    assert not copies(library)


def test_full_disk_is_said_before_work_begins(library, clip, monkeypatch) -> None:
    monkeypatch.setattr("review.library.files.shutil.disk_usage", lambda _: type("Usage", (), {"free": 51_000_000}))
    with pytest.raises(MachineError, match="too full"):
        make_copy(library, clip)
    assert not copies(library)


def test_forgetting_the_pupil_removes_the_copy(library, clip) -> None:
    make_copy(library, clip)
    assert copies(library)
    library.forget_pupil(library.pupils()[0].id)
    assert not copies(library)


def test_copy_of_a_pupil_forgotten_meanwhile_is_not_kept(library, clip) -> None:
    def forget(done: int, total: int) -> None:
        if done == 20:
            with Library.open(library.folder) as other:
                other.forget_pupil(other.pupils()[0].id)

    with pytest.raises(BadInputError, match="no longer"):
        make_copy(library, clip, forget)
    assert not copies(library)


def test_dropped_copy_is_gone(library, clip) -> None:
    make_copy(library, clip)
    drop_copy(library, clip)
    drop_copy(library, clip)
    assert not copies(library)


def test_copies_of_a_swing_are_made_apart_and_what_cannot_be_is_told(library, clip) -> None:
    gone = replace(clip, id="gone", file="clips/gone.mp4")
    told: list[tuple[int, int]] = []
    problems = copy_swing(library.folder, [clip, gone], lambda done, total: told.append((done, total)))
    assert has_copy(library, clip)
    assert list(problems) == ["gone"]
    assert "gone.mp4" in problems["gone"]
    assert told == sorted(told)
    assert copy_swing(library.folder, [clip]) == {}  # there already


def test_copies_long_unused_go_where_room_is_short_and_come_again(library, clip, monkeypatch) -> None:
    make_copy(library, clip)
    (copy,) = (file for file in copies(library) if file.suffix == ".mp4")
    long_ago = time.time() - 2 * 24 * 3600
    os.utime(copy, (long_ago, long_ago))
    assert thin_copies(library, -LOW_BYTES) == 0  # there is room
    usage = shutil.disk_usage(library.folder)
    monkeypatch.setattr("review.jobs.review_copies.shutil.disk_usage", lambda _: usage._replace(free=LOW_BYTES - 1))
    with open_frames(library, clip) as source:  # looked at just now: it stays
        assert source.has_copy
    assert thin_copies(library) == 0
    os.utime(copy, (long_ago, long_ago))
    assert thin_copies(library) == 1
    assert copies(library) == []
    make_copy(library, clip)
    assert has_copy(library, clip)
