"""Which rows of the device's table stood in it before a lesson: of other pupils, or of this one, just begun."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from pathlib import Path

from review.errors import ReviewError
from review.jobs.live.clocks import Stamp, follow_clock
from review.jobs.live.desk import DAY
from review.jobs.tables.kept_mappings import find_mapping
from review.lesson import LiveLesson, Shot, Watched
from review.library import Library
from review.shots import read_shot_table, row_key

_LATELY = timedelta(minutes=2)
_FILE_CLOCK = timedelta(minutes=1)
"""A table changed later than this after the start has a file clock of its own, which says nothing here."""


@dataclass(frozen=True)
class RowsBefore:
    """Names of the rows that are not of the lesson, and what the coach should know of them ('' = nothing)."""

    keys: frozenset[str] = frozenset()
    note: str = ""


def find_rows_before(
    library: Library, watched: Watched, held_on: date, began_at: datetime, since: datetime | None
) -> RowsBefore:
    """Find the table's rows that are of other pupils: all that are there, unless they were struck since the beginning.

    Parameters
    ----------
    began_at : when the coach started the lesson; rows written between then and now are of it.
    since : when the coach says that it began; None = ``began_at``.
    """
    rows = _read_rows(library, watched, held_on)
    if since is not None:
        ahead = _find_ahead(library, watched, rows, least=timedelta(0))
        return RowsBefore(
            frozenset(row_key(s) for s in rows if s.struck_at is not None and s.struck_at < since + ahead)
        )
    keys = frozenset(row_key(shot) for shot in rows)
    changed_at = _changed_at(watched)
    if changed_at is None or not began_at - _LATELY <= changed_at <= began_at + _FILE_CLOCK:
        return RowsBefore(keys)
    elsewhere = _keys_of(library, held_on)
    ahead = _find_ahead(library, watched, rows)
    own = {row_key(s) for s in rows if s.struck_at is not None and s.struck_at >= began_at + ahead} - elsewhere
    left = [shot for shot in rows if row_key(shot) not in own | elsewhere]
    if not left:
        return RowsBefore(keys - own)
    at = left[-1].struck_at
    struck = "" if at is None else f", the last struck {at:%H:%M:%S} by the device's clock"
    earlier = changed_at if at is None else min(at - ahead, changed_at)
    note = (
        f"{Path(watched.table).name} was written just before the lesson began: {len(left)} "
        f"{'row' if len(left) == 1 else 'rows'} in it left out{struck}. If the last of them is of this lesson: Ctrl-C, "
        f"then lesson-review live --since {earlier:%H:%M}."
    )
    return RowsBefore(keys - own, note)


def find_rows_since(library: Library, live: LiveLesson, since: datetime) -> frozenset[str]:
    """Rows of the table struck since then that no other lesson of that day has."""
    held_on = library.lesson(live.lesson_id).held_on
    rows = _read_rows(library, live.watched, held_on)
    ahead = _find_ahead(library, live.watched, rows, least=timedelta(0))
    struck = frozenset(row_key(s) for s in rows if s.struck_at is not None and s.struck_at >= since + ahead)
    return struck - _keys_of(library, held_on, but=live.lesson_id)


def _find_ahead(library: Library, watched: Watched, rows: Sequence[Shot], least: timedelta | None = None) -> timedelta:
    """How far the device's clock is ahead of this computer's, as well as earlier arrivals and the table itself tell.

    Notes
    -----
    No row was written before it was struck: the table's last change bounds it. ``least`` is assumed where nothing else
    is known.
    """
    struck = [shot.struck_at for shot in rows if shot.struck_at is not None]
    changed_at = _changed_at(watched)
    known = _known_ahead(library, watched)
    told = [timedelta(seconds=known)] if known is not None else [] if least is None else [least]
    if struck and changed_at is not None and known is None:
        told.append(max(struck) - changed_at)
    return max(told, default=timedelta(0))


def _known_ahead(library: Library, watched: Watched) -> float | None:
    """How far the device was ahead in the lessons of the day with this table, s; None where too little came."""
    lives = [live for live in library.live_lessons() if live.watched.table == watched.table]
    stamps = []
    for live in [live for live in lives if live.began_at > lives[-1].began_at - DAY]:
        shots = {shot.id: shot for shot in library.shots(live.lesson_id)}
        for arrival in library.arrivals(live.lesson_id):
            at = shots[arrival.item].struck_at if arrival.item in shots else None
            if at is not None:
                stamps.append(Stamp(at.timestamp(), arrival.seen_at.timestamp()))
    course = follow_clock(stamps)
    return course.ahead_s[-1] if course.is_known else None


def _keys_of(library: Library, held_on: date, but: str = "") -> frozenset[str]:
    """Names of the rows that lessons of that day have."""
    return frozenset(
        row_key(shot)
        for lesson in library.lessons()
        if lesson.held_on == held_on and lesson.id != but
        for shot in library.shots(lesson.id)
    )


def _changed_at(watched: Watched) -> datetime | None:
    try:
        return datetime.fromtimestamp(Path(watched.table).stat().st_mtime)
    except OSError:
        return None


def _read_rows(library: Library, watched: Watched, held_on: date) -> tuple[Shot, ...]:
    path = Path(watched.table)
    if not watched.table or not path.is_file():
        return ()
    try:
        found = find_mapping(library.folder, path, Path(watched.mapping) if watched.mapping else None)
        table = read_shot_table(path, found.mapping, held_on)
    except ReviewError:
        return ()  # empty or being written: told once it is read while the lesson goes on
    return tuple(table.shots)
