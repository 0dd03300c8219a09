"""Tells how long the thread of the window is held by its own work."""

import time
from collections.abc import Callable

from PyQt5.QtCore import QEventLoop, QTimer
from PyQt5.QtWidgets import QApplication
from waiting import PATIENCE_MS

MOST_S = 0.05
"""So long the window may be held by its own work."""


class Watchdog:
    """Ticks every 5 ms; keeps the longest between two ticks, in seconds: by the clock, and of the window's own work."""

    def __init__(self) -> None:
        self.longest_s = self.own_s = 0.0
        self._last = time.perf_counter(), time.thread_time()
        self._timer = QTimer()
        self._timer.timeout.connect(self._tick)
        self._timer.start(5)

    def _tick(self) -> None:
        now = time.perf_counter(), time.thread_time()
        self.longest_s = max(self.longest_s, now[0] - self._last[0])
        self.own_s = max(self.own_s, now[1] - self._last[1])
        self._last = now

    def stop(self) -> tuple[float, float]:
        """End it, and tell both."""
        self._timer.stop()
        self._tick()
        return self.longest_s, self.own_s


def find_longest_own_s(begin: Callable[[], object], is_done: Callable[[], bool], after_s: float = 0.1) -> float:
    """How long, at most, the window worked at a stretch from ``begin`` until it is done and a little after.

    Processor time of its thread: what other programs and threads do at the same time does not count.
    """
    dog, until_s, end_s = Watchdog(), time.monotonic() + PATIENCE_MS / 1000, 0.0
    begin()
    while time.monotonic() < (end_s or until_s):
        QApplication.processEvents(QEventLoop.ProcessEventsFlag.AllEvents, 5)
        time.sleep(0.001)
        if not end_s and is_done():
            end_s = time.monotonic() + after_s
    assert end_s, "it was never done"
    return dog.stop()[1]
