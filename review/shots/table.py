"""From a device's table to shots."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime
from pathlib import Path

from review.errors import BadInputError
from review.lesson import KINDS, Shot
from review.shots.columns import Columns, MeasureColumn, count_known, resolve_columns
from review.shots.terms import EXAMPLES, tidy_term, unit_of
from review.tables import (
    LARGEST,
    Cell,
    ColumnMapping,
    Row,
    Table,
    When,
    cell_text,
    compute_factor,
    describe_refusal,
    find_date_order,
    find_decimal,
    is_absent,
    parse_number,
    parse_when,
    read_table,
    shorten,
    split_number,
    tidy_header,
)

_SIDES = {"r": 1, "right": 1, "l": -1, "left": -1}
_HEIGHTS = {"u": 1, "up": 1, "d": -1, "down": -1}
_DIRECTIONS = {
    **dict.fromkeys(
        ("club_path_deg", "face_angle_deg", "face_to_path_deg", "launch_direction_deg", "side_spin_rpm"), _SIDES
    ),
    **dict.fromkeys(("spin_axis_deg", "offline_yd"), _SIDES),
    **dict.fromkeys(("attack_angle_deg", "launch_angle_deg"), _HEIGHTS),
    "strike_across_mm": {"t": 1, "toe": 1, "h": -1, "heel": -1},
    "strike_up_mm": {"h": 1, "high": 1, "l": -1, "low": -1},
}
_SUMMARY = frozenset(
    (
        *("average", "averages", "average of shots", "avg", "mean", "median", "sum", "range", "consistency"),
        *("sd", "std", "stdev", "std dev", "std deviation", "standard deviation", "deviation"),
        *("min", "minimum", "max", "maximum"),
    )
)


@dataclass(frozen=True)
class ShotTable:
    """The shots of one table.

    ``mapping`` is what was used, complete, fit to be kept; ``unmapped`` are the headers kept as text in
    ``Shot.extra``; ``notes`` are for the coach: what was left out, assumed or kept aside.
    """

    shots: tuple[Shot, ...]
    mapping: ColumnMapping
    unmapped: tuple[str, ...]
    notes: tuple[str, ...]


def read_shot_table(path: Path, mapping: ColumnMapping | None = None, on_date: date | None = None) -> ShotTable:
    """Read the shots of a CSV, TSV or XLSX table with a header.

    Parameters
    ----------
    mapping
        The coach's own column mapping; columns it does not name are read by plain trade terms.
    on_date
        The day of the lesson, for tables that give a time of day only. Without it such times cannot be placed:
        ``struck_at`` is None and the text is kept in ``extra``.

    Returns
    -------
    Shots with values in the unit that the measure's name carries and with the project's signs (plus =
    right, up, toe, high). A letter in a cell (``3.2 L``) gives the direction itself, whatever the mapping says
    of the column's sign. ``Shot.id`` is made of the content's hash and the row, so that reading again
    gives the same ids. Empty cells, dashes and NaN are absent from ``values``.

    Raises
    ------
    BadInputError
        The file, its header, a unit, a number or a time cannot be used; file, line and column are named.
    MachineError
        The file may not be read.
    """
    delimiter, header_row = (mapping.delimiter, mapping.header_row) if mapping else ("auto", None)
    table = read_table(path, lambda cells: count_known(list(cells), mapping), EXAMPLES, delimiter, header_row)
    columns = resolve_columns(table, mapping)
    used = columns.mapping
    notes = [*table.notes, *columns.notes]
    rows = _select_rows(table, columns, notes)
    decimal = _find_decimal(table, columns, rows)
    clock = _read_clock(table, columns, rows, on_date, notes)
    shots, n_nan = [], 0
    for number, row in enumerate(rows, start=1):
        values = {}
        for column in columns.measures:
            cell = row.cells[column.index]
            if is_absent(cell, used.absent):
                n_nan += cell_text(cell).casefold() == "nan"
                continue
            values[column.measure] = _read_value(table, row, column, decimal)
        kept = [*columns.unmapped, *([columns.roles["shot number"]] if "shot number" in columns.roles else [])]
        struck_at, resolution_s, unplaced = clock[number - 1]
        extra = {table.header[i]: cell_text(row.cells[i]) for i in sorted({*kept, *unplaced})}
        club = cell_text(row.cells[columns.roles["club"]]) if "club" in columns.roles else ""
        shots.append(
            Shot(f"{table.sha256[:12]}-{number}", number, table.file, values, extra, struck_at, resolution_s, club)
        )
    if n_nan:
        notes.append(f"{n_nan} cells say NaN and were left empty")
    if not shots:
        notes.append("the table has a header but no shot yet")
    empty = [str(rows[shot.row_number - 1].line) for shot in shots if not shot.values]
    if empty:
        notes.append(f"rows with a time but no number: line {', '.join(empty)}")
    return ShotTable(tuple(shots), used, tuple(table.header[i] for i in columns.unmapped), tuple(notes))


def _select_rows(table: Table, columns: Columns, notes: list[str]) -> list[Row]:
    header = [tidy_header(text) for text in table.header]
    rows, summaries, repeats, strays = [], [], [], []
    for row in table.rows:
        if [tidy_header(cell_text(cell)) for cell in row.cells] == header:
            repeats.append(row.line)
        elif _is_summary(row, columns):
            summaries.append(row.line)
        elif _is_stray(row, columns):
            strays.append(row.line)
        else:
            rows.append(row)
    for lines, words in (
        (summaries, "summary rows (average and the like) left out"),
        (repeats, "repeated header left out"),
        (strays, "rows without a time and without a number left out"),
    ):
        if lines:
            notes.append(f"{words}: line {', '.join(map(str, lines))}")
    return rows


def _has_time(row: Row, columns: Columns) -> bool:
    cells = [row.cells[columns.roles[role]] for role in ("time", "date") if role in columns.roles]
    return any(parse_when(cell, "auto", columns.mapping.time_format) is not None for cell in cells)


def _is_summary(row: Row, columns: Columns) -> bool:
    first = next((cell for cell in row.cells if cell_text(cell)), "")
    labels = [first, *(row.cells[i] for role, i in columns.roles.items() if role != "ignore")]
    words = {tidy_term(cell) for cell in labels if isinstance(cell, str)}
    return not words.isdisjoint(_SUMMARY) and not _has_time(row, columns)


def _is_stray(row: Row, columns: Columns) -> bool:
    no_number = all(is_absent(row.cells[c.index], columns.mapping.absent) for c in columns.measures)
    return no_number and not _has_time(row, columns)


def _find_decimal(table: Table, columns: Columns, rows: Iterable[Row]) -> str:
    if columns.mapping.decimal != "auto":
        return columns.mapping.decimal
    decimal = find_decimal((row.cells[c.index] for row in rows for c in columns.measures), table.delimiter)
    if decimal is None:
        raise BadInputError(
            f"{table.file}: expected numbers that show whether the comma or the point parts decimals, found only "
            "numbers such as 1,234; set decimal in the column mapping"
        )
    return decimal


def _read_value(table: Table, row: Row, column: MeasureColumn, decimal: str) -> float:
    cell = row.cells[column.index]
    value = _parse_value(cell, column, decimal)
    if value is None:
        raise BadInputError(
            f"{table.place(row.line, column.index)}: expected a number for {KINDS[column.measure].label}, "
            f"{describe_refusal(cell, decimal)}; correct the cell or leave it empty"
        )
    if not abs(value) < LARGEST:
        raise BadInputError(
            f"{table.place(row.line, column.index)}: expected a number that can be measured, "
            f"found {shorten(cell_text(cell))!r}; correct the cell or leave it empty"
        )
    return value


def _parse_value(cell: Cell, column: MeasureColumn, decimal: str) -> float | None:
    sign = -1.0 if column.is_flipped else 1.0
    if isinstance(cell, (int, float)):
        return sign * cell * column.factor + 0.0
    if not isinstance(cell, str):
        return None
    value = parse_number(cell, decimal)
    if value is not None:
        return sign * value * column.factor + 0.0
    parts = split_number(cell)
    if parts is None:
        return None
    lead, body, tail = parts
    value = parse_number(body, decimal)
    if value is None:
        return None
    factor = column.factor
    words = [word.casefold() for word in (lead, *tail.split()) if word]
    directions = _DIRECTIONS.get(column.measure, {})
    turns = [directions[word] for word in words if word in directions]
    rest = " ".join(word for word in words if word not in directions)
    if len(turns) > 1 or (turns and body[0] in "+-"):
        return None
    if rest:
        own = compute_factor(rest, unit_of(column.measure))
        if own is None or lead.casefold() == rest:
            return None
        factor = own
    return (turns[0] if turns else sign) * value * factor + 0.0


def _read_clock(
    table: Table, columns: Columns, rows: list[Row], on_date: date | None, notes: list[str]
) -> list[tuple[datetime | None, float, tuple[int, ...]]]:
    """Per row: when it was struck, the resolution of the table's times, columns to keep as text."""
    indices = {role: columns.roles[role] for role in ("time", "date") if role in columns.roles}
    if not indices:
        if rows:
            notes.append("the table has no times; its rows can be matched by order only")
        return [(None, 1.0, ())] * len(rows)
    used = columns.mapping
    order = used.date_order
    if order == "auto" and not used.time_format:
        found = find_date_order((row.cells[i] for row in rows for i in indices.values()), on_date)
        if found is None:
            raise BadInputError(
                f"{table.file}, line {rows[0].line}: expected dates that show whether day or month stands first, found "
                f"{shorten(cell_text(rows[0].cells[indices.get('date', indices.get('time', 0))]))!r}; "
                "set date_order in the column mapping"
            )
        order = found
    parsed = [
        {role: _parse_time_cell(table, row, i, order, used) for role, i in indices.items() if i is not None}
        for row in rows
    ]
    timed = [when for whens in parsed for when in whens.values() if when is not None]
    resolution_s = min((when.resolution_s for when in timed if when.at is not None), default=1.0)
    if any(when.has_zone for when in timed):
        notes.append("times name a time zone; they were read as the device's own clock")
    clock: list[tuple[datetime | None, float, tuple[int, ...]]] = []
    other_days, n_undated = set(), 0
    for whens in parsed:
        on = next((w.on for w in whens.values() if w is not None and w.on is not None), None)
        at = next((w.at for w in whens.values() if w is not None and w.at is not None), None)
        if on is not None and on_date is not None and on != on_date:
            other_days.add(on.isoformat())
        day = on or on_date
        if at is not None and day is not None:
            clock.append((datetime.combine(day, at), resolution_s, ()))
        else:
            n_undated += at is not None
            clock.append((None, resolution_s, tuple(indices.values())))
    if other_days:
        notes.append(f"the table's date is {', '.join(sorted(other_days))}, the lesson's {on_date}")
    if n_undated:
        notes.append("the table has times of day but no date; give the lesson's date to place them")
    n_timeless = sum(entry[0] is None for entry in clock) - n_undated
    if n_timeless:
        notes.append(f"{n_timeless} rows have no time")
    return clock


def _parse_time_cell(table: Table, row: Row, index: int, order: str, used: ColumnMapping) -> When | None:
    cell = row.cells[index]
    if is_absent(cell, used.absent):
        return None
    when = parse_when(cell, order, used.time_format)
    if when is None:
        form = used.time_format or "HH:MM:SS or a date with it"
        raise BadInputError(
            f"{table.place(row.line, index)}: expected a time as {form}, found {shorten(cell_text(cell))!r}; "
            "correct the cell or set time_format in the column mapping"
        )
    return when
