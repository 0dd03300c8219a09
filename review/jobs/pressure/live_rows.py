"""Lines of a live table as places and force, once its header is known."""

import csv
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

from review.errors import BadInputError
from review.lesson import FloatArray
from review.pressure.reading.columns import FEET, Columns
from review.pressure.reading.numbers import choose_decimal, read_grid, read_numbers
from review.tables import Row, Table

_MOST_SINGLY = 300
"""Where something of a piece cannot be read only so many of its newest lines are looked at one by one: live the rest
is long past, and the window must not wait."""
_MOVES_CM = 1.0
"""An empty mat's place wanders by less; common practice, no source."""


@dataclass(frozen=True, eq=False)
class Places:
    """Places (n, 2) in the mat's own axes, centimetres, and force (n,) in newtons, None where the table has none."""

    xy_cm: FloatArray
    force_n: FloatArray | None
    n_bad: int = 0


class LiveRows:
    """Reads lines beneath a header.

    Parameters
    ----------
    head : the table so far, with header and columns; head_lines : its lines down to the header and its row of units.
    """

    def __init__(self, head: Table, columns: Columns, head_lines: Sequence[bytes]) -> None:
        self._empty, self._columns = replace(head, rows=()), columns
        self._head = {line.strip() for line in head_lines} | {b""}
        grid = columns.grid
        self._n_needed = 1 + max(grid.indices if grid else (columns.indices["x"], columns.indices["y"]))
        try:
            self._decimal = choose_decimal(head, columns)
        except BadInputError:
            self._decimal = "." if head.delimiter == "," else ","  # a place in centimetres has no thousands

    def read(self, lines: Sequence[bytes]) -> Places:
        """Read lines; what cannot be read is passed over and counted, a header that stands again is passed over."""
        texts = [_decode(line) for line in lines if line.strip() not in self._head]
        try:
            rows = [self._fit(cells) for cells in self._split(texts)]
            return self._read_either(rows)
        except (BadInputError, csv.Error):
            return self._read_singly(texts[-_MOST_SINGLY:])

    def _read_singly(self, texts: Sequence[str]) -> Places:
        rows, n_bad = [], 0
        for text in texts:
            try:
                row = self._fit(next(self._split([text])))
                self._read_rows([row])
                rows.append(row)
            except (BadInputError, csv.Error, StopIteration):
                n_bad += 1
        return replace(self._read_rows(rows), n_bad=n_bad)

    def _read_either(self, rows: Sequence[Row]) -> Places:
        """Read with the decimal mark so far, or with the one these rows show: whole numbers showed none."""
        try:
            return self._read_rows(rows)
        except BadInputError:
            before, self._decimal = self._decimal, choose_decimal(replace(self._empty, rows=tuple(rows)), self._columns)
            try:
                return self._read_rows(rows)
            except BadInputError:
                self._decimal = before
                raise

    def _read_rows(self, rows: Sequence[Row]) -> Places:
        table, columns = replace(self._empty, rows=tuple(rows)), self._columns
        if columns.grid is not None:
            return Places(*read_grid(table, columns.grid, self._decimal, columns.mapping.absent))
        by_role = {
            role: read_numbers(table, columns, role, self._decimal)
            for role in ("x", "y", "force", *FEET)
            if role in columns.indices
        }
        xy = np.column_stack([by_role.pop("x"), by_role.pop("y")])
        whole = by_role.pop("force", None)
        return Places(xy, whole if whole is not None or not by_role else _add_feet(list(by_role.values())))

    def _split(self, texts: Sequence[str]) -> Iterator[list[str]]:
        return csv.reader(texts, delimiter=self._empty.delimiter, strict=True)

    def _fit(self, cells: list[str]) -> Row:
        width = len(self._empty.header)
        if len(cells) < self._n_needed or any(cell.strip() for cell in cells[width:]):
            raise BadInputError(f"expected {width} fields as in the header, found {len(cells)}")
        return Row(0, (*cells[:width], *[""] * (width - len(cells))))


@dataclass
class Presence:
    """Tells on which places nobody stands: there the force is not above 0.

    A force that was above 0 nowhere so far does not count once it was below 0 or the places move: it is no force of
    somebody standing, or has the other sign. ``is_doubted`` says so.
    """

    is_doubted: bool = False
    _is_above: bool = False
    _first_cm: FloatArray | None = field(default=None, repr=False)

    def find_empty(self, places: Places) -> NDArray[np.bool_]:
        """Which places (n,) are nobody's; NaN always is."""
        is_nowhere: NDArray[np.bool_] = np.isnan(places.xy_cm[:, 0] + places.xy_cm[:, 1])
        force = places.force_n
        if force is None:
            return is_nowhere
        self._is_above |= bool((force > 0).any())
        if not self._is_above and not self.is_doubted:
            self.is_doubted = bool((force < 0).any()) or self._have_moved(places.xy_cm[~is_nowhere])
        self.is_doubted &= not self._is_above
        is_unloaded: NDArray[np.bool_] = ~(force > 0)
        return is_nowhere if self.is_doubted else is_nowhere | is_unloaded

    def _have_moved(self, xy_cm: FloatArray) -> bool:
        if not len(xy_cm):
            return False
        self._first_cm = xy_cm[0] if self._first_cm is None else self._first_cm
        return bool((np.abs(xy_cm - self._first_cm) > _MOVES_CM).any())


def _add_feet(feet: Sequence[FloatArray]) -> FloatArray:
    """Force of the feet together; an empty cell of one is a foot in the air, without any number it is NaN."""
    both = np.column_stack(feet)
    total: FloatArray = np.where(np.isnan(both).all(axis=1), np.nan, np.nansum(both, axis=1))
    return total


def _decode(line: bytes) -> str:
    try:
        return line.decode()
    except UnicodeDecodeError:
        return line.decode("cp1252", "replace")
