"""From a plain pressure table to a record."""

from collections import Counter
from dataclasses import dataclass, replace
from datetime import date, datetime
from pathlib import Path

import numpy as np

from review.errors import BadInputError
from review.lesson import FloatArray, Handedness
from review.pressure.reading.columns import EXAMPLES, FEET, ROLES, Columns, count_known, resolve_columns
from review.pressure.reading.numbers import choose_decimal, read_grid, read_numbers
from review.pressure.reading.pieces import TablePieces
from review.pressure.reading.times import Times
from review.pressure.record import PressureRecord
from review.tables import ColumnMapping, Table, cell_text, read_mapping_file, read_table, write_mapping_file

_KEPT_STEP_S = 0.004
"""Of long tables: what lies closer is averaged."""
_PAUSE_STEPS = 5.0
_FEWEST_ROWS = 2


def read_mapping(path: Path) -> ColumnMapping:
    """Read the column mapping of a pressure table (its roles: ``columns.ROLES``).

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
    cell_cm: tuple[float, float] | None = None,
) -> PressureRecord:
    """Read a table of time, x, y and vertical force, or of a grid of cells (CSV, TSV, XLSX, ODS, JSON).

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
    cell_cm
        Width and depth of a cell, for tables of a grid: centre of pressure and total are told from them.

    Returns
    -------
    The record in centimetres and newtons; a kilogram or pound is the force of its weight. Cells without a
    number are NaN and counted in ``notes``. Times past midnight go on into the next day. Where a column names the shot
    and time has no clock, or begins anew with each, ``shots`` tells them apart. Long text is read in pieces, and of
    more than 500 samples a second the means of neighbours are kept, about 250 a second: the pressure is smoothed far
    below that anyway (``path``).

    Raises
    ------
    BadInputError
        The file, its columns, a unit, a number or a time cannot be used, or times do not increase; file, line
        and column are named.
    MachineError
        The file may not be read.
    """
    delimiter, header_row = (mapping.delimiter, mapping.header_row) if mapping else ("auto", None)
    pieces = TablePieces(
        path,
        lambda content: read_table(
            path, lambda cells: count_known(cells, mapping), EXAMPLES, delimiter, header_row, content
        ),
    )
    notes: list[str] = []
    times = Times(on_date, started_at, notes)
    parts: list[_Part] = []
    missing: Counter[str] = Counter()
    first_line: dict[str, int] = {}
    n_rows = 0
    for table in pieces:
        if not parts:
            columns = resolve_columns(table, mapping, cell_cm)
            if len(table.rows) < _FEWEST_ROWS:
                raise _refuse_rows(table, len(table.rows))
            decimal = choose_decimal(table, columns)
            notes[:0] = [*table.notes, *columns.notes]
        table = _drop_headers_again(table, notes)
        if not table.rows:
            continue
        part = _read_part(table, columns, decimal, times, handedness, missing, first_line)
        n_rows += len(table.rows)
        parts.append(part if pieces.n == 1 and not parts else part.thin())
    if n_rows < _FEWEST_ROWS:
        raise _refuse_rows(table, n_rows)
    if pieces.n > 1:
        parts[0] = parts[0].thin()
    for role, count in missing.items():
        name = table.header[columns.indices[role]]
        if count == n_rows:
            raise BadInputError(
                f"{table.place(first_line[role], columns.indices[role])}: expected numbers, found none in the column"
            )
        notes.append(f"{count} of {n_rows} cells of {name!r} hold no number (first in line {first_line[role]})")
    whole = _join(parts)
    if len(whole.time_s) < n_rows:
        notes.append(f"{n_rows} samples were averaged to {len(whole.time_s)}")
    is_nobody = whole.force_n is not None and not (whole.force_n > 0).any()
    if is_nobody:
        notes.append("the force is nowhere above 0 and was left out: is it the right column?")
    return PressureRecord(
        table=table.file,
        sha256=pieces.sha256,
        started_at=times.start,
        time_s=whole.time_s,
        xy_cm=whole.xy_cm,
        force_n=None if is_nobody else whole.force_n,
        lead_force_n=None if is_nobody else whole.lead_n,
        mapping=columns.mapping,
        notes=tuple(notes),
        shots=times.shots,
    )


@dataclass(frozen=True, eq=False)
class _Part:
    time_s: FloatArray
    xy_cm: FloatArray
    force_n: FloatArray | None
    lead_n: FloatArray | None

    def thin(self) -> "_Part":
        """Means of neighbours where there are more than twice as many samples as needed; none over a pause."""
        if len(self.time_s) < 3:
            return self
        step_s = float(np.median(np.diff(self.time_s)))
        k = int(_KEPT_STEP_S / step_s + 1e-6)
        n = len(self.time_s) // k if k > 1 else 0
        if n < 2:
            return self
        time_s = self.time_s[: n * k].reshape(n, k)
        is_whole = np.diff(time_s, axis=1).max(axis=1) < _PAUSE_STEPS * step_s

        def average(values: FloatArray) -> FloatArray:
            means: FloatArray = values[: n * k].reshape(n, k, *values.shape[1:]).mean(axis=1)[is_whole]
            return means

        forces = [None if force is None else average(force) for force in (self.force_n, self.lead_n)]
        return _Part(average(self.time_s), average(self.xy_cm), *forces)


def _join(parts: list[_Part]) -> _Part:
    def join(name: str) -> FloatArray | None:
        found = [getattr(part, name) for part in parts]
        return None if found[0] is None else np.concatenate(found)

    time_s, xy = (np.concatenate([getattr(part, name) for part in parts]) for name in ("time_s", "xy_cm"))
    return _Part(time_s, xy, join("force_n"), join("lead_n"))


def _refuse_rows(table: Table, n_rows: int) -> BadInputError:
    return BadInputError(
        f"{table.file}: expected at least two samples beneath the header, found {n_rows}; save the table again"
    )


def _drop_headers_again(table: Table, notes: list[str]) -> Table:
    """Leave out lines that repeat the header, as a recording has that was begun anew into the same file."""
    headers = {tuple(table.header), tuple(table.units)} - {("",) * len(table.header)}
    kept = [row for row in table.rows if tuple(cell_text(cell).strip() for cell in row.cells) not in headers]
    if len(kept) == len(table.rows):
        return table
    lines = {row.line for row in kept}
    first = next(row.line for row in table.rows if row.line not in lines)
    notes.append(f"the header stands again in line {first}: the recording was begun anew there")
    return replace(table, rows=tuple(kept))


def _read_part(
    table: Table,
    columns: Columns,
    decimal: str,
    times: Times,
    handedness: Handedness,
    missing: Counter[str],
    first_line: dict[str, int],
) -> _Part:
    time_s = times.read(table, columns, decimal)
    numbers = {
        role: read_numbers(table, columns, role, decimal)
        for role in ("x", "y", "force", *FEET)
        if role in columns.indices
    }
    for role, values in numbers.items():
        is_missing = np.isnan(values)
        if is_missing.any():
            missing[role] += int(is_missing.sum())
            first_line.setdefault(role, table.rows[int(np.flatnonzero(is_missing)[0])].line)
    force_n, lead_n = _put_feet_together(table.file, numbers, handedness)
    if columns.grid is not None:
        xy, of_cells = read_grid(table, columns.grid, decimal, columns.mapping.absent)
        return _Part(time_s, xy, of_cells if force_n is None else force_n, lead_n)
    return _Part(time_s, np.column_stack([numbers["x"], numbers["y"]]), force_n, lead_n)


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
