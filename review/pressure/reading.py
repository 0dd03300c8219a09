"""From a plain pressure table to a record."""

from datetime import date, datetime, timedelta
from pathlib import Path

import numpy as np

from review.errors import BadInputError
from review.lesson import FloatArray
from review.pressure.columns import EXAMPLES, ROLES, Columns, count_known, resolve_columns
from review.pressure.record import PressureRecord
from review.tables import (
    LARGEST,
    ColumnMapping,
    Table,
    When,
    cell_text,
    compute_moment,
    describe_refusal,
    find_date_order,
    find_decimal,
    is_absent,
    parse_number,
    parse_time_of_day_s,
    parse_when,
    read_mapping_file,
    read_table,
    shorten,
    write_mapping_file,
)

_DAY_S = 86400.0
_MICRO = 1e-6


def read_mapping(path: Path) -> ColumnMapping:
    """Read the column mapping of a pressure table (roles time, date, x, y, force, ignore).

    Raises
    ------
    BadInputError
        No such file, no TOML, unknown keys, roles or choices.
    MachineError
        The file may not be read.
    """
    return read_mapping_file(path, ROLES)


def write_mapping(path: Path, mapping: ColumnMapping) -> None:
    """Write the column mapping of a pressure table; ``read_mapping`` gives the same back.

    Raises
    ------
    BadInputError
        The mapping names an unknown role.
    MachineError
        The file could not be written; an earlier one is unchanged.
    """
    mapping.check_names(ROLES)
    write_mapping_file(path, mapping)


def read_trace_table(
    path: Path,
    mapping: ColumnMapping | None = None,
    on_date: date | None = None,
    started_at: datetime | None = None,
) -> PressureRecord:
    """Read a table of time, x, y and vertical force (CSV, TSV, XLSX, ODS or JSON) as one record.

    Parameters
    ----------
    mapping
        The coach's own column mapping; roles it does not name are found by plain terms.
    on_date
        The day of the lesson, for tables that give a time of day only.
    started_at
        When the first sample was taken, for tables whose time is plain seconds.

    Returns
    -------
    The record in centimetres and newtons; a kilogram or pound is the force of its weight. Cells without a
    number are NaN and counted in ``notes``. Times past midnight go on into the next day.

    Raises
    ------
    BadInputError
        The file, its columns, a unit, a number or a time cannot be used, or times do not increase; file, line
        and column are named.
    MachineError
        The file may not be read.
    """
    delimiter, header_row = (mapping.delimiter, mapping.header_row) if mapping else ("auto", None)
    table = read_table(path, lambda cells: count_known(cells, mapping), EXAMPLES, delimiter, header_row)
    columns = resolve_columns(table, mapping)
    if len(table.rows) < 2:
        raise BadInputError(
            f"{table.file}: expected at least two samples beneath the header, found {len(table.rows)}; "
            "save the table again"
        )
    notes = [*table.notes, *columns.notes]
    decimal = _find_decimal(table, columns)
    time_s, start = _read_times(table, columns, decimal, on_date, started_at, notes)
    numbers = {
        role: _read_numbers(table, columns, role, decimal) for role in ("x", "y", "force") if role in columns.indices
    }
    for role, values in numbers.items():
        if np.isnan(values).all():
            raise BadInputError(
                f"{table.place(table.rows[0].line, columns.indices[role])}: expected numbers, found none in the column"
            )
        n_missing = int(np.isnan(values).sum())
        if n_missing:
            first = table.rows[int(np.flatnonzero(np.isnan(values))[0])].line
            notes.append(
                f"{n_missing} of {len(values)} cells of {table.header[columns.indices[role]]!r} hold no number "
                f"(first in line {first})"
            )
    return PressureRecord(
        table=table.file,
        sha256=table.sha256,
        started_at=start,
        time_s=time_s,
        xy_cm=np.column_stack([numbers["x"], numbers["y"]]),
        force_n=numbers.get("force"),
        mapping=columns.mapping,
        notes=tuple(notes),
    )


def _find_decimal(table: Table, columns: Columns) -> str:
    if columns.mapping.decimal != "auto":
        return columns.mapping.decimal
    indices = [i for role, i in columns.indices.items() if role in ("time", "x", "y", "force")]
    decimal = find_decimal((row.cells[i] for row in table.rows[:2000] for i in indices), table.delimiter)
    if decimal is None:
        raise BadInputError(
            f"{table.file}: expected numbers that show whether the comma or the point parts decimals, found only "
            "numbers such as 1,234; set decimal in the column mapping"
        )
    return decimal


def _read_numbers(table: Table, columns: Columns, role: str, decimal: str) -> FloatArray:
    index = columns.indices[role]
    factor = columns.factors[role]
    values = np.empty(len(table.rows))
    for i, row in enumerate(table.rows):
        cell = row.cells[index]
        if isinstance(cell, str):
            if is_absent(cell, columns.mapping.absent):
                values[i] = np.nan
                continue
            value = parse_number(cell, decimal)
        else:
            value = float(cell) if isinstance(cell, (int, float)) else None
        if value is None or not abs(value) < LARGEST:
            raise BadInputError(
                f"{table.place(row.line, index)}: expected a number, {describe_refusal(cell, decimal)}; "
                "correct the cell or leave it empty"
            )
        values[i] = value * factor
    return values


def _read_times(
    table: Table,
    columns: Columns,
    decimal: str,
    on_date: date | None,
    started_at: datetime | None,
    notes: list[str],
) -> tuple[FloatArray, datetime | None]:
    """Seconds after the first sample, and the clock of the first sample where it is known."""
    index = columns.indices["time"]
    first = table.rows[0].cells[index]
    is_plain = "date" not in columns.indices and not columns.mapping.time_format
    if is_plain and (isinstance(first, (int, float)) or parse_number(cell_text(first), decimal) is not None):
        seconds = _read_numbers(table, columns, "time", decimal)
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
