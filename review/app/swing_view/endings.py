"""Threads that were told to end and do so by themselves; nothing waits for them before the window closes."""

from review.app.swing_view.frame_pump import FramePump
from review.app.worker import Worker


class Endings:
    """Keeps them until they have ended."""

    def __init__(self) -> None:
        self._ending: list[Worker | FramePump] = []

    def add(self, *ending: Worker | FramePump) -> None:
        """Keep some more; those that have ended are forgotten."""
        self._ending = [one for one in self._ending if _is_running(one)] + list(ending)

    def wait(self) -> None:
        """Wait until all have ended."""
        for one in self._ending:
            one.wait()


def _is_running(one: Worker | FramePump) -> bool:
    return one.isRunning() if isinstance(one, Worker) else one.is_running
