"""Work on all cores: a process a core, with one progress; ends at once when it is cancelled."""

import multiprocessing
import os
import signal
import threading
import time
from collections.abc import Callable, Mapping
from concurrent.futures import FIRST_COMPLETED, Future, ProcessPoolExecutor, wait
from multiprocessing.managers import SyncManager
from queue import Empty, Queue
from typing import TypeVar

from review.progress import Progress

Result = TypeVar("Result")

_POLL_S = 0.1
_PARTS_OF_ONE = 1000
"""How finely the progress of a single task is told."""


def run_apart(
    tasks: Mapping[str, Callable[[Progress], Result]],
    lengths: Mapping[str, int],
    progress: Progress,
    ended: Callable[[str, "Future[Result]"], None],
) -> None:
    """Carry out tasks in processes of their own, as many at a time as there are cores, begun in the order given.

    Parameters
    ----------
    tasks : by the caller's own key; each can be pickled and takes a progress to report to.
    lengths : how much work each is, in one unit for all.
    progress : called often with work done and work in all, never with less than before. When it raises, nothing goes
        on in the background.
    ended : called with each task that has ended, well or not, as it ends. When it raises, all work ends.
    """
    context = multiprocessing.get_context("spawn")
    manager = SyncManager(ctx=context)
    manager.start(end_with_parent)
    with manager:
        reports: Queue[tuple[str, float]] = manager.Queue()
        done = dict.fromkeys(tasks, 0.0)
        total = sum(lengths[key] for key in tasks)
        pool = ProcessPoolExecutor(min(len(tasks), os.cpu_count() or 1), context, initializer=end_with_parent)
        try:
            running = {pool.submit(_run, key, task, reports): key for key, task in tasks.items()}
            while running:
                finished, _ = wait(running, timeout=_POLL_S, return_when=FIRST_COMPLETED)
                _take_in(reports, done)
                for future in finished:
                    key = running.pop(future)
                    ended(key, future)
                    done[key] = 1.0
                progress(min(total, int(sum(done[key] * lengths[key] for key in tasks) + 1e-6)), total)
        except BaseException:
            _stop(pool)
            raise
        pool.shutdown()


def run_one_apart(task: Callable[[Progress], Result], progress: Progress) -> Result:
    """Carry out one task in a process of its own; as :func:`run_apart`."""
    results: list[Result] = []
    run_apart({"": task}, {"": _PARTS_OF_ONE}, progress, lambda _, future: results.append(future.result()))
    return results[0]


def end_with_parent() -> None:
    """Make this process end when its parent has, and leave Ctrl-C to the parent."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    threading.Thread(target=_wait_for_parent, daemon=True).start()


def _wait_for_parent() -> None:
    parent = multiprocessing.parent_process()
    if parent is not None:
        parent.join()
        os._exit(1)


def _run(key: str, task: Callable[[Progress], Result], reports: "Queue[tuple[str, float]]") -> Result:
    told_s = -_POLL_S

    def report(done: int, total: int) -> None:
        nonlocal told_s
        now_s = time.monotonic()
        if now_s - told_s >= _POLL_S:
            told_s = now_s
            reports.put((key, done / total))

    return task(report)


def _take_in(reports: "Queue[tuple[str, float]]", done: dict[str, float]) -> None:
    while True:
        try:
            key, part = reports.get_nowait()
        except Empty:
            return
        done[key] = max(done[key], part)


def _stop(pool: ProcessPoolExecutor) -> None:
    """End the processes at once: a cancelled run must not go on in the background."""
    processes = list((pool._processes or {}).values())
    for process in processes:
        process.terminate()
    pool.shutdown(wait=False, cancel_futures=True)
    for process in processes:
        process.join()
