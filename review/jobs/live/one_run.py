"""One run at a time follows a lesson of a library; the lock goes with its process, however that ends."""

import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from review.errors import MachineError


@contextmanager
def only_run(library: Path) -> Iterator[None]:
    """Hold the library's lock for following lessons.

    Raises
    ------
    MachineError
        When another run holds it.
    """
    file = os.open(library / "live.lock", os.O_RDWR | os.O_CREAT)
    try:
        try:
            _lock(file)
        except OSError as error:
            raise MachineError(
                "A lesson is being followed in this library by another run of the program. Go on there, or end that "
                "run first; several cameras and pupils fit into one run."
            ) from error
        yield
    finally:
        os.close(file)


def _lock(file: int) -> None:
    if sys.platform == "win32":
        import msvcrt

        msvcrt.locking(file, msvcrt.LK_NBLCK, 1)
    else:
        import fcntl

        fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
