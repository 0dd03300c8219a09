"""Where the pressure is now: from a table that is still being written, or one that comes in on standard input."""

import re
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from review.errors import BadInputError
from review.jobs.pressure.live_source import GrowingFile, IncomingStream, Source
from review.jobs.tables.kept_mappings import PRESSURE_TABLE, find_mapping, locate_mapping
from review.lesson import FloatArray
from review.pressure import MatPlacement
from review.pressure.columns import EXAMPLES, FEET, Columns, count_known, resolve_columns
from review.pressure.numbers import choose_decimal, read_grid, read_numbers
from review.tables import ColumnMapping, Table, read_table

_NAME = Path("the table")
_DATA = re.compile(rb"[^a-zA-Z]*\d[^a-zA-Z]*")
"""A line of numbers: with one the header must have come."""
_MOST_BEFORE_HEADER = 60
_LONGEST_LINE = 10_000


class LiveTrace:
    """Takes in a table as it comes, read as any other pressure table, and tells the newest places.

    ``n_bad`` counts lines that could not be read; they are passed over.

    Parameters
    ----------
    mapping : the coach's, for headers that plain terms do not tell; cell_cm : of a grid, as in ``read_trace_table``.
    """

    def __init__(
        self,
        source: Source,
        mat: MatPlacement | None = None,
        mapping: ColumnMapping | None = None,
        cell_cm: tuple[float, float] | None = None,
    ) -> None:
        self._source, self._mat = source, mat or MatPlacement()
        self._mapping, self._cell_cm = mapping, cell_cm
        self._rest, self._head = b"", b""
        self._layout: _Layout | None = None
        self.n_bad = 0

    def read_new(self) -> list[tuple[float, float]]:
        """Places that came since the last call, in the player's frame, centimetres; NaN where nobody stands.

        Raises
        ------
        BadInputError
            Numbers came, but no header that names time, x and y before them; or a column has a unit that does not fit.
        """
        news = self._source.read_new()
        if news.is_anew:
            self._rest, self._head, self._layout = b"", b"", None
        whole, newline, self._rest = (self._rest + news.data).rpartition(b"\n")
        if len(self._rest) > _LONGEST_LINE:
            self._rest, self.n_bad = b"", self.n_bad + 1
        lines = (whole + newline).splitlines(keepends=True)
        if self._layout is None:
            lines = self._find_layout(self._head.splitlines(keepends=True) + lines)
        return [] if self._layout is None or not lines else self._read(lines, self._layout)

    def _find_layout(self, lines: list[bytes]) -> list[bytes]:
        """Find the header; the lines beneath it, or none while it has not come."""
        self._head = b"".join(lines)
        try:
            table = self._read_table(self._head)
            columns = resolve_columns(table, self._mapping, self._cell_cm)
        except BadInputError:
            if len(lines) > _MOST_BEFORE_HEADER or any(map(_DATA.fullmatch, lines)):
                raise
            return []
        if not table.rows:
            return []
        n_head = table.header_line + any(table.units)
        self._head = b"".join(lines[:n_head])
        try:
            decimal = choose_decimal(table, columns)
        except BadInputError:
            decimal = "." if table.delimiter == "," else ","  # a place in centimetres has no thousands
        self._layout = _Layout(columns, decimal)
        return lines[n_head:]

    def _read_table(self, content: bytes) -> Table:
        delimiter, row = (self._mapping.delimiter, self._mapping.header_row) if self._mapping else ("auto", None)
        return read_table(
            _NAME, lambda cells: count_known(cells, self._mapping), EXAMPLES, delimiter, row, content=content
        )

    def _read(self, lines: list[bytes], layout: "_Layout") -> list[tuple[float, float]]:
        try:
            table = self._read_table(self._head + b"".join(lines))
            xy, force = _read_places(table, layout)
        except BadInputError:
            if len(lines) > 1:
                half = len(lines) // 2
                return self._read(lines[:half], layout) + self._read(lines[half:], layout)
            self.n_bad += 1
            return []
        if force is not None:
            is_torn = np.isnan(np.column_stack([xy, force])).all(axis=1)  # nothing but a beginning
            self.n_bad += int(is_torn.sum())
            xy, force = xy[~is_torn], force[~is_torn]
        is_off = ~np.isfinite(xy).all(axis=1, keepdims=True)
        if force is not None:
            is_off |= ~(force > 0)[:, None]  # NaN is nobody, too
        placed = np.where(is_off, np.nan, self._mat.to_player(xy))
        return [(float(x), float(y)) for x, y in placed]


def follow_table(
    library: Path,
    table: Path | int,
    mat: MatPlacement | None = None,
    cell_cm: tuple[float, float] | None = None,
    mapping: Path | None = None,
) -> LiveTrace:
    """Follow a table that is being written, or a stream, with the coach's mapping for the mat.

    Parameters
    ----------
    table : its file, or the descriptor of an open stream.
    library : folder whose kept mappings are tried. A stream, and a table that is not there yet, need one to be named.
    mapping : a file, or the name it is kept under.

    Raises
    ------
    BadInputError
        There is no such mapping, or several fit equally well.
    """
    if isinstance(table, Path):
        found = find_mapping(library, table, mapping, PRESSURE_TABLE)
        return LiveTrace(GrowingFile(table), mat, found.mapping, cell_cm)
    said = None if mapping is None else PRESSURE_TABLE.read(locate_mapping(library, mapping, PRESSURE_TABLE))
    return LiveTrace(IncomingStream(table), mat, said, cell_cm)


@dataclass(frozen=True)
class _Layout:
    columns: Columns
    decimal: str


def _read_places(table: Table, layout: _Layout) -> tuple[FloatArray, FloatArray | None]:
    """Places (n, 2) in centimetres and force (n,) in newtons, None where there is none."""
    columns, decimal = layout.columns, layout.decimal
    if columns.grid is not None:
        return read_grid(table, columns.grid, decimal, columns.mapping.absent)
    x, y = (read_numbers(table, columns, role, decimal) for role in ("x", "y"))
    force = [read_numbers(table, columns, role, decimal) for role in ("force", *FEET) if role in columns.indices]
    return np.column_stack([x, y]), np.sum(force, axis=0) if force else None
