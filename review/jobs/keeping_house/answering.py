"""Measuring again as the window does it, each in one piece of work with a library of its own."""

from dataclasses import dataclass
from pathlib import Path

from review.jobs.keeping_house.measuring_again import Accepted, Again, accept, drop, measure_again
from review.jobs.keeping_house.what_changed import Change, list_changes
from review.library import Library
from review.progress import Progress, silent


@dataclass(frozen=True)
class Waiting:
    """For how many swings new numbers wait, how many could not be measured again, and what changes by measure."""

    n_swings: int
    n_trouble: int
    changes: tuple[Change, ...]


def show_waiting(folder: Path) -> Waiting:
    """Look what waits to be accepted.

    Raises
    ------
    BadInputError
        When there is no library.
    """
    with Library.open(folder, create=False) as library:
        return Waiting(*list_changes(library))


def measure_and_show(folder: Path, progress: Progress = silent) -> tuple[Again, Waiting]:
    """Measure again what is of an older method, and look what waits; see :func:`measure_again`."""
    return measure_again(folder, progress), show_waiting(folder)


def accept_waiting(folder: Path, progress: Progress = silent) -> Accepted:
    """Put the new numbers in the place of the old; see :func:`accept`."""
    with Library.open(folder, create=False) as library:
        return accept(library, progress)


def drop_waiting(folder: Path) -> int:
    """Let go of the new numbers; return of how many swings."""
    with Library.open(folder, create=False) as library:
        return drop(library)
