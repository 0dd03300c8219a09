"""Work in processes of its own: all of it done, one progress that only grows, nothing left running."""

import multiprocessing
import os
import sys
import time
from collections.abc import Callable
from contextlib import suppress
from functools import partial
from pathlib import Path

import pytest

from review.errors import BadInputError
from review.jobs.processes import run_apart
from review.progress import Progress

_LONG_S = 60.0


def count(folder: Path, until: int, progress: Progress) -> int:
    """Count slowly; the process number is noted in ``folder``, and a file when the end is reached."""
    (folder / str(os.getpid())).touch()
    for i in range(until):
        time.sleep(0.02)
        progress(i + 1, until)
    (folder / "ended").touch()
    return until


def fail(progress: Progress) -> int:
    """Fail as a file that cannot be read."""
    raise BadInputError("no video")


def test_all_tasks_are_done_beside_each_other_and_progress_only_grows(tmp_path: Path) -> None:
    told: list[tuple[int, int]] = []
    results: dict[str, int] = {}
    tasks = {name: partial(count, tmp_path, n) for name, n in (("a", 30), ("b", 40), ("c", 10))}
    run_apart(
        tasks,
        {"a": 300, "b": 400, "c": 100},
        lambda done, total: told.append((done, total)),
        lambda key, future: results.update({key: future.result()}),
    )
    assert results == {"a": 30, "b": 40, "c": 10}
    assert [done for done, _ in told] == sorted(done for done, _ in told)
    assert told[-1] == (800, 800)
    assert any(0 < done < 800 for done, _ in told)
    assert str(os.getpid()) not in {file.name for file in tmp_path.iterdir()}


def test_what_ended_tells_raises_here_and_ends_all_work(tmp_path: Path) -> None:
    tasks = {"bad": fail, "long": partial(count, tmp_path, round(_LONG_S / 0.02))}
    with pytest.raises(BadInputError, match="no video"):
        run_apart(tasks, {"bad": 1, "long": 1}, lambda *_: None, lambda _, future: future.result())
    assert_nothing_runs(tmp_path)


def test_cancelled_work_leaves_no_process(tmp_path: Path) -> None:
    def stop(done: int, total: int) -> None:
        if done > 0:
            raise KeyboardInterrupt

    tasks = {name: partial(count, tmp_path, round(_LONG_S / 0.02)) for name in "ab"}
    with pytest.raises(KeyboardInterrupt):
        run_apart(tasks, {"a": 100_000, "b": 100_000}, stop, lambda *_: None)
    assert_nothing_runs(tmp_path)


def run_long(folder: Path) -> None:
    """Work that would take a minute."""
    tasks = {name: partial(count, folder, round(_LONG_S / 0.02)) for name in "ab"}
    run_apart(tasks, {"a": 1, "b": 1}, lambda *_: None, lambda *_: None)


@pytest.mark.skipif(sys.platform != "linux", reason="looks for processes in /proc")
def test_killed_work_leaves_no_process(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    mark = f"killed-{tmp_path}"
    with monkeypatch.context() as patch:
        patch.setenv("LESSON_REVIEW_TEST", mark)
        run = multiprocessing.get_context("spawn").Process(target=run_long, args=(tmp_path,))
        run.start()
    wait_until(lambda: any(tmp_path.iterdir()))
    assert len(marked(mark)) > 2  # two that work, and what hears their progress
    run.kill()
    run.join()
    wait_until(lambda: not marked(mark))


def marked(mark: str) -> list[Path]:
    """Processes with a mark in their surroundings."""
    found = []
    for process in Path("/proc").glob("[0-9]*"):
        with suppress(OSError):
            if mark.encode() in (process / "environ").read_bytes():
                found.append(process)
    return found


def wait_until(is_so: Callable[[], bool]) -> None:
    until_s = time.monotonic() + 60
    while not is_so():
        assert time.monotonic() < until_s
        time.sleep(0.1)


def assert_nothing_runs(folder: Path) -> None:
    assert not multiprocessing.active_children()
    for file in folder.iterdir():
        assert file.name.isdigit(), "a task went on to its end"
        with pytest.raises(ProcessLookupError):
            os.kill(int(file.name), 0)
