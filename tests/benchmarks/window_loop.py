"""The window's loop as benchmarks drive it, with a tick every 5 ms that shows how long it was held up."""

import sys
import time

import numpy as np
from PyQt5.QtCore import QTimer

from review.app.start import make_application


class WindowLoop:
    def __init__(self) -> None:
        self.application = make_application()
        sys.setswitchinterval(0.001)  # as start.run does
        self.ticks: list[tuple[float, float]] = []
        self._timer = QTimer()
        self._timer.timeout.connect(lambda: self.ticks.append((time.perf_counter(), time.thread_time())))
        self._timer.start(5)

    def until(self, done, limit_s: float = 60.0) -> None:
        """Let things happen until ``done``, at most so long."""
        end_s = time.perf_counter() + limit_s
        while not done() and time.perf_counter() < end_s:
            self.application.processEvents()
            time.sleep(0.0005)

    def held_up_ms(self) -> np.ndarray:
        """Longest hold-up since the ticks were cleared: by the clock, and of the window's own work."""
        return np.diff(np.array(self.ticks), axis=0).max(axis=0) * 1e3
