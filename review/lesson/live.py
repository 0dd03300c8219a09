"""A lesson as it happens: when it began and ended, what is watched, when things arrived, what the coach said by key."""

from dataclasses import dataclass
from datetime import datetime


@dataclass(frozen=True)
class Watched:
    """Where a lesson's files come from.

    ``folders`` pairs a folder with its camera's name ('' = told by the file's name); ``cameras`` pairs a camera's name
    with a pattern of file names. ``table`` and ``mapping`` are files, '' = none. ``body`` is which body numbers
    are made: 'thorough' (quick ones between the balls, then thorough), 'quick' or 'none'.
    """

    folders: tuple[tuple[str, str], ...] = ()
    cameras: tuple[tuple[str, str], ...] = ()
    table: str = ""
    mapping: str = ""
    body: str = "thorough"

    def __post_init__(self) -> None:
        if self.body not in ("thorough", "quick", "none"):
            raise ValueError(f"body must be thorough, quick or none, got {self.body!r}")


@dataclass(frozen=True)
class LiveLesson:
    """A lesson that is, or was, followed as it happens; times are this computer's clock, naive local time.

    What was filmed or struck from ``began_at`` until ``ended_at`` (None = still going on) belongs to it.
    ``rows_before`` names the table's rows (by content, number and time) that were there when it began.
    """

    lesson_id: str
    began_at: datetime
    ended_at: datetime | None
    watched: Watched
    rows_before: frozenset[str] = frozenset()

    def __post_init__(self) -> None:
        if self.ended_at is not None and self.ended_at < self.began_at:
            raise ValueError(f"a lesson ends after it began, got {self.began_at} to {self.ended_at}")

    def holds(self, at: datetime) -> bool:
        """Whether that moment of this computer's clock lies in the lesson."""
        return self.began_at <= at and (self.ended_at is None or at < self.ended_at)


@dataclass(frozen=True)
class Arrival:
    """When a clip's file or a row of the table was first seen, by this computer's clock.

    ``item`` is the clip's or the row's id; path, size and time of last change tell a file that was taken in already.
    """

    item: str
    seen_at: datetime
    path: str = ""
    size: int = 0
    changed_ns: int = 0


@dataclass(frozen=True)
class Said:
    """One thing said of a clip, a row or a batch (``item``, its id).

    ``what`` is 'kind', 'batch' or 'left_out' (why, '' = it counts) of a clip or row; 'row' of a clip, where they
    arrived together; 'pair' of a clip, the row surely its own before swings were moved; 'begun' of a batch: when its
    key was pressed, by this computer's clock; or 'day' of a date other than the lesson's: whether its rows are of it.
    ``by`` is 'coach' (wins, and stays) or 'clock' (found from when things arrived and keys were pressed).
    """

    item: str
    what: str
    value: str
    by: str = "coach"
