"""Noting what was handed over: before it is written, so that a run that is ended half way is not silently missing."""

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import datetime

from review.errors import BadInputError, Cancelled, MachineError
from review.library import Library

BEGUN = "begun, not known to be finished"


@contextmanager
def noted(
    library: Library, lesson_id: str, what: str, to_whom: str, at: datetime | None = None, *, in_one_step: bool = True
) -> Iterator[list[str]]:
    """Note a hand-over as begun, and as done when the block ends well; put better words for it into the list.

    Refused, cancelled or failed (a full disk), nothing lies there and the note goes, where all of it appears
    ``in_one_step``; ended in any other way, it stays as begun.
    """
    at = at or datetime.now().replace(microsecond=0)
    note = library.note_handout(lesson_id, f"{what} ({BEGUN})", to_whom, at)
    better: list[str] = []
    try:
        yield better
    except (BadInputError, Cancelled, MachineError):
        if in_one_step:
            library.settle_handout(note, "")
        raise
    library.settle_handout(note, better[-1] if better else what)
