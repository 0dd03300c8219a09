"""A take-home with clips that is killed, or that disk or encoder refuse, leaves the earlier one whole."""

import errno
import multiprocessing
import os
import random
import re
import struct
import subprocess
import time
import zipfile
from collections.abc import Iterator
from datetime import date
from pathlib import Path

import imageio_ffmpeg
import numpy as np
import pytest

from review.errors import MachineError
from review.lesson import KeyFrame
from review.media import VideoWriter
from review.takehome import ClipSide, Pair, TakeHome, write_takehome, zipped
from review.takehome.clips import passages, rendering
from review.takehome.clips.files import ClipChoice

TOGETHER = ClipChoice(with_singles=False)
CLIP = "01-face-on-first-and-last.mp4"


@pytest.fixture(scope="module")
def pair(tmp_path_factory) -> Pair:
    """A tenth of a second each, with noise, so that the encoder has something to write."""
    folder = tmp_path_factory.mktemp("clips")
    noise = np.random.default_rng(7)
    sides = []
    for batch in (1, 2):
        path = folder / f"{batch}.mp4"
        with VideoWriter(path, 180, 320, 30) as writer:
            for _ in range(4):
                writer.write(noise.integers(0, 255, (320, 180, 3)).astype(np.uint8))
        frames = (KeyFrame("top", 1 / 30, 1, 0.9, "pose"), KeyFrame("impact", 2 / 30, 2, 0.9, "pose"))
        sides.append(ClipSide(path, f"Batch {batch}", batch, 2 / 30, frames))
    return Pair(sides[0], sides[1], "face-on", "made up")


@pytest.fixture
def briefly(monkeypatch) -> None:
    make_brief(monkeypatch)


def make_brief(patch: pytest.MonkeyPatch) -> None:
    patch.setattr(rendering, "CARD_S", 0.1)
    patch.setattr(passages, "_HELD_S", 0.1)


def write(pair: Pair, to: Path, name: str) -> None:
    contents = TakeHome(name, date(2026, 3, 14), pairs=(pair,))
    write_takehome(contents, to, choice=TOGETHER, with_zip=True)


def write_on_and_on(pair: Pair, to: Path, names: list[str]) -> None:
    make_brief(pytest.MonkeyPatch())
    for name in names:
        write(pair, to, name)


def check_whole(video: bytes) -> None:
    """Its outermost boxes, index and pictures among them, fill it exactly (ISO/IEC 14496-12, 4.2)."""
    names, at = set(), 0
    while at < len(video):
        size, name = struct.unpack(">I4s", video[at : at + 8])
        assert size >= 8
        names.add(name)
        at += size
    assert at == len(video)
    assert {b"moov", b"mdat"} <= names


def name_in(page: bytes) -> str:
    match = re.search(r"<bdi>(.*?)</bdi>", page.decode("utf-8"))
    assert match is not None
    return match[1]


def whose(to: Path) -> tuple[str, str]:
    """Check that folder and zip are whole and return whose they are."""
    assert {p.name for p in to.iterdir()} == {".take-home", CLIP, "index.html", "sheet.pdf", "measures.csv"}
    check_whole((to / CLIP).read_bytes())
    assert (to / "sheet.pdf").read_bytes().rstrip().endswith(b"%%EOF")
    page = (to / "index.html").read_bytes()
    assert page.rstrip().endswith(b"</html>")
    with zipfile.ZipFile(to.with_name(to.name + ".zip")) as found:
        assert found.testzip() is None
        check_whole(found.read(f"{to.name}/{CLIP}"))
        return name_in(page), name_in(found.read(f"{to.name}/index.html"))


def test_killed_at_twenty_moments_no_half_clip_is_there(pair, tmp_path, briefly):
    if "forkserver" not in multiprocessing.get_all_start_methods():
        pytest.skip("needs a fork server to start many processes quickly")
    context = multiprocessing.get_context("forkserver")
    context.set_forkserver_preload(["review.takehome"])
    places = [tmp_path / f"{n}" / "out" for n in range(5)]
    start = time.monotonic()
    for to in places:
        write(pair, to, "run 1")
    one_s = (time.monotonic() - start) / 5  # only chooses the moments, nothing is asserted about it
    chance = random.Random(20)
    last = dict.fromkeys(places, 1)
    amid = 0
    for _ in range(4):  # five at once
        running = []
        for to in places:
            names = [f"run {n}" for n in range(last[to] + 1, 99)]
            process = context.Process(target=write_on_and_on, args=(pair, to, names))
            process.start()
            running.append((time.monotonic() + chance.uniform(0.1, 2.5) * one_s, process, to))
        for moment, process, _ in sorted(running, key=lambda item: item[0]):
            process.join(max(0.0, moment - time.monotonic()))
            process.kill()
        for _, process, to in running:
            process.join()
            assert process.exitcode == -9
            amid += any(p.name.startswith(".out.") for p in to.parent.iterdir())
            in_folder, in_zip = (int(name.removeprefix("run ")) for name in whose(to))
            assert last[to] <= in_folder
            assert in_folder - 1 <= in_zip <= in_folder  # the one is moved in right after the other
            last[to] = in_folder
    assert amid >= 10  # else they were not killed while they wrote
    for to in places:
        write(pair, to, "the next")
        assert whose(to) == ("the next", "the next")
        assert sorted(p.name for p in to.parent.iterdir()) == ["out", "out.zip"]


def check_refused(pair: Pair, to: Path, words: str) -> None:
    """An earlier take-home of run 1 lies there; the next is refused in these words."""
    with pytest.raises(MachineError, match=words) as caught:
        write(pair, to, "later")
    assert ".part-" not in str(caught.value)
    assert whose(to) == ("run 1", "run 1")
    assert sorted(p.name for p in to.parent.iterdir()) == ["out", "out.zip"]


def test_without_encoder(pair, tmp_path, briefly, monkeypatch):
    write(pair, tmp_path / "out", "run 1")
    monkeypatch.setattr(imageio_ffmpeg, "get_ffmpeg_exe", lambda: str(tmp_path / "no-such-program"))
    check_refused(pair, tmp_path / "out", "missing or does not run. Install the tool again")


def test_the_disk_is_full_when_the_zip_is_packed(pair, tmp_path, briefly, monkeypatch):
    write(pair, tmp_path / "out", "run 1")

    class FullDisk(zipfile.ZipFile):
        def open(self, *given, **named):
            if self.mode == "w" and self.filelist:  # the second file
                raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
            return super().open(*given, **named)

    with monkeypatch.context() as patch:
        patch.setattr(zipped.zipfile, "ZipFile", FullDisk)
        with pytest.raises(MachineError, match=r"out\.zip' stopped: the disk is full. Free some space"):
            write(pair, tmp_path / "out", "later")
    assert whose(tmp_path / "out") == ("run 1", "run 1")
    assert sorted(p.name for p in tmp_path.iterdir()) == ["out", "out.zip"]


def test_no_permission_to_write(pair, tmp_path, briefly, monkeypatch):
    """Refused as the system does it; taking rights away would not hold for an administrator."""
    write(pair, tmp_path / "out", "run 1")

    def refuse(*_: object, **__: object) -> None:
        raise PermissionError(errno.EACCES, os.strerror(errno.EACCES))

    with monkeypatch.context() as patch:
        patch.setattr(Path, "mkdir", refuse)
        check_refused(pair, tmp_path / "out", "is not permitted. Choose a folder of yours")
    with monkeypatch.context() as patch:
        patch.setattr(Path, "touch", refuse)  # the clip, inside
        check_refused(pair, tmp_path / "out", f"'{CLIP}' in .*out' is not permitted. Choose a folder of yours")


@pytest.fixture
def small_disk(tmp_path) -> Iterator[Path]:
    folder = tmp_path / "disk"
    folder.mkdir()
    how = ["mount", "-t", "tmpfs", "-o", "size=900k", "none", str(folder)]
    try:
        mount = subprocess.run(how, capture_output=True, check=False)
    except FileNotFoundError:
        pytest.skip("no small disk can be made here")
    if mount.returncode:
        pytest.skip("making a small disk needs the rights to mount")
    try:
        yield folder
    finally:
        subprocess.run(["umount", str(folder)], check=True)


def test_the_disk_is_full_when_a_clip_is_written(pair, small_disk, briefly):
    with (small_disk / "filling").open("wb") as file:
        file.write(bytes(880_000))
    with pytest.raises(MachineError, match=r"\.mp4' in .*out' stopped: the disk is full. Free some space"):
        write(pair, small_disk / "out", "later")
    assert [p.name for p in small_disk.iterdir()] == ["filling"]


def test_the_encoder_says_that_the_disk_is_full(pair, tmp_path, briefly, monkeypatch):
    """Where no small disk can be made: a program that ends as the encoder does on a full one."""
    if os.name != "posix":
        pytest.skip("the program is a shell script")
    write(pair, tmp_path / "out", "run 1")
    program = tmp_path.with_name(tmp_path.name + "-encoder")
    program.write_text("#!/bin/sh\nhead -c 1000 >/dev/null\necho 'Error: No space left on device' >&2\nexit 228\n")
    program.chmod(0o755)
    monkeypatch.setattr(imageio_ffmpeg, "get_ffmpeg_exe", lambda: str(program))
    check_refused(pair, tmp_path / "out", f"'{CLIP}' in .*out' stopped: the disk is full. Free some space")
