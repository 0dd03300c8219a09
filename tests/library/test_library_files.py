"""Copies of clips, and what is made from them: whole or not there."""

import errno
import hashlib
import os
import time
from collections import namedtuple
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from library_samples import clip, fill

from review.errors import BadInputError, Cancelled, MachineError
from review.library import Library, check_space

_CONTENT = bytes(range(256)) * 10_000  # 2.56 MB: three chunks


@pytest.fixture
def original(tmp_path: Path) -> Path:
    path = tmp_path / "IMG 0001.MP4"
    path.write_bytes(_CONTENT)
    return path


@pytest.fixture
def library(tmp_path: Path):
    with Library.open(tmp_path / "library") as library:
        fill(library)
        yield library


def test_clip_is_copied_under_the_name_of_its_content(library: Library, original: Path) -> None:
    before = original.stat()
    seen: list[tuple[int, int]] = []
    sha256, file = library.store_clip_file(original, lambda done, total: seen.append((done, total)))
    assert sha256 == hashlib.sha256(_CONTENT).hexdigest()
    assert file == f"clips/{sha256}.mp4"
    assert library.path_of(replace(clip("c1"), file=file)).read_bytes() == _CONTENT
    assert (original.stat().st_mtime_ns, original.read_bytes()) == (before.st_mtime_ns, _CONTENT)
    assert seen[-1] == (len(_CONTENT), len(_CONTENT))
    assert seen == sorted(seen)


def test_same_content_is_stored_once_whatever_its_name(library: Library, original: Path, tmp_path: Path) -> None:
    other = tmp_path / "copy.mov"
    other.write_bytes(_CONTENT)
    assert library.store_clip_file(original) == library.store_clip_file(other)
    (stored,) = (library.folder / "clips").iterdir()
    # a copy that was cut short is made good again
    stored.write_bytes(_CONTENT[:100])
    library.store_clip_file(original)
    assert stored.read_bytes() == _CONTENT


def test_no_clip_there(library: Library, tmp_path: Path) -> None:
    with pytest.raises(BadInputError, match="no file"):
        library.store_clip_file(tmp_path / "none.mp4")
    with pytest.raises(BadInputError, match="cannot be read"):
        library.store_clip_file(tmp_path)


def test_disk_that_fills_up_leaves_nothing(
    library: Library, original: Path, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    def full(_: int) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    with monkeypatch.context() as patch:
        patch.setattr(os, "fsync", full)
        with pytest.raises(MachineError, match="disk is full"):
            library.store_clip_file(original)
    assert list((library.folder / "clips").iterdir()) == []
    assert original.read_bytes() == _CONTENT


def test_low_space_is_said_before_anything_is_written(
    library: Library, original: Path, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    usage = namedtuple("usage", "total used free")
    with monkeypatch.context() as patch:
        patch.setattr("shutil.disk_usage", lambda _: usage(10**9, 10**9, 51_000_000))
        check_space(tmp_path, 500_000)
        with pytest.raises(MachineError, match=r"51 MB free, 53 MB"):
            library.store_clip_file(original)
        with pytest.raises(MachineError):
            check_space(tmp_path, 2_000_000)
        # nothing new is begun on a full disk, but what is there opens: forgetting makes room
        patch.setattr("shutil.disk_usage", lambda _: usage(10**9, 10**9, 0))
        with pytest.raises(MachineError, match="too full"):
            Library.open(tmp_path / "new")
        with Library.open(library.folder) as again:
            assert len(again.pupils()) == 1
    assert list((library.folder / "clips").iterdir()) == []


def test_cancelled_copy_leaves_nothing(library: Library, original: Path) -> None:
    def stop(done: int, total: int) -> None:
        raise Cancelled("stopped")

    with pytest.raises(Cancelled):
        library.store_clip_file(original, stop)
    assert list((library.folder / "clips").iterdir()) == []


def _number_of_no_process() -> int:
    number = 4_000_000  # above the highest that Linux gives (2**22 at most, usually far less)
    while True:
        try:
            os.kill(number, 0)
        except OSError:
            return number
        number += 1


@pytest.mark.skipif(os.name == "nt", reason="there the age of the file decides")
def test_parts_of_dead_runs_are_swept_those_of_living_ones_stay(library: Library) -> None:
    parts = {
        "dead": library.folder / "clips" / f"{_number_of_no_process()}-1.part",
        "living": library.folder / "clips" / f"{os.getpid()}-1.part",
        "forgotten": library.folder / "derived" / "landmarks" / f"{os.getpid()}-2.part",
        "odd": library.folder / "clips" / "99999999999999999999-1.part",
    }
    for part in parts.values():
        part.parent.mkdir(exist_ok=True)
        part.write_bytes(b"half")
    two_hours_ago = time.time() - 7200
    os.utime(parts["forgotten"], (two_hours_ago, two_hours_ago))
    with Library.open(library.folder):
        assert {name for name, part in parts.items() if part.exists()} == {"living"}


@pytest.mark.skipif(os.name == "nt", reason="there the age of the note decides")
def test_clip_stored_by_a_dead_run_goes_unless_a_lesson_has_it(
    library: Library, original: Path, tmp_path: Path
) -> None:
    sha256, file = library.store_clip_file(original)
    wanted = tmp_path / "wanted.mp4"
    wanted.write_bytes(b"wanted")
    wanted_sha, wanted_file = library.store_clip_file(wanted)
    with Library.open(library.folder):  # this run lives and may still add them
        assert (library.folder / file).exists()
    library.add_clip("l1", replace(clip("c1", wanted_sha), file=wanted_file))
    library._connection.execute("UPDATE stored SET process = ?", (_number_of_no_process(),))
    with Library.open(library.folder):
        assert not (library.folder / file).exists()
        assert (library.folder / wanted_file).exists()


def test_arrays_come_back(library: Library) -> None:
    arrays = {"time_s": np.linspace(0, 1, 5), "xy": np.full((5, 2), np.nan, np.float32), "n": np.array(3)}
    assert library.load_arrays("landmarks", "key") is None
    library.save_arrays("landmarks", "key", arrays, {"model": "full ü"}, clip_content="a" * 64)
    got = library.load_arrays("landmarks", "key")
    assert got is not None
    assert got[1] == {"model": "full ü"}
    assert set(got[0]) == set(arrays)
    for name, array in arrays.items():
        np.testing.assert_array_equal(got[0][name], array)
        assert got[0][name].dtype == array.dtype
    assert library.load_arrays("landmarks", "other key") is None
    assert library.load_arrays("pictures", "key") is None


def test_keys_of_any_kind_stay_inside_the_folder(library: Library) -> None:
    inside = (library.folder / "derived" / "landmarks").resolve()
    for key in ("../../../etc", "C:\\x", "a/b\0c", "x" * 5000, "", "ü*?"):
        assert library.derived_file("landmarks", key).resolve().parent == inside
    for kind in ("..", "a/b", "", "A b"):
        with pytest.raises(ValueError, match="plain lower-case word"):
            library.derived_file(kind, "key")


def test_damaged_arrays_count_as_absent(library: Library) -> None:
    array = np.arange(200.0)
    library.save_arrays("landmarks", "key", {"a": array}, {"model": "full"}, clip_content="a" * 64)
    path = library.derived_file("landmarks", "key")
    whole = path.read_bytes()
    rng = np.random.default_rng(1)
    absent = 0
    for i in range(200):
        if i % 4 == 0:
            damaged = whole[: int(rng.integers(len(whole)))]
        else:
            changed = bytearray(whole)
            changed[int(rng.integers(len(whole)))] ^= int(rng.integers(1, 256))
            damaged = bytes(changed)
        path.write_bytes(damaged)
        got = library.load_arrays("landmarks", "key")
        if got is None:
            absent += 1
        elif "a" in got[0]:  # bytes that say nothing, such as the time of the file
            np.testing.assert_array_equal(got[0]["a"], array)
    assert absent > 100
    for content in (b"", b"\x93NUMPY", b"text", np.arange(3).tobytes()):
        path.write_bytes(content)
        assert library.load_arrays("landmarks", "key") is None
    np.save(path.with_suffix(".npy"), array)  # one plain array is not what was written either
    path.with_suffix(".npy").replace(path)
    assert library.load_arrays("landmarks", "key") is None


def test_failed_writing_keeps_what_was_there(library: Library, monkeypatch: pytest.MonkeyPatch) -> None:
    library.save_arrays("landmarks", "key", {"a": np.arange(3)}, clip_content="a" * 64)

    def full(*_: object, **__: object) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    with monkeypatch.context() as patch:
        patch.setattr(np, "savez_compressed", full)
        with pytest.raises(MachineError, match="disk is full"):
            library.save_arrays("landmarks", "key", {"a": np.arange(4)}, clip_content="a" * 64)
    got = library.load_arrays("landmarks", "key")
    assert got is not None
    np.testing.assert_array_equal(got[0]["a"], np.arange(3))
    assert list((library.folder / "derived").rglob("*.part")) == []
