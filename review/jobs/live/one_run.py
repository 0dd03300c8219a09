"""One run at a time follows a lesson of a library; the lock goes with its process, however that ends.

The next lesson need not wait until the last one is measured: its run asks the one before to leave.
"""

import os
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

from review.errors import MachineError

_WAIT_S = 30.0
_LOOK_EVERY_S = 0.1
_BUSY = (
    "A lesson is being followed in this library by another run of the program. Press e there to end it, or go on "
    "there; several cameras fit into one run."
)


@contextmanager
def only_run(library: Path, is_going_on: Callable[[], bool] = lambda: True, wait_s: float = _WAIT_S) -> Iterator[None]:
    """Hold the library's lock for following lessons.

    Parameters
    ----------
    is_going_on : whether some lesson of the library goes on. A run whose lesson is over, and that only measures still,
        is asked to leave (``is_asked_to_leave``), and waited for.
    wait_s : for how long.

    Raises
    ------
    MachineError
        When another run holds the lock and its lesson goes on, or it does not leave.
    """
    file = os.open(library / "live.lock", os.O_RDWR | os.O_CREAT)
    try:
        until_s = time.monotonic() + wait_s
        while not _try_lock(file):
            if is_going_on() or time.monotonic() > until_s:
                raise MachineError(_BUSY)
            _request(library).touch()
            time.sleep(_LOOK_EVERY_S)
        _request(library).unlink(missing_ok=True)
        yield
    finally:
        os.close(file)


def is_asked_to_leave(library: Path) -> bool:
    """Whether another run waits to follow the next lesson; a run whose lesson is over then leaves."""
    return _request(library).exists()


def _request(library: Path) -> Path:
    return library / "live.next"


def _try_lock(file: int) -> bool:
    try:
        _lock(file)
    except OSError:
        return False
    return True


def _lock(file: int) -> None:
    if sys.platform == "win32":
        import msvcrt

        msvcrt.locking(file, msvcrt.LK_NBLCK, 1)
    else:
        import fcntl

        fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
