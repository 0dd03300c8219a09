"""Pressure recordings that have no clock, one a shot: which row of the table each belongs to, and its clock from it."""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from itertools import pairwise

from review.errors import BadInputError
from review.jobs.pressure.impact_in_trace import find_fastest_s, has_rival_move
from review.lesson import Shot, Trace
from review.lesson.words import count
from review.pressure import PressureRecord, cut_shots, read_number
from review.shots import ColumnMapping, find_shot_number

_KEPT_S = 10.0
"""Of a long recording: so much before and after its fastest move."""
_FEWEST_SAMPLES = 10
_HALF_A_DOWNSWING_S = 0.15
_CLOCK_WITHIN_S = 2.0
"""How far a clock told so may be off: half a second of rounding, the fastest move, and a device that writes late."""
_CURE = "or export the recordings with the time of day"


@dataclass(frozen=True)
class PlacedPieces:
    """Traces by the id of their row, and what the coach should know."""

    traces: Mapping[str, Trace]
    notes: tuple[str, ...] = ()


def number_rows(
    shots: Sequence[Shot], read: Sequence[Shot] = (), mapping: ColumnMapping | None = None
) -> dict[str, int]:
    """The numbers that their table gives rows, by their ids; those it gives none are left out.

    Parameters
    ----------
    shots : all rows of the lesson.
    read : those of the table just read; they tell the numbers of rows that were added before it had any.
    mapping : the one it was read by.
    """
    at_second = Counter(shot.struck_at for shot in read)
    by_id, by_time = {}, {}
    for shot in (*shots, *read):
        number = read_number(find_shot_number(shot, mapping))
        if number is not None:
            by_id[shot.id] = number
            if at_second[shot.struck_at] == 1:
                by_time[shot.struck_at] = number
    found = {shot.id: by_id.get(shot.id, by_time.get(shot.struck_at)) for shot in shots}
    return {row_id: number for row_id, number in found.items() if number is not None}


def place_pieces(record: PressureRecord, shots: Sequence[Shot], numbers: Mapping[str, int]) -> PlacedPieces:
    """Give each recording of a shot to its row: by row or number where they tell it, else in order.

    The clock of each is its row's, with impact by the fastest move of the pressure; it is right to about a second, and
    ``Trace.is_clock_of_shot`` says so.

    Parameters
    ----------
    record : one with ``shots``.
    shots : rows of one table.
    numbers : the shot number that the table gives a row, by its id.

    Raises
    ------
    BadInputError
        It cannot be told which recording is of which row, or recordings would overlap.
    """
    file = record.table
    n = len(record.shots)
    if not shots:
        raise BadInputError(
            f"{file}: expected a row of the shot table for each of {count(n, 'recording')} without a clock, found no "
            f"rows; add the shot table with them, {_CURE}."
        )
    if any(shot.struck_at is None for shot in shots):
        raise BadInputError(
            f"{file}: expected rows with a time, which give the recordings their clock, found some without in "
            f"{shots[0].table}; export that table with its times, {_CURE}."
        )
    rows = sorted(shots, key=lambda shot: (shot.struck_at or datetime.min, shot.row_number))
    pairs, how = _pair(record, rows, numbers)
    notes = [f"{file}: {count(len(pairs), 'recording')} without a clock put to rows of {rows[0].table} {how}."]
    if n > len(pairs):
        lone = [shot.name for i, shot in enumerate(record.shots) if i not in dict(pairs)]
        notes.append(f"{file}: left out, because the table has no row of that number: {', '.join(lone)}.")
    if len(rows) > len(pairs):
        notes.append(f"{file}: no recording for {count(len(rows) - len(pairs), 'row')} of {rows[0].table}.")
    pieces = cut_shots(record)
    traces: dict[str, Trace] = {}
    spans: list[tuple[datetime, datetime, str]] = []
    for i, row in pairs:
        trace = _cut(record, pieces[i], row)
        if trace is None:
            notes.append(f"{file}: {record.shots[i].name} has too few samples.")
            continue
        if has_rival_move(trace):
            notes.append(
                f"{file}: in {record.shots[i].name} the pressure moves about as fast at two times; it counts only "
                "where the force tells which is the shot, else cut the recording to it."
            )
        traces[row.id] = trace
        seconds = trace.time_s[[0, -1]].tolist()
        began, ended = (trace.started_at + timedelta(seconds=at) for at in seconds)
        spans.append((began, ended, record.shots[i].name))
    for (_, ended, before), (begins, _, after) in pairwise(sorted(spans)):
        if (ended - begins).total_seconds() > _CLOCK_WITHIN_S:
            raise BadInputError(
                f"{file}: expected recordings that follow each other, found that {before} and {after} overlap by "
                f"{(ended - begins).total_seconds():.0f} s at the times of their rows; check that they are of these "
                f"shots, {_CURE}."
            )
    return PlacedPieces(traces, tuple(notes))


def _pair(
    record: PressureRecord, rows: Sequence[Shot], numbers: Mapping[str, int]
) -> tuple[list[tuple[int, Shot]], str]:
    """Pairs of a recording's place and its row, and how they were found, in words."""
    told = [shot.number for shot in record.shots]
    twice = next((number for i, number in enumerate(told) if number is not None and number in told[:i]), None)
    if twice is not None:
        raise BadInputError(
            f"{record.table}: expected one recording for each shot, found two with the number {twice}; leave one out "
            f"or number it anew, {_CURE}."
        )
    of_row = {row.row_number: row for row in rows}
    named = [shot.row for shot in record.shots]
    if None not in named:
        if (again := next((row for row, n in Counter(named).items() if n > 1), None)) is not None:
            both = " and ".join([shot.name for shot in record.shots if shot.row == again][:2])
            raise BadInputError(
                f"{record.table}: expected one recording for each row, found two for row {again} ({both}); leave one "
                f"out or name it after its own row, {_CURE}."
            )
        return [(i, of_row[row]) for i, row in enumerate(named) if row in of_row], "by the rows they are named after"
    own = [number for number in told if number is not None]
    theirs = [numbers[row.id] for row in rows if row.id in numbers]
    by_number = dict(zip(theirs, rows, strict=False)) if len(theirs) == len(rows) else {}
    # numbers that do not grow with time count something else
    is_numbered = len(own) == len(told) and bool(by_number) and theirs == sorted(by_number)
    order = sorted(range(len(told)), key=lambda i: told[i] or 0) if len(own) == len(told) else list(range(len(told)))
    if is_numbered and max(own) == max(theirs):  # which two counts would not reach where either had missed a shot
        return [(i, by_number[told[i] or 0]) for i in order if told[i] in by_number], "by their numbers"
    is_shifted = is_numbered and min(own) == 0 and [number + 1 for number in sorted(own)] == sorted(by_number)
    contradict = is_numbered and bool(set(own) & set(by_number)) and not is_shifted
    if len(told) != len(rows) or contradict:
        raise BadInputError(
            f"{record.table}: expected a recording for each row of {rows[0].table}, or numbers that tell which is "
            f"which, found {count(len(told), 'recording')} ({_say(own, len(told))}) and {count(len(rows), 'row')} "
            f"({_say(theirs, len(rows))}); name each after its row (row 7), leave out those that have none, {_CURE}."
        )
    return list(zip(order, rows, strict=True)), "in their order"


def _say(numbers: Sequence[int], n: int) -> str:
    return f"numbers {min(numbers)} to {max(numbers)}" if len(numbers) == n else "not numbered"


def _cut(record: PressureRecord, piece: slice, row: Shot) -> Trace | None:
    if piece.stop - piece.start < _FEWEST_SAMPLES or row.struck_at is None:
        return None
    fastest_s = find_fastest_s(_as_trace(record, piece, row.struck_at))
    if fastest_s is None:
        return None
    time_s = record.time_s[piece] - record.time_s[piece.start]
    low, high = time_s.searchsorted([fastest_s - _KEPT_S, fastest_s + _KEPT_S])
    kept = slice(piece.start + int(low), piece.start + int(high))
    late = timedelta(seconds=row.time_resolution_s / 2 - (fastest_s - float(time_s[low])) - _HALF_A_DOWNSWING_S)
    return _as_trace(record, kept, row.struck_at + late)


def _as_trace(record: PressureRecord, kept: slice, started_at: datetime) -> Trace:
    return Trace(
        id="",
        started_at=started_at,
        time_s=record.time_s[kept] - float(record.time_s[kept.start]),
        xy_cm=record.xy_cm[kept].copy(),
        force_n=None if record.force_n is None else record.force_n[kept].copy(),
        lead_force_n=None if record.lead_force_n is None else record.lead_force_n[kept].copy(),
        is_clock_of_shot=True,
    )
