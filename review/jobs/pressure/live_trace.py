"""Where the pressure is now: from a table that is still being written, or one that comes in on standard input."""

import re
from pathlib import Path

import numpy as np

from review.errors import BadInputError
from review.jobs.pressure.live_rows import LiveRows, Presence
from review.jobs.pressure.live_source import GrowingFile, IncomingStream, Source
from review.jobs.tables.kept_mappings import PRESSURE_TABLE, find_mapping, locate_mapping
from review.pressure import MatPlacement
from review.pressure.reading.columns import EXAMPLES, count_known, resolve_columns
from review.tables import ColumnMapping, Table, read_table

_LOCKED = "The table cannot be read now, its program may hold it; it is tried again."
_DOUBTED = "The force is nowhere above 0 and was left out: is it the right column?"
_NUMBERS = re.compile(rb"[^a-zA-Z]*\d[^a-zA-Z]*")
_DELIMITERS = (b",", b";", b"\t", b"|")
_LEAST_COLUMNS = 3
_MOST_BEFORE_HEADER = 60
_LONGEST_LINE = 256 * 1024
"""A row of a fine grid of cells has some ten thousand letters."""


class LiveTrace:
    """Takes in a table as it comes, read as any other pressure table, and tells the newest places.

    ``trouble`` says why nothing can be read now, '' where nothing is wrong; it may pass. ``note`` says what is odd.
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
        self._begin()

    def _begin(self) -> None:
        self._rest, self._is_torn = b"", False
        self._head: list[bytes] = []
        self._n_tried = 0
        self._refused = self.trouble = ""
        self._rows: LiveRows | None = None
        self._presence = Presence()
        self.n_bad = 0

    @property
    def name(self) -> str:
        """The name of the table, 'standard input' where it comes in there."""
        return self._source.name

    @property
    def is_there(self) -> bool:
        """Whether the table was there at the last look."""
        return self._source.is_there

    @property
    def note(self) -> str:
        """What is odd about the table, '' if nothing."""
        return _DOUBTED if self._presence.is_doubted else ""

    def read_new(self) -> list[tuple[float, float]]:
        """Places that came since the last call, in the player's frame, centimetres; NaN where nobody stands.

        None while numbers come without a header that names time, x and y, or with a unit that does not fit
        (``trouble``). A table that is long already is told from near its end.
        """
        try:
            news = self._source.read_new(may_skip=self._rows is not None)
        except OSError:
            self.trouble = _LOCKED
            return []
        if news.is_anew:
            self._begin()
        if news.is_torn:
            self._rest, self._is_torn = b"", True
        lines = self._take_lines(news.data)
        if self._rows is None:
            lines = self._find_header(lines)
        self.trouble = self._refused
        return [] if self._rows is None or not lines else self._read(lines, self._rows)

    def _take_lines(self, data: bytes) -> list[bytes]:
        """Lines that have come whole."""
        if self._is_torn:
            _, newline, data = data.partition(b"\n")
            self._is_torn = not newline
        whole, newline, self._rest = (self._rest + data).rpartition(b"\n")
        if len(self._rest) > _LONGEST_LINE:
            self._rest, self._is_torn, self.n_bad = b"", True, self.n_bad + 1
        return (whole + newline).splitlines(keepends=True)

    def _find_header(self, new: list[bytes]) -> list[bytes]:
        """Find the header, looking at each line once; the lines beneath it, or none while it has not come."""
        if len(self._head) <= _MOST_BEFORE_HEADER:
            self._head += new
        while self._n_tried < min(len(self._head) - 1, _MOST_BEFORE_HEADER):  # a row of units may follow
            self._n_tried += 1
            try:
                found = self._read_table(self._n_tried)
                resolve_columns(found, self._mapping, self._cell_cm)
                table = self._read_next(found)
                columns = resolve_columns(table, self._mapping, self._cell_cm)
            except BadInputError as error:
                is_late = self._n_tried == _MOST_BEFORE_HEADER or _is_data(self._head[self._n_tried])
                self._refused = self._refused or (str(error) if is_late else "")
                continue
            self._refused = ""
            n_head = table.header_line + any(table.units)
            lines, self._head = self._head[n_head:], self._head[:n_head]
            self._rows = LiveRows(table, columns, self._head)
            return lines
        return []

    def _read_next(self, found: Table) -> Table:
        """The table with one line more, which may be the units; the same where that line cannot be read."""
        try:
            return self._read_table(self._n_tried + 1)
        except BadInputError:
            return found

    def _read_table(self, n_lines: int) -> Table:
        delimiter, row = (self._mapping.delimiter, self._mapping.header_row) if self._mapping else ("auto", None)
        content = b"".join(self._head[:n_lines])
        name = Path(self._source.name)
        return read_table(name, lambda cells: count_known(cells, self._mapping), EXAMPLES, delimiter, row, content)

    def _read(self, lines: list[bytes], rows: LiveRows) -> list[tuple[float, float]]:
        places = rows.read(lines)
        self.n_bad += places.n_bad
        is_empty = self._presence.find_empty(places)[:, None]
        placed = np.where(is_empty, np.nan, self._mat.to_player(places.xy_cm))
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
        The table is a folder or a device, there is no such mapping, or several fit equally well.
    """
    if isinstance(table, int):
        said = None if mapping is None else PRESSURE_TABLE.read(locate_mapping(library, mapping, PRESSURE_TABLE))
        return LiveTrace(IncomingStream(table), mat, said, cell_cm)
    if table.exists() and not table.is_file():
        raise BadInputError(f"{table.name}: expected a table file, found a folder or a device; name the file inside it")
    found = find_mapping(library, table, mapping, PRESSURE_TABLE)
    return LiveTrace(GrowingFile(table), mat, found.mapping, cell_cm)


def _is_data(line: bytes) -> bool:
    """Whether a line is as many numbers as a row has, time, x and y: with one the header must have come."""
    return _NUMBERS.fullmatch(line) is not None and max(map(line.count, _DELIMITERS)) >= _LEAST_COLUMNS - 1
