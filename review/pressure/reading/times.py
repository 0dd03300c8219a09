"""The times of a pressure table: plain seconds, times of day or moments."""

from dataclasses import dataclass
from datetime import date, datetime, timedelta

import numpy as np

from review.errors import BadInputError
from review.lesson import FloatArray
from review.pressure.reading.columns import Columns
from review.pressure.reading.numbers import read_numbers
from review.pressure.reading.shot_starts import ShotColumn, read_number
from review.pressure.record import BETWEEN_SHOTS_S, ShotStart
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
NO_CLOCK = "give the clock of the first sample (first_sample_at in [pressure_mat]) to place it"
NO_DATE = "give the lesson's date to place them"
NEAR_ZERO_S = 60.0
"""A time of day within so much of midnight may be one that began with its shot."""


@dataclass(frozen=True)
class Clock:
    """Where a table's seconds count from: midnight of ``day`` (None = unknown), or anywhere (plain seconds)."""

    is_time_of_day: bool
    day: date | None = None


class Times:
    """Reads the times of a table that may come in pieces; each piece goes on from the one before.

    ``notes`` are for the coach. Shots without a clock are set apart; the time from one to the next means nothing.
    """

    def __init__(self, on_date: date | None, started_at: datetime | None, notes: list[str]) -> None:
        self._on_date, self._started_at, self._notes = on_date, started_at, notes
        self._clock: Clock | None = None
        self._first_s, self._last_s, self._last_text = 0.0, -np.inf, ""
        self._shot_column, self._begun = ShotColumn(), list[ShotStart]()
        self._is_time_of_day, self._has_clock, self._shift_s = False, True, 0.0
        self._start: datetime | None = None

    @property
    def start(self) -> datetime | None:
        """The clock of the first sample, where it is known, once one was read."""
        return self._start if self._has_clock else None

    @property
    def shots(self) -> tuple[ShotStart, ...]:
        """Where each shot begins, where the table tells it and has no clock, or one that begins anew with each."""
        return () if self._has_clock else tuple(self._begun)

    def read(self, table: Table, columns: Columns, decimal: str) -> FloatArray:
        """Seconds after the first sample of all (n,); times past midnight go on into the next day.

        Raises
        ------
        BadInputError
            A cell is no time, day and month cannot be told, or times do not increase.
        """
        index = columns.indices["time"]
        notes = self._notes if self._clock is None else []
        seconds, clock = _read_seconds(table, columns, decimal, self._on_date, notes)
        what = "times" if clock.is_time_of_day else "seconds"
        if np.isnan(seconds).any():
            raise _refuse_time(table, int(np.flatnonzero(np.isnan(seconds))[0]), index)
        if self._clock is None:
            self._clock, self._first_s = clock, float(seconds[0])
            self._is_time_of_day = clock.is_time_of_day
            self._has_clock = clock.is_time_of_day or self._started_at is not None
            self._start = self._find_start(clock, notes, "shot" in columns.indices)
        elif clock.day is not None and self._clock.day is not None:
            seconds = seconds + (clock.day - self._clock.day).days * _DAY_S
        if clock.is_time_of_day:
            before = seconds[0] if np.isinf(self._last_s) else self._last_s - self._shift_s
            at = np.concatenate([[before], seconds])
            seconds = seconds + _DAY_S * np.cumsum(_count_midnights(np.diff(at)))
        seconds = seconds + self._shift_s
        if "shot" in columns.indices:
            seconds = self._part_shots(seconds, list(self._shot_column.find_begins(table, columns.indices["shot"])))
        self._check_increasing(table, index, seconds, what)
        self._last_s, self._last_text = float(seconds[-1]), cell_text(table.rows[-1].cells[index])
        elapsed: FloatArray = np.round(seconds - self._first_s, 9)
        return elapsed

    def _part_shots(self, seconds: FloatArray, begins: list[tuple[int, str]]) -> FloatArray:
        """Set what begins with a shot behind the one before, where the table's own time does not tell how far."""
        for row, name in begins:
            before = float(seconds[row - 1]) if row else self._last_s
            if len(self._begun) == 1 and seconds[row] <= before:  # the second shot tells whether time goes on
                self._has_clock &= self._is_time_of_day and max(seconds[row], self._first_s) > NEAR_ZERO_S
            if self._begun and not self._has_clock:
                by = before + BETWEEN_SHOTS_S - float(seconds[row])
                seconds = np.concatenate([seconds[:row], seconds[row:] + by])
                self._shift_s += by
            begins_s = float(seconds[row]) - self._first_s if self._begun else 0.0  # the first with the first sample
            self._begun.append(ShotStart(name, begins_s, read_number(name)))
        return seconds

    def _find_start(self, clock: Clock, notes: list[str], has_shots: bool) -> datetime | None:
        if not clock.is_time_of_day:
            if self._started_at is None and not has_shots:
                notes.append(f"times are seconds from an unknown start; {NO_CLOCK}")
            return self._started_at
        start = compute_moment(clock.day, self._first_s) if clock.day is not None else self._started_at
        if start is None:
            notes.append(f"the table has times of day but no date; {NO_DATE}")
        return start

    def _check_increasing(self, table: Table, index: int, seconds: FloatArray, what: str) -> None:
        wrong = np.flatnonzero(np.diff(seconds, prepend=self._last_s) <= 0)
        if not len(wrong):
            return
        row = int(wrong[0])
        here = cell_text(table.rows[row].cells[index])
        before = cell_text(table.rows[row - 1].cells[index]) if row else self._last_text
        cure = (
            "export the times with more digits"
            if before == here
            else "sort the table or leave out the lines that repeat"
        )
        raise BadInputError(
            f"{table.place(table.rows[row].line, index)}: expected {what} that increase, found {here!r} after "
            f"{before!r}; {cure}"
        )


def _count_midnights(steps_s: FloatArray) -> FloatArray:
    """How many days later each sample is than the one before, by its time of day alone."""
    days: FloatArray = np.where(steps_s < -_DAY_S / 2, np.ceil((-_DAY_S / 2 - steps_s) / _DAY_S), 0.0)
    return days


def _read_seconds(
    table: Table, columns: Columns, decimal: str, on_date: date | None, notes: list[str]
) -> tuple[FloatArray, Clock]:
    index = columns.indices["time"]
    first = table.rows[0].cells[index]
    is_plain = "date" not in columns.indices and not columns.mapping.time_format
    if is_plain and (isinstance(first, (int, float)) or parse_number(cell_text(first), decimal) is not None):
        return read_numbers(table, columns, "time", decimal), Clock(False)
    if is_plain and isinstance(first, str) and parse_time_of_day_s(first) is not None:
        return _read_times_of_day(table, index), Clock(True, on_date)
    seconds, day = _read_moments(table, columns, on_date, notes)
    return seconds, Clock(True, day)


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
