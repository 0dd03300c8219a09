"""A grid of cells under the feet: its total and where its centre lies."""

import re
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from review.errors import BadInputError
from review.lesson import FloatArray
from review.tables import compute_factor, split_header, split_tail

_CELL = re.compile(r"(?:cells?|row|r)[\W_]*(\d+)[\W_]*(?:column|col|c|x)?[\W_]*?(\d+)", re.IGNORECASE)
_NEEDS_A_BREAK = re.compile(r"\d[\W_]*(?:[a-z]+|[\W_])[\W_]*\d", re.IGNORECASE)
_FEWEST = 4
"""A grid of two rows and two columns; fewer cells have no centre to speak of."""
_PA = {"pa": 1.0, "kpa": 1e3, "mbar": 100.0, "bar": 1e5, "psi": 6894.757293168, "n/cm2": 1e4, "n/cm²": 1e4}
"""In pascals; psi: NIST SP 811."""


@dataclass(frozen=True, eq=False)
class Grid:
    """Which column is which cell. ``x_cm``, ``y_cm`` (k,) are the cells' centres, ``indices`` their columns.

    ``to_newtons`` turns a cell's value into force; None where the unit is not known.
    """

    indices: tuple[int, ...]
    x_cm: FloatArray
    y_cm: FloatArray
    to_newtons: float | None


def find_cell(header: str) -> tuple[int, int] | None:
    """Row and column of a cell by its header, such as 'r2 c10', 'row 2 column 10' or 'cell 2 10'."""
    for name, _ in (split_header(header), split_tail(header)):
        found = _CELL.fullmatch(name.strip())
        if found and _NEEDS_A_BREAK.search(name):
            return int(found[1]), int(found[2])
    return None


def find_grid(
    header: Sequence[str], units: Sequence[str], file: str, cell_cm: tuple[float, float] | None
) -> Grid | None:
    """The grid that a header names; None where fewer than four of its columns are cells.

    Parameters
    ----------
    cell_cm : width (along a row, x) and depth (from row to row, y) of a cell, centre to centre.

    Raises
    ------
    BadInputError
        The size of a cell is not known, or a cell occurs twice.
    """
    found = {index: cell for index, text in enumerate(header) if text and (cell := find_cell(text)) is not None}
    if len(found) < _FEWEST:
        return None
    if len(set(found.values())) < len(found):
        raise BadInputError(f"{file}: expected every cell of the grid once, found one twice; correct the header")
    if cell_cm is None:
        raise BadInputError(
            f"{file}: a grid of {len(found)} cells was found; say how large one is: cell_width_cm and cell_depth_cm in "
            "[pressure_mat] of the lesson file, or 'table FILE --pressure --cell WIDTH DEPTH --keep NAME'"
        )
    row, column = (np.array([cell[axis] for cell in found.values()], dtype=float) for axis in (0, 1))
    first = next(iter(found))
    unit = (split_header(header[first])[1] or split_tail(header[first])[1] or units[first]).strip(" []()")
    area_m2 = cell_cm[0] * cell_cm[1] * 1e-4
    factor = compute_factor(unit, "N") if unit else None
    pressure = _PA.get(unit.lower())
    if pressure is not None:
        factor = pressure * area_m2
    return Grid(tuple(found), (column - column.min()) * cell_cm[0], (row - row.min()) * cell_cm[1], factor)
