"""A table file as a checked grid: one header, an optional units row, rows that know their line."""

import re
from dataclasses import dataclass
from pathlib import Path

from review.errors import BadInputError
from review.tables.cells import Cell, cell_text
from review.tables.decoding import compute_sha256, decode_text, is_workbook, read_content, split_lines
from review.tables.headers import PROBE_LINES, CountKnown, find_header, is_units_row, name_columns
from review.tables.records import read_records
from review.tables.sheets import read_sheet

_DELIMITERS = (",", ";", "\t", "|")
_SEPARATOR_LINE = re.compile(r"sep=([,;\t|])\r?\n", re.IGNORECASE)


@dataclass(frozen=True)
class Row:
    """One row beneath the header; ``line`` counts from 1 in the file. Cells of a sheet keep their type."""

    line: int
    cells: tuple[Cell, ...]


@dataclass(frozen=True)
class Table:
    """A table with a header; every row has as many cells as the header.

    ``units`` are the texts of a units row beneath the header, empty where there is none. ``delimiter`` is
    empty for a sheet and for records, whose rows are counted without their names (``row_word`` is then 'record').
    ``notes`` are for the coach.
    """

    file: str
    sha256: str
    header: tuple[str, ...]
    header_line: int
    units: tuple[str, ...]
    rows: tuple[Row, ...]
    delimiter: str
    notes: tuple[str, ...] = ()
    row_word: str = "line"

    def place(self, line: int, column: int) -> str:
        """Where a cell stands, for messages."""
        return f"{self.file}, {self.row_word} {line}, column {self.header[column]!r}"


def read_table(
    path: Path,
    count_known: CountKnown,
    known_terms: str,
    delimiter: str = "auto",
    header_row: int | None = None,
    content: bytes | None = None,
    is_guessing: bool = False,
) -> Table:
    """Read a CSV, TSV, XLSX, ODS or JSON table; the kind of file is told from its content, not its name.

    Parameters
    ----------
    count_known
        How many of a row's cells are headers that the caller can use; the row with most is the header, together with
        the row of groups above it where that knows more.
    known_terms
        What the caller can use, for the message when there is nothing.
    header_row
        The header's line from 1; None to find it.
    content
        The file's bytes where they were read already; None to read it.
    is_guessing
        Take the line of words above the first numbers for the header when nothing in it is known.

    Raises
    ------
    BadInputError
        Missing, empty, binary or damaged file; no header; nothing known in it; a column twice; a row with
        more fields than the header.
    MachineError
        The file may not be read.
    """
    content = read_content(path) if content is None else content
    name = path.name
    notes: list[str] = []
    raw: list[tuple[int, list[Cell]]]
    records = None if is_workbook(content, name) else read_records(content, name)
    if records is not None:
        raw, delimiter, header_row = records, "", None
    elif is_workbook(content, name):
        raw, notes = read_sheet(content, name, count_known)
        delimiter = ""
    else:
        raw, delimiter = _read_text(decode_text(content, name), name, delimiter, count_known)
    header = find_header(raw[:1] if records else raw, name, count_known, known_terms, header_row, is_guessing)
    body = raw[header.below :]
    names = name_columns(header, body, name)
    units = ("",) * len(names)
    if body and records is None and is_units_row(body[0][1]):
        units = tuple(cell_text(cell) for cell in _fit(body[0], len(names), name))
        body = body[1:]
    if header.has_groups:
        notes.append(f"the header stands in two lines, which were joined: {', '.join(filter(None, names[:4]))} ...")
    rows = tuple(Row(row[0], _fit(row, len(names), name)) for row in body)
    row_word = "line" if records is None else "record"
    return Table(name, compute_sha256(content), names, header.line, units, rows, delimiter, tuple(notes), row_word)


def _read_text(
    text: str, name: str, delimiter: str, count_known: CountKnown
) -> tuple[list[tuple[int, list[Cell]]], str]:
    skipped = 0
    if hint := _SEPARATOR_LINE.match(text):
        delimiter = hint[1] if delimiter == "auto" else delimiter
        text, skipped = text[hint.end() :], 1
    if delimiter == "auto":
        delimiter = _find_delimiter(text, name, count_known)
    split = split_lines(text, delimiter, name)
    return [(line + skipped, list(cells)) for line, cells in split if any(map(str.strip, cells))], delimiter


def _find_delimiter(text: str, name: str, count_known: CountKnown) -> str:
    def score(delimiter: str) -> tuple[int, int]:
        rows = [cells for _, cells in split_lines(text, delimiter, name, limit=PROBE_LINES)]
        return max(((count_known(cells), len(cells)) for cells in rows), default=(0, 0))

    return max(_DELIMITERS, key=score)  # the first of equals


def _fit(row: tuple[int, list[Cell]], width: int, name: str) -> tuple[Cell, ...]:
    line, cells = row
    if len(cells) == width:
        return tuple(cells)
    if any(cell_text(cell) != "" for cell in cells[width:]):
        raise BadInputError(
            f"{name}, line {line}: expected {width} fields as in the header, found {len(cells)}; "
            "a field that holds the delimiter must stand in quotation marks"
        )
    return (*cells[:width], *[""] * (width - len(cells)))
