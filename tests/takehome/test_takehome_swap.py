"""The folder of a take-home is the old one or the new one, whenever the run ends."""

import errno
import multiprocessing
import os
import random
import re
import time
from datetime import date
from pathlib import Path

import pytest

from review.errors import BadInputError, MachineError
from review.takehome import Chart, ChartPoint, TakeHome, folder, write_takehome, writing


def contents(name: str) -> TakeHome:
    points = tuple(ChartPoint(i, 6.0 - i / 3, 1 if i < 7 else 2) for i in range(1, 13))
    return TakeHome(name, date(2026, 3, 14), charts=(Chart("Club path", "°", points),), practice=("slow swings",))


def name_in(to: Path) -> str:
    """Check that a take-home is whole and return whose it is."""
    page = (to / "index.html").read_text(encoding="utf-8")
    assert page.rstrip().endswith("</html>")
    assert (to / "sheet.pdf").read_bytes().rstrip().endswith(b"%%EOF")
    assert (to / "measures.csv").stat().st_size
    match = re.search(r"<bdi>(.*?)</bdi>", page)
    assert match is not None
    return match[1]


def write_again_and_again(to: str, names: list[str]) -> None:
    for name in names:
        write_takehome(contents(name), to)


def test_killed_at_any_moment_a_whole_take_home_is_there(tmp_path):
    if "forkserver" not in multiprocessing.get_all_start_methods():
        pytest.skip("needs a fork server to start many processes quickly")
    context = multiprocessing.get_context("forkserver")
    context.set_forkserver_preload(["review.takehome"])
    to = tmp_path / "out"
    write_takehome(contents("first"), to)
    start = time.monotonic()
    write_takehome(contents("second"), to)
    one_s = time.monotonic() - start  # only chooses the moments, nothing is asserted about it
    chance = random.Random(14)
    names = [f"run {n}" for n in range(50)]
    for _ in range(10):
        before = (to / "index.html").stat().st_ino
        process = context.Process(target=write_again_and_again, args=(str(to), names))
        process.start()
        process.join(chance.uniform(0.0, 1.5) * one_s)
        process.kill()
        process.join()
        assert name_in(to) in {"second", *names}
    process = context.Process(target=write_again_and_again, args=(str(to), names))
    process.start()
    while (to / "index.html").stat().st_ino == before:  # killed after a first one was moved in
        assert process.is_alive()
        time.sleep(0.01)
    process.kill()
    process.join()
    assert name_in(to) in names
    write_takehome(contents("last"), to)
    assert name_in(to) == "last"
    assert [p.name for p in tmp_path.iterdir()] == ["out"]


@pytest.mark.parametrize("can_exchange", [True, False])
def test_a_new_take_home_replaces_the_earlier_one(tmp_path, monkeypatch, can_exchange):
    if not can_exchange:
        monkeypatch.setattr(folder, "exchange", lambda one, other: False)
    write_takehome(contents("earlier"), tmp_path / "out")
    (tmp_path / "out" / "Thumbs.db").write_bytes(b"made by the system")
    write_takehome(contents("later"), tmp_path / "out")
    assert name_in(tmp_path / "out") == "later"
    assert [p.name for p in tmp_path.iterdir()] == ["out"]


def test_an_old_folder_left_aside_by_an_ended_run_comes_back(tmp_path):
    """Where folders cannot change places in one step, a run can end with the old one aside."""
    write_takehome(contents("earlier"), tmp_path / "out")
    ended = find_free_pid()
    (tmp_path / "out").rename(tmp_path / f".out.old-{ended}")
    folder.recover_folder(tmp_path / "out")
    assert name_in(tmp_path / "out") == "earlier"


def find_free_pid() -> int:
    process = multiprocessing.get_context("spawn").Process()
    for pid in range(99_999, 2, -1):
        if pid != process.pid and not folder._may_be_running(pid, Path.cwd()):
            return pid
    raise AssertionError("every process number is taken")


def test_a_folder_that_only_looks_like_a_leftover_is_kept(tmp_path):
    lookalike = tmp_path / f".out.part-{find_free_pid()}"
    lookalike.mkdir()
    (lookalike / "mine.txt").write_text("mine")
    write_takehome(contents("new"), tmp_path / "out")
    assert (lookalike / "mine.txt").read_text() == "mine"


def test_what_the_coach_put_beside_the_page_is_not_thrown_away(tmp_path):
    write_takehome(contents("earlier"), tmp_path / "out")
    (tmp_path / "out" / "letter.txt").write_text("Dear pupil")
    with pytest.raises(BadInputError, match=r"letter\.txt"):
        write_takehome(contents("later"), tmp_path / "out")
    assert name_in(tmp_path / "out") == "earlier"
    assert (tmp_path / "out" / "letter.txt").exists()


def test_a_file_in_the_place_is_told_and_kept(tmp_path):
    (tmp_path / "out").write_text("a file")
    with pytest.raises(BadInputError):
        write_takehome(contents("new"), tmp_path / "out")
    with pytest.raises(BadInputError):
        write_takehome(contents("new"), tmp_path / "out" / "below" / "it")
    assert (tmp_path / "out").read_text() == "a file"
    assert [p.name for p in tmp_path.iterdir()] == ["out"]


@pytest.mark.parametrize(("number", "word"), [(errno.ENOSPC, "full"), (errno.EACCES, "not permitted")])
def test_a_disk_that_fails_changes_nothing(tmp_path, monkeypatch, number, word):
    write_takehome(contents("earlier"), tmp_path / "deep" / "out")

    def fail(path: Path, data: bytes) -> None:
        if path.suffix == ".pdf":
            raise OSError(number, os.strerror(number))
        path.write_bytes(data)

    monkeypatch.setattr(writing, "_write", fail)
    for to in (tmp_path / "deep" / "out", tmp_path / "other" / "new"):
        with pytest.raises(MachineError, match=word):
            write_takehome(contents("later"), to)
    assert name_in(tmp_path / "deep" / "out") == "earlier"
    assert [p.name for p in (tmp_path / "deep").iterdir()] == ["out"]
    assert [p.name for p in tmp_path.iterdir()] == ["deep"]
