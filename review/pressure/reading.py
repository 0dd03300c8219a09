"""From a plain pressure table to a record."""

from datetime import date, datetime
from pathlib import Path

import numpy as np

from review.errors import BadInputError
from review.lesson import FloatArray, Handedness
from review.pressure.columns import EXAMPLES, FEET, ROLES, count_known, resolve_columns
from review.pressure.numbers import choose_decimal, read_numbers
from review.pressure.record import PressureRecord
from review.pressure.times import read_times
from review.tables import ColumnMapping, read_mapping_file, read_table, write_mapping_file

_MOST_BYTES = 48 * 1024**2
"""A table is held in memory as cells, about thirty times its size."""


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
    handedness: Handedness = Handedness.RIGHT,
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
    handedness
        The player's, which tells lead from trail in tables of left and right foot.

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
    if path.is_file() and path.stat().st_size > _MOST_BYTES:
        raise BadInputError(
            f"{path.name}: expected at most {_MOST_BYTES // 1024**2} MB, about an hour at 500 samples a second, found "
            f"{path.stat().st_size // 1024**2} MB; export the traces shot by shot, or fewer samples a second"
        )
    delimiter, header_row = (mapping.delimiter, mapping.header_row) if mapping else ("auto", None)
    table = read_table(path, lambda cells: count_known(cells, mapping), EXAMPLES, delimiter, header_row)
    columns = resolve_columns(table, mapping)
    if len(table.rows) < 2:
        raise BadInputError(
            f"{table.file}: expected at least two samples beneath the header, found {len(table.rows)}; "
            "save the table again"
        )
    notes = [*table.notes, *columns.notes]
    decimal = choose_decimal(table, columns)
    time_s, start = read_times(table, columns, decimal, on_date, started_at, notes)
    numbers = {
        role: read_numbers(table, columns, role, decimal)
        for role in ("x", "y", "force", *FEET)
        if role in columns.indices
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
    force_n, lead_n = _put_feet_together(table.file, numbers, handedness)
    return PressureRecord(
        table=table.file,
        sha256=table.sha256,
        started_at=start,
        time_s=time_s,
        xy_cm=np.column_stack([numbers["x"], numbers["y"]]),
        force_n=force_n,
        lead_force_n=lead_n,
        mapping=columns.mapping,
        notes=tuple(notes),
    )


def _put_feet_together(
    file: str, numbers: dict[str, FloatArray], handedness: Handedness
) -> tuple[FloatArray | None, FloatArray | None]:
    """Total force and the lead foot's, from whatever two of total, lead and trail there are."""
    lead, trail = ("left", "right") if handedness is Handedness.RIGHT else ("right", "left")
    if {*FEET[:2]} & {*numbers} and {*FEET[2:]} & {*numbers}:
        raise BadInputError(
            f"{file}: expected the feet named left and right, or lead and trail, found both; map two of the columns "
            "to 'ignore'"
        )
    of_lead = numbers.get("lead_force", numbers.get(f"{lead}_force"))
    of_trail = numbers.get("trail_force", numbers.get(f"{trail}_force"))
    total = numbers.get("force")
    if total is None and of_lead is not None and of_trail is not None:
        total = of_lead + of_trail
    if of_lead is None and of_trail is not None and total is not None:
        of_lead = total - of_trail
    return total, of_lead if total is not None else None
