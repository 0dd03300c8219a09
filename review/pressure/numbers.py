"""The numbers of a pressure table."""

import numpy as np

from review.errors import BadInputError
from review.lesson import FloatArray
from review.pressure.columns import Columns
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
