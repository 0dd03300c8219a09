"""A take-home with clips that is killed, or that disk or encoder refuse, leaves the earlier one whole."""

import errno
import itertools
import multiprocessing
import os
import random
import re
import shutil
import signal
import struct
import subprocess
import threading
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
from review.progress import Progress, silent
from review.takehome import ClipSide, Form, Pair, TakeHome, write_takehome, zipped
from review.takehome.clips import layout, passages, rendering
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
    patch.setattr(layout, "_SIZES_PX", dict.fromkeys(Form, (540, 960)))


def write(pair: Pair, to: Path, name: str, progress: Progress = silent) -> None:
    contents = TakeHome(name, date(2026, 3, 14), pairs=(pair,))
    write_takehome(contents, to, progress, choice=TOGETHER, with_zip=True)


def write_and_be_killed(pair: Pair, to: Path, name: str, step: int, later_s: float) -> None:
    """End by the system's own kill so long after a step of the progress, whatever is being done then."""
    make_brief(pytest.MonkeyPatch())
    steps = itertools.count(1)

    def look(*_: int) -> None:
        if next(steps) == step:
            threading.Thread(target=die).start()

    def die() -> None:
        time.sleep(later_s)
        os.kill(os.getpid(), signal.SIGKILL)

    write(pair, to, name, look)
    time.sleep(60)


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
    context.set_forkserver_preload(["review.takehome", __name__])
    places = [tmp_path / f"{n}" / "out" for n in range(4)]
    told: list[float] = []
    write(pair, places[0], "run 1", lambda *_: told.append(time.monotonic()))
    for to in places[1:]:
        shutil.copytree(places[0].parent, to.parent)
    n_steps, last_s = len(told), told[-1] - told[-2]
    chance = random.Random(20)
    # one in each part of the work; more from the last step to the end, where all is packed and moved in
    moments = [(1 + int((n + chance.random()) * (n_steps - 2) / 12), chance.uniform(0, 0.02)) for n in range(12)]
    moments += [(n_steps - 1, 1.2 * (n + chance.random()) * last_s / 8) for n in range(8)]
    last = dict.fromkeys(places, 1)
    amid = 0
    for wanted in (moments[n : n + 4] for n in range(0, 20, 4)):  # four at once
        running = []
        for to, (step, later_s) in zip(places, wanted, strict=True):
            given = (pair, to, f"run {last[to] + 1}", step, later_s)
            running.append((context.Process(target=write_and_be_killed, args=given), to))
            running[-1][0].start()
        for process, to in running:
            process.join()
            assert process.exitcode == -signal.SIGKILL
            amid += any(p.name.startswith(".out.") for p in to.parent.iterdir())
            in_folder, in_zip = (int(name.removeprefix("run ")) for name in whose(to))
            assert last[to] <= in_folder <= last[to] + 1
            assert in_folder - 1 <= in_zip <= in_folder  # the one is moved in right after the other
            last[to] = in_folder
    assert amid >= 12  # else they were not killed while they wrote
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
