"""Rows that are no shots: averages, deviations and the like, told by their words or by their numbers."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from review.shots.column_numbers import read_numbers
from review.shots.columns import Columns
from review.shots.terms import tidy_term
from review.tables import Row, cell_text, find_decimal, parse_when

_SUMMARY = frozenset(
    (
        *("average", "averages", "average of shots", "avg", "mean", "median", "sum", "range", "consistency"),
        *("sd", "std", "stdev", "std dev", "std deviation", "standard deviation", "deviation"),
        *("min", "minimum", "max", "maximum"),
        *("durchschnitt", "mittelwert", "schnitt", "standardabweichung", "moyenne", "promedio", "media", "gemiddelde"),
    )
)

Numbers = NDArray[np.float64]

_LEAST_ROWS = 3
_LEAST_COLUMNS = {True: 2, False: 3}
"""So many columns must be the sum of what is above, in a row without time of a timed table and in any other."""
_LAST_ROWS = 4
"""So many rows at the end of a table without times may be sums over it."""


def has_time(row: Row, columns: Columns) -> bool:
    """Whether a row says when it was struck."""
    cells = [row.cells[columns.roles[role]] for role in ("time", "date") if role in columns.roles]
    return any(parse_when(cell, "auto", columns.mapping.time_format) is not None for cell in cells)


def is_summary(row: Row, columns: Columns) -> bool:
    """Whether any cell says so ('Average'), or a label ends or begins so ('7-iron average')."""
    first = next((cell for cell in row.cells if cell_text(cell)), "")
    labels = [first, *(row.cells[i] for role, i in columns.roles.items() if role != "ignore")]
    terms = [tidy_term(cell) for cell in labels if isinstance(cell, str)]
    is_said = any(
        part in _SUMMARY for term in terms for part in (term, term.partition(" ")[0], term.rpartition(" ")[2])
    )
    is_said = is_said or any(
        cell[:1].isalpha() and tidy_term(cell) in _SUMMARY for cell in row.cells if isinstance(cell, str)
    )
    return is_said and not has_time(row, columns)


def find_computed_rows(rows: Sequence[Row], columns: Columns, delimiter: str) -> list[Row]:
    """Rows whose numbers are the mean, median or deviation of the rows above, whatever language they are labelled in.

    Looked at are rows without a time where others have one, else the last of the table.
    """
    is_timed = any(role in columns.roles for role in ("time", "date"))
    asked = [
        i
        for i, row in enumerate(rows)
        if i >= _LEAST_ROWS and (not has_time(row, columns) if is_timed else i >= len(rows) - _LAST_ROWS)
    ]
    if not asked or len(columns.measures) < _LEAST_COLUMNS[is_timed]:
        return []
    indices = [column.index for column in columns.measures]
    decimal = columns.mapping.decimal
    if decimal == "auto":
        decimal = find_decimal((row.cells[i] for row in rows[:200] for i in indices), delimiter) or "."
    values = np.array([read_numbers([row.cells[i] for row in rows], decimal, most=len(rows)) for i in indices]).T
    found: list[int] = []
    start = 0
    for i in asked:
        if found and found[-1] < i - 1:
            start = found[-1] + 1  # a new group began beneath the sums of the one before
        texts = [cell_text(rows[i].cells[c]) for c in indices]
        groups = ([k for k in range(begin, i) if k not in found] for begin in {start, 0})
        if any(_is_computed(values[i], values[group], texts, _LEAST_COLUMNS[is_timed]) for group in groups):
            found.append(i)
    return [rows[i] for i in found]


def _is_computed(row: Numbers, above: Numbers, texts: Sequence[str], least: int) -> bool:
    use = np.isfinite(row) & (np.isfinite(above).sum(axis=0) >= _LEAST_ROWS)
    if len(above) < _LEAST_ROWS or use.sum() < least:
        return False
    above, row = above[:, use], row[use]
    decimals = [len(t.replace(",", ".").partition(".")[2]) for t, is_used in zip(texts, use, strict=True) if is_used]
    half_steps = 0.51 * 10.0 ** -np.array(decimals, float)
    spread = np.nanstd(above, axis=0)
    if (spread > 2 * half_steps).sum() < least:
        return False  # rows all alike are their own mean
    sums = (np.nanmean(above, axis=0), np.nanmedian(above, axis=0), np.nanstd(above, axis=0, ddof=1), spread)
    return any(bool((np.abs(row - of) <= half_steps).all()) for of in sums)
