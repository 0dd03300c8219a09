"""A long text table in pieces, so that only a little of it is ever held as cells."""

import hashlib
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path

from review.errors import BadInputError, MachineError
from review.tables import Row, Table

_PIECE = 1024**2
_IN_ONE = 4 * _PIECE
_MOST_IN_ONE = 48 * 1024**2
"""Of what cannot be cut: workbooks, records and text of two bytes a character are held as cells, thirty times the
size."""
_NOT_LINES = (b"PK\x03\x04", b"\xd0\xcf\x11\xe0", b"\xff\xfe", b"\xfe\xff")


class TablePieces:
    """The tables that a file comes in: one, or of long text one after the other beneath the same header.

    ``sha256`` is the file's once all are read; ``n`` how many there were. Rows know their line in the file.

    Parameters
    ----------
    read : reads a table from the file's bytes, or from the file itself (None).
    """

    def __init__(self, path: Path, read: Callable[[bytes | None], Table]) -> None:
        self._path, self._read = path, read
        self.sha256, self.n = "", 0

    def __iter__(self) -> Iterator[Table]:
        """The tables.

        Raises
        ------
        BadInputError
            As reading one does; too large to be read in one where it cannot be cut.
        MachineError
            The file may not be read.
        """
        size = self._path.stat().st_size if self._path.is_file() else 0
        try:
            if size > _IN_ONE and self._has_lines():
                yield from self._cut()
                return
        except OSError as error:
            raise MachineError(f"{self._path.name}: the file could not be read ({error}); try again") from error
        if size > _MOST_IN_ONE:
            raise BadInputError(
                f"{self._path.name}: expected at most {_MOST_IN_ONE // 1024**2} MB in one workbook or one set of "
                f"records, found {size // 1024**2} MB; save it as CSV, which may be of any length"
            )
        table = self._read(None)
        self.sha256, self.n = table.sha256, 1
        yield table

    def _has_lines(self) -> bool:
        with self._path.open("rb") as file:
            start = file.read(4096)
        return not (start.startswith(_NOT_LINES) or b"\0" in start or start.lstrip()[:1] in (b"{", b"["))

    def _cut(self) -> Iterator[Table]:
        digest, head, rest, n_head, n_before = hashlib.sha256(), b"", b"", 0, 0
        with self._path.open("rb") as file:
            while True:
                new = file.read(_PIECE)
                digest.update(new)
                whole, newline, after = (rest + new).rpartition(b"\n")
                if new and not newline:
                    rest += new
                    if len(rest) > _IN_ONE:
                        raise BadInputError(f"{self._path.name}: expected lines, found none; save the table as CSV")
                    continue
                piece, rest = (whole + newline, after) if new else (rest, b"")
                if piece.strip():
                    table = self._read_piece(head + piece, n_before - n_head)
                    self.n += 1
                    yield table
                    if not head:
                        n_head = table.header_line + any(table.units)
                        head = b"".join(piece.splitlines(keepends=True)[:n_head])
                    n_before += piece.count(b"\n")
                if not new:
                    break
        self.sha256 = digest.hexdigest()

    def _read_piece(self, content: bytes, lines_before: int) -> Table:
        try:
            table = self._read(content)
        except BadInputError as error:
            where = f" (lines are counted from line {lines_before} of the file)" if lines_before > 0 else ""
            raise BadInputError(f"{error}{where}") from error
        if not lines_before:
            return table
        return replace(table, rows=tuple(Row(row.line + lines_before, row.cells) for row in table.rows))
