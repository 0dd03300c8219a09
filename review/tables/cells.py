"""One cell of any table, and the text that is kept and shown of it."""

from datetime import datetime, time, timedelta
from typing import Any

Cell = str | int | float | datetime | time

LARGEST_WHOLE = 10**15


def as_cell(value: Any) -> Cell:
    """Turn what a file holds into a cell: nothing is '', truth a word, a whole number too long for a float text."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return str(value).upper()
    if isinstance(value, int) and abs(value) > LARGEST_WHOLE:
        return str(value)
    if isinstance(value, (int, float, datetime, time)):
        return value
    if isinstance(value, timedelta) and timedelta(0) <= value < timedelta(days=1):
        return (datetime.min + value).time()
    return str(value)


def cell_text(cell: Cell) -> str:
    """A cell as the text that is kept and shown: whole numbers without a point, times as ISO 8601."""
    if isinstance(cell, str):
        return cell.strip()
    if isinstance(cell, float) and cell.is_integer() and abs(cell) < LARGEST_WHOLE:
        return str(int(cell))
    if isinstance(cell, datetime):
        return cell.isoformat(sep=" ")
    if isinstance(cell, time):
        return cell.isoformat()
    return str(cell)
