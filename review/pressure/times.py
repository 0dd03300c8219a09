"""The times of a pressure table: plain seconds, times of day or moments."""

from datetime import date, datetime, timedelta

import numpy as np

from review.errors import BadInputError
from review.lesson import FloatArray
from review.pressure.columns import Columns
from review.pressure.numbers import read_numbers
from review.tables import (
    Table,
    When,
    cell_text,
    compute_moment,
    find_date_order,
    parse_number,
    parse_time_of_day_s,
    parse_when,
    shorten,
)

_DAY_S = 86400.0
_MICRO = 1e-6


def read_times(
    table: Table,
    columns: Columns,
    decimal: str,
    on_date: date | None,
    started_at: datetime | None,
    notes: list[str],
) -> tuple[FloatArray, datetime | None]:
    """Seconds after the first sample (n,), and the clock of the first sample where it is known; adds to ``notes``.

    Raises
    ------
    BadInputError
        A cell is no time, day and month cannot be told, or times do not increase.
    """
    index = columns.indices["time"]
    first = table.rows[0].cells[index]
    is_plain = "date" not in columns.indices and not columns.mapping.time_format
    if is_plain and (isinstance(first, (int, float)) or parse_number(cell_text(first), decimal) is not None):
        seconds = read_numbers(table, columns, "time", decimal)
        if started_at is None:
            notes.append("times are seconds from an unknown start; give the clock of the first sample to place them")
        return _check_increasing(table, index, seconds, "seconds"), started_at
    if is_plain and isinstance(first, str) and parse_time_of_day_s(first) is not None:
        seconds, day = _read_times_of_day(table, index), on_date
    else:
        seconds, day = _read_moments(table, columns, on_date, notes)
    start = compute_moment(day, float(seconds[0])) if day is not None else started_at
    if start is None:
        notes.append("the table has times of day but no date; give the lesson's date to place them")
    turns = np.diff(seconds) < -_DAY_S / 2  # past midnight
    seconds = seconds + _DAY_S * np.concatenate([[0], np.cumsum(turns)])
    return _check_increasing(table, index, seconds, "times"), start


def _refuse_time(table: Table, row: int, index: int) -> BadInputError:
    found = shorten(cell_text(table.rows[row].cells[index]))
    return BadInputError(
        f"{table.place(table.rows[row].line, index)}: expected a time as HH:MM:SS.ss, a date with it, or seconds "
        f"throughout, found {found!r}; correct the cell or leave out the line"
    )


def _read_times_of_day(table: Table, index: int) -> FloatArray:
    seconds = np.empty(len(table.rows))
    for i, row in enumerate(table.rows):
        cell = row.cells[index]
        value = parse_time_of_day_s(cell) if isinstance(cell, str) else None
        if value is None:
            raise _refuse_time(table, i, index)
        seconds[i] = value
    return seconds


def _read_moments(
    table: Table, columns: Columns, on_date: date | None, notes: list[str]
) -> tuple[FloatArray, date | None]:
    """Seconds after the midnight before the first sample, and that day where it is known."""
    used, index = columns.mapping, columns.indices["time"]
    indices = [columns.indices[role] for role in ("date", "time") if role in columns.indices]
    order = used.date_order
    if order == "auto" and not used.time_format:
        found = find_date_order((row.cells[i] for row in table.rows for i in indices), on_date)
        if found is None:
            raise BadInputError(
                f"{table.file}, line {table.rows[0].line}: expected dates that show whether day or month stands "
                "first; set date_order in the column mapping"
            )
        order = found
    zero: date | None = None
    seconds = np.empty(len(table.rows))
    has_zone = False
    for i, row in enumerate(table.rows):
        whens: list[When] = []
        for column in indices:
            when = parse_when(row.cells[column], order, used.time_format)
            if when is None:
                raise _refuse_time(table, i, column)
            whens.append(when)
        at = next((when.at for when in reversed(whens) if when.at is not None), None)
        on = next((when.on for when in whens if when.on is not None), None)
        if at is None:
            raise _refuse_time(table, i, index)
        has_zone |= any(when.has_zone for when in whens)
        zero = zero or on
        days = (on - zero) if on is not None and zero is not None else timedelta(0)
        midnight = at.hour * 3600.0 + at.minute * 60.0 + at.second + at.microsecond * _MICRO
        seconds[i] = midnight + days.total_seconds()
    if has_zone:
        notes.append("times name a time zone; they were read as the mat's own clock")
    if zero is not None and on_date is not None and zero != on_date:
        notes.append(f"the table's date is {zero}, the lesson's {on_date}")
    return seconds, zero or on_date


def _check_increasing(table: Table, index: int, seconds: FloatArray, what: str) -> FloatArray:
    if np.isnan(seconds).any():
        raise _refuse_time(table, int(np.flatnonzero(np.isnan(seconds))[0]), index)
    wrong = np.flatnonzero(np.diff(seconds) <= 0)
    if len(wrong):
        row = int(wrong[0]) + 1
        before, here = (cell_text(table.rows[i].cells[index]) for i in (row - 1, row))
        cure = (
            "export the times with more digits"
            if before == here
            else "sort the table or leave out the lines that repeat"
        )
        raise BadInputError(
            f"{table.place(table.rows[row].line, index)}: expected {what} that increase, found {here!r} after "
            f"{before!r}; {cure}"
        )
    elapsed: FloatArray = np.round(seconds - seconds[0], 9)
    return elapsed
