"""One cell of a shot table as a number: direction letters, units in the cell, sign."""

from collections.abc import Iterable

from review.errors import BadInputError
from review.lesson import KINDS
from review.shots.columns import Columns, MeasureColumn
from review.shots.terms import unit_of
from review.tables import (
    LARGEST,
    Cell,
    Row,
    Table,
    cell_text,
    compute_factor,
    describe_refusal,
    find_decimal,
    parse_number,
    shorten,
    split_number,
)

_SIDES = {"r": 1, "right": 1, "l": -1, "left": -1, "rechts": 1, "links": -1, "droite": 1, "gauche": -1}
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


def find_table_decimal(table: Table, columns: Columns, rows: Iterable[Row]) -> str:
    """Find the decimal mark of a table: the mapping's, else the one its measure cells show.

    Raises
    ------
    BadInputError
        Nothing shows it.
    """
    if columns.mapping.decimal != "auto":
        return columns.mapping.decimal
    decimal = find_decimal((row.cells[c.index] for row in rows for c in columns.measures), table.delimiter)
    if decimal is None:
        raise BadInputError(
            f"{table.file}: expected numbers that show whether the comma or the point parts decimals, found only "
            "numbers such as 1,234; set decimal in the column mapping"
        )
    return decimal


def read_value(table: Table, row: Row, column: MeasureColumn, decimal: str) -> float:
    """Read one cell in the unit and with the sign of its measure.

    Raises
    ------
    BadInputError
        The cell holds no number, or one that cannot be measured.
    """
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
