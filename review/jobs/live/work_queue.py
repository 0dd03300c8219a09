"""Orders to measure clips, carried out in processes of their own: quick ones first, thorough ones when idle."""

import multiprocessing
import os
from collections import Counter
from collections.abc import Callable
from concurrent.futures import Future, ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from dataclasses import dataclass
from queue import Empty

from review.errors import BadInputError, Cancelled
from review.jobs.live.worker import Order, Outcome, Report, begin, carry_out, warm_up
from review.pose import Effort

_TRIES = 3


@dataclass(frozen=True)
class Finished:
    """An order that is over."""

    order: Order
    outcome: Outcome


class WorkQueue:
    """Orders that wait, run and are over; ``look`` never blocks.

    The newest quick order comes first: between two balls the coach looks at the last one. A thorough order that runs
    makes way for a quick one and begins anew later. An order whose process ended or whose disk was full is tried again;
    whatever else goes wrong with one is its outcome, in words.
    """

    def __init__(self, n_processes: int | None = None, carry_out: Callable[[Order], Outcome] = carry_out) -> None:
        self._n = n_processes or min(2, os.cpu_count() or 1)
        self._carry_out = carry_out
        self._waiting: list[Order] = []
        self._running: dict[Future[Outcome], tuple[Order, ProcessPoolExecutor]] = {}
        self._tries: Counter[Order] = Counter()
        self._context = multiprocessing.get_context("spawn")
        self._stop = self._context.Event()
        self._make_way = self._context.Event()
        self._reports = self._context.Queue()
        self._pool: ProcessPoolExecutor | None = None
        self.is_paused = False

    def __len__(self) -> int:
        """Orders that wait or run."""
        return len(self._waiting) + len(self._running)

    @property
    def n_quick(self) -> int:
        """Quick orders that wait or run."""
        return sum(o.effort is Effort.QUICK for o in (*self._waiting, *self._orders_running()))

    @property
    def clips(self) -> tuple[frozenset[str], frozenset[str]]:
        """Ids of the clips that are being measured, and of those that wait for it."""
        running, waiting = (
            frozenset(order.clip_id for order in orders if order.clip_id and not order.is_copy)
            for orders in (self._orders_running(), self._waiting)
        )
        return running, waiting - running

    def warm_up(self) -> None:
        """Start the processes and load the pose library in them, before there is anything to do."""
        for _ in range(self._n):
            self._open_pool().submit(warm_up)

    def add(self, order: Order) -> None:
        """Put an order in; one that waits already is not put in twice."""
        if order not in self._waiting:
            self._waiting.append(order)

    def look(self) -> tuple[tuple[Report, ...], tuple[Finished, ...]]:
        """Start what can be started; return what was reported and what is over since."""
        finished = [f for future in [f for f in self._running if f.done()] if (f := self._end(future)) is not None]
        is_thorough = any(order.effort is Effort.THOROUGH for order in self._orders_running())
        if is_thorough and self.n_quick:
            self._make_way.set()
        elif not is_thorough:
            self._make_way.clear()
        while self._waiting and len(self._running) < self._n and not self._stop.is_set():
            order = self._next()
            if order.effort is Effort.THOROUGH and self.n_quick:
                break
            pool = self._open_pool()
            try:
                self._running[pool.submit(self._carry_out, order)] = (order, pool)
            except BrokenProcessPool:
                self._pool = None
                break
            self._waiting.remove(order)
        return self._drain(), tuple(finished)

    def cancel(self) -> None:
        """Drop what waits and stop what runs; landmarks of clips that were finished stay."""
        self._waiting.clear()
        self.pause()

    def pause(self) -> None:
        """Stop what runs and start nothing; it begins anew with ``go_on``."""
        self.is_paused = True
        self._stop.set()

    def go_on(self) -> None:
        """Start again after ``pause``."""
        self.is_paused = False
        if not self._running:
            self._stop.clear()

    def close(self) -> None:
        """End the processes at once; what was finished is kept."""
        self._stop.set()
        if self._pool is not None:
            processes = list((self._pool._processes or {}).values())
            for process in processes:
                process.terminate()
            self._pool.shutdown(wait=True, cancel_futures=True)
            self._pool = None
        self._reports.cancel_join_thread()
        self._reports.close()

    def _open_pool(self) -> ProcessPoolExecutor:
        if self._pool is None:
            self._pool = ProcessPoolExecutor(
                self._n, self._context, initializer=begin, initargs=(self._stop, self._make_way, self._reports)
            )
        return self._pool

    def _next(self) -> Order:
        quick = [order for order in self._waiting if order.effort is Effort.QUICK]
        return quick[-1] if quick else self._waiting[0]

    def _orders_running(self) -> list[Order]:
        return [order for order, _ in self._running.values()]

    def _end(self, future: "Future[Outcome]") -> Finished | None:
        """Take what came of an order, or put it back to be tried again."""
        order, pool = self._running.pop(future)
        if not self.is_paused and not self._running:
            self._stop.clear()
        error = future.exception()
        if error is None:
            return Finished(order, future.result())
        if isinstance(error, Cancelled):
            self._waiting.append(order)
            return None
        if isinstance(error, BadInputError):
            return Finished(order, Outcome(problem=str(error)))
        if isinstance(error, BrokenProcessPool):
            if self._pool is pool:
                self._pool = None
            problem = "The process that measured it ended."
        elif isinstance(error, OSError):
            problem = str(error)
        else:  # one clip that cannot be measured must not end the lesson
            what = f"{type(error).__name__}: {error}".rstrip(": ")
            return Finished(order, Outcome(problem=f"Measuring failed ({what}). Measure it after the lesson."))
        self._tries[order] += 1
        if self._tries[order] < _TRIES:
            self.add(order)
            return None
        return Finished(order, Outcome(problem=f"{problem} It was tried {_TRIES} times; measure it after the lesson."))

    def _drain(self) -> tuple[Report, ...]:
        reports: dict[Order, Report] = {}
        while True:
            try:
                report = self._reports.get_nowait()
            except Empty:
                return tuple(reports.values())
            reports[report.order] = report
