"""The numbers of a pressure table."""

from collections.abc import Sequence

import numpy as np

from review.errors import BadInputError
from review.lesson import FloatArray
from review.pressure.reading.cells import Grid
from review.pressure.reading.columns import Columns
from review.tables import LARGEST, Table, describe_refusal, find_decimal, is_absent, parse_number


def choose_decimal(table: Table, columns: Columns) -> str:
    """Choose the decimal mark: the mapping's, or the one the numbers show.

    Raises
    ------
    BadInputError
        Nothing shows which it is.
    """
    if columns.mapping.decimal != "auto":
        return columns.mapping.decimal
    indices = [i for role, i in columns.indices.items() if role != "date"]
    indices += columns.grid.indices if columns.grid else ()
    decimal = find_decimal((row.cells[i] for row in table.rows[:2000] for i in indices), table.delimiter)
    if decimal is None:
        raise BadInputError(
            f"{table.file}: expected numbers that show whether the comma or the point parts decimals, found only "
            "numbers such as 1,234; set decimal in the column mapping"
        )
    return decimal


def read_numbers(table: Table, columns: Columns, role: str, decimal: str) -> FloatArray:
    """Read a column (n,) in our unit; NaN where a cell is absent.

    Raises
    ------
    BadInputError
        A cell is no number or one too large.
    """
    return read_column(table, columns.indices[role], columns.factors[role], decimal, columns.mapping.absent)


def read_column(table: Table, index: int, factor: float, decimal: str, absent: Sequence[str] = ()) -> FloatArray:
    """Read a column (n,) by its place, times a factor; as ``read_numbers``."""
    values = np.empty(len(table.rows))
    for i, row in enumerate(table.rows):
        cell = row.cells[index]
        if isinstance(cell, str):
            if is_absent(cell, absent):
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


def read_grid(
    table: Table, grid: Grid, decimal: str, absent: Sequence[str] = ()
) -> tuple[FloatArray, FloatArray | None]:
    """Centre of pressure (n, 2) centimetres and total force (n,) newtons of every row.

    The centre is the mean of the cells' centres weighed by their values; a cell without a number counts as none, one
    below zero as zero. NaN where nothing presses.

    Raises
    ------
    BadInputError
        A cell is no number.
    """
    values = np.column_stack([read_column(table, index, 1.0, decimal, absent) for index in grid.indices])
    values = np.clip(np.nan_to_num(values), 0.0, None)
    total = values.sum(axis=1)
    xy = np.full((len(total), 2), np.nan)
    for axis, centres in enumerate((grid.x_cm, grid.y_cm)):
        np.divide(values @ centres, total, out=xy[:, axis], where=total > 0)
    return xy, None if grid.to_newtons is None else total * grid.to_newtons
