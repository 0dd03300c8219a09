"""When each row of a shot table was struck, on the device's clock."""

from datetime import date, datetime

from review.errors import BadInputError
from review.shots.columns import Columns
from review.tables import (
    ColumnMapping,
    Row,
    Table,
    When,
    cell_text,
    find_date_order,
    is_absent,
    parse_when,
    shorten,
)

UNDATED = "the table has times of day but no date; give the lesson's date to place them"


def read_clock(
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
    parsed = [{role: _parse_time_cell(table, row, i, order, used) for role, i in indices.items()} for row in rows]
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
        notes.append(UNDATED)
    n_timeless = sum(entry[0] is None for entry in clock) - n_undated
    if n_timeless:
        notes.append(f"rows without a time: {n_timeless}")
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
