"""The numbers of one column as they are written, before anything is known of their unit or sign."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from review.tables import Cell, cell_text, is_absent, parse_number, split_number

_MANY_ROWS = 500


def read_numbers(
    cells: Sequence[Cell], decimal: str, absent: Sequence[str] = (), most: int = _MANY_ROWS
) -> NDArray[np.float64]:
    """Read the numbers of a column, (n,) of at most ``most`` rows; NaN where a cell holds none.

    A unit or direction beside a number is left away, so signs told by letters are lost.
    """
    numbers = np.full(min(len(cells), most), np.nan)
    for row, cell in enumerate(cells[:most]):
        if is_absent(cell, absent):
            continue
        if isinstance(cell, (int, float)):
            numbers[row] = cell
        elif isinstance(cell, str):
            parts = split_number(cell_text(cell))
            is_one = parts is not None and not any(map(str.isdigit, parts[2]))  # not a time of day
            value = parse_number(parts[1], decimal) if parts is not None and is_one else None
            numbers[row] = np.nan if value is None else value
    return numbers


def median_size(numbers: NDArray[np.float64]) -> float:
    """Median size, without sign; 0 where there is no number."""
    finite = np.abs(numbers[np.isfinite(numbers)])
    return float(np.median(finite)) if len(finite) else 0.0


def say_size(size: float) -> str:
    """A size in three figures, written out: 0.62, 94.2, 6540."""
    return f"{float(f'{size:.3g}'):.10g}"


def has_numbers(cells: Sequence[Cell], numbers: NDArray[np.float64]) -> bool:
    """Whether most filled cells of a column are numbers."""
    filled = sum(not is_absent(cell) for cell in cells[:_MANY_ROWS])
    return filled > 0 and int(np.isfinite(numbers).sum()) * 2 > filled
