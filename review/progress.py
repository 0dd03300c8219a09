"""How long work reports progress: a callable that may raise ``Cancelled``."""

from collections.abc import Callable

Progress = Callable[[int, int], None]


def silent(done: int, total: int) -> None:
    """Report nothing."""
