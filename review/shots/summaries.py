"""Rows that are no shots: averages, deviations and the like, told by their words or by their numbers."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from review.shots.column_numbers import read_numbers
from review.shots.columns import Columns
from review.shots.terms import tidy_term
from review.tables import Cell, Row, cell_text, find_decimal, is_absent, parse_when

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
_SHORT_TABLE, _LAST_ROWS = 300, 4
"""Of a longer table without times only so many rows at its end may be sums over it."""
_MOST_COLUMNS, _TELLING_STEPS = 0.8, 3.0
_LONGEST_LABEL = 24


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


def find_labelled_rows(rows: Sequence[Row], columns: Columns) -> list[tuple[Row, str]]:
    """Rows with a word where all others have their time or number, and that word: 'Keskiarvo' beneath 1, 2, 3."""
    measured = {column.index for column in columns.measures}
    found: dict[int, str] = {}
    for index in range(len(rows[0].cells) if len(rows) > _LEAST_ROWS else 0):
        if index in measured:
            continue
        cells = [row.cells[index] for row in rows]
        words = {i: cell_text(cell) for i, cell in enumerate(cells) if _is_word(cell, columns)}
        if words and len(words) <= len(rows) / 3 and _counts([c for i, c in enumerate(cells) if i not in words]):
            found |= {i: word for i, word in words.items() if i not in found}
    return [(rows[i], word) for i, word in sorted(found.items())]


def _is_word(cell: Cell, columns: Columns) -> bool:
    text = cell_text(cell)
    is_empty = is_absent(cell, columns.mapping.absent)
    is_short = len(text) <= _LONGEST_LABEL and not any(map(str.isdigit, text))
    # one letter is a slip of the hand; a sign is not
    return isinstance(cell, str) and not is_empty and is_short and not (len(text) == 1 and text.isascii())


def _counts(cells: Sequence[Cell]) -> bool:
    """Whether cells tell rows apart: times of day, or whole numbers that go up by one or two."""
    filled = [cell for cell in cells if not is_absent(cell)]
    if len(filled) < _LEAST_ROWS or len(filled) < 0.8 * len(cells):
        return False
    texts = [cell_text(cell).lstrip("#") for cell in filled]
    if all(text.isascii() and text.isdigit() and len(text) < 10 for text in texts):
        steps = np.diff([int(text) for text in texts])
        return bool(np.mean((steps == 1) | (steps == 2)) >= 0.7)  # from 1 again in the next group
    return all(parse_when(cell) is not None for cell in filled)


def find_computed_rows(rows: Sequence[Row], columns: Columns, delimiter: str) -> list[Row]:
    """Rows whose numbers are the mean or the deviation of the rows above, whatever language they are labelled in.

    Looked at are rows without a time where others have one, else all of a short table and the last of a long one. The
    device may have rounded before or after it took the mean, so a step of the last decimal is allowed.
    """
    is_timed = any(role in columns.roles for role in ("time", "date"))
    first = _LEAST_ROWS if len(rows) <= _SHORT_TABLE else len(rows) - _LAST_ROWS
    asked = [
        i for i, row in enumerate(rows) if i >= _LEAST_ROWS and (not has_time(row, columns) if is_timed else i >= first)
    ][-_SHORT_TABLE:]
    if not asked or len(columns.measures) < _LEAST_COLUMNS[is_timed]:
        return []
    indices = [column.index for column in columns.measures]
    decimal = columns.mapping.decimal
    if decimal == "auto":
        decimal = find_decimal((row.cells[i] for row in rows[:200] for i in indices), delimiter) or "."
    values = np.array([read_numbers([row.cells[i] for row in rows], decimal, most=len(rows)) for i in indices]).T
    decimals = np.array([[_count_decimals(cell_text(row.cells[i])) for i in indices] for row in rows])
    found: list[int] = []
    start = 0
    for i in asked:
        if found and found[-1] < i - 1:
            start = found[-1] + 1  # a new group began beneath the sums of the one before
        for begin in sorted({start, 0}, reverse=True):
            above = [k for k in range(begin, i) if k not in found]
            # the mean of a column may be written with more decimals than the column
            last = np.minimum(decimals[i], decimals[above].max(axis=0, initial=0))
            if _is_computed(values[i], values[above], 10.0**-last, _LEAST_COLUMNS[is_timed]):
                found.append(i)
                break
    return [rows[i] for i in found]


def _is_computed(row: Numbers, above: Numbers, step: Numbers, least: int) -> bool:
    use = np.isfinite(row) & (np.isfinite(above).sum(axis=0) >= _LEAST_ROWS)
    if len(above) < _LEAST_ROWS or use.sum() < least:
        return False
    above, row, off = above[:, use], row[use], 1.05 * step[use]
    # values mostly alike lie near their mean, also where one of them is far off
    low, high = np.nanquantile(above, (0.25, 0.75), axis=0)
    tells = high - low > _TELLING_STEPS * off
    if tells.sum() < least:
        return False
    # no median: a shot can well be the middle one in every column
    sums = (np.nanmean(above, axis=0), np.nanstd(above, axis=0, ddof=1), np.nanstd(above, axis=0))
    return any(float(np.mean(np.abs(row - of)[tells] <= off[tells])) >= _MOST_COLUMNS for of in sums)


def _count_decimals(text: str) -> int:
    return len(text.replace(",", ".").partition(".")[2])
