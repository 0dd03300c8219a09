"""Counts bytes of many files for one progress that never goes back."""

from review.progress import Progress


class Counting:
    """Bytes done of ``total``, told with every step."""

    def __init__(self, progress: Progress, total: int = 0) -> None:
        self._progress = progress
        self.total = total
        self.done = 0

    def add(self, n: int) -> None:
        """Note bytes just worked on."""
        self.at_least(self.done + n)

    def at_least(self, done: int) -> None:
        """Note that so many bytes are done, if not more."""
        self.done = max(self.done, done)
        total = max(self.total, 1)
        self._progress(min(self.done, total), total)
