"""A table file as a checked grid: one header, an optional units row, rows that know their line."""

import re
from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

from review.errors import BadInputError
from review.tables.decoding import compute_sha256, decode_text, is_workbook, read_content, split_lines
from review.tables.numbers import is_absent, parse_number, shorten
from review.tables.sheets import Cell, cell_text, read_sheet
from review.tables.units import find_unit, is_time_format

CountKnown = Callable[[Sequence[str]], int]

_DELIMITERS = (",", ";", "\t", "|")
_PROBE_LINES = 60
_SEPARATOR_LINE = re.compile(r"sep=([,;\t|])\r?\n", re.IGNORECASE)
_NUMBERLIKE = re.compile(r"[+\-−]?[\d.,:/\-' ]*\d[\d.,:/\-' ]*")


@dataclass(frozen=True)
class Row:
    """One row beneath the header; ``line`` counts from 1 in the file. Cells of a sheet keep their type."""

    line: int
    cells: tuple[Cell, ...]


@dataclass(frozen=True)
class Table:
    """A table with a header; every row has as many cells as the header.

    ``units`` are the texts of a units row beneath the header, empty where there is none. ``delimiter`` is
    empty for a sheet. ``notes`` are for the coach.
    """

    file: str
    sha256: str
    header: tuple[str, ...]
    header_line: int
    units: tuple[str, ...]
    rows: tuple[Row, ...]
    delimiter: str
    notes: tuple[str, ...] = ()

    def place(self, line: int, column: int) -> str:
        """Where a cell stands, for messages."""
        return f"{self.file}, line {line}, column {self.header[column]!r}"


def tidy_header(text: str) -> str:
    """A header in the form in which two are compared: spaces in one, capitals small."""
    return " ".join(text.replace("\ufeff", "").split()).casefold()


def read_table(
    path: Path,
    count_known: CountKnown,
    known_terms: str,
    delimiter: str = "auto",
    header_row: int | None = None,
    content: bytes | None = None,
) -> Table:
    """Read a CSV, TSV or XLSX table; the kind of file is told from its content, not its name.

    Parameters
    ----------
    count_known
        How many of a row's cells are headers that the caller can use; the row with most is the header.
    known_terms
        What the caller can use, for the message when there is nothing.
    header_row
        The header's line from 1; None to find it.
    content
        The file's bytes where they were read already; None to read it.

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
    if is_workbook(content, name):
        raw, notes = read_sheet(content, name, count_known)
        delimiter = ""
    else:
        text = decode_text(content, name)
        skipped = 0
        if hint := _SEPARATOR_LINE.match(text):
            delimiter = hint[1] if delimiter == "auto" else delimiter
            text, skipped = text[hint.end() :], 1
        if delimiter == "auto":
            delimiter = _find_delimiter(text, name, count_known)
        split = split_lines(text, delimiter, name)
        raw = [(line + skipped, list(cells)) for line, cells in split if any(cell.strip() for cell in cells)]
    at = _find_header(raw, name, count_known, known_terms, header_row)
    header_line, header_cells = raw[at]
    body = raw[at + 1 :]
    header = _name_columns([cell_text(cell) for cell in header_cells], body, name, header_line)
    units = ("",) * len(header)
    if body and _is_units_row(body[0][1]):
        units = tuple(cell_text(cell) for cell in _fit(body[0], len(header), name))
        body = body[1:]
    rows = tuple(Row(line, _fit((line, cells), len(header), name)) for line, cells in body)
    return Table(name, compute_sha256(content), header, header_line, units, rows, delimiter, tuple(notes))


def _find_delimiter(text: str, name: str, count_known: CountKnown) -> str:
    def score(delimiter: str) -> tuple[int, int]:
        rows = [cells for _, cells in split_lines(text, delimiter, name, limit=_PROBE_LINES)]
        return max(((count_known(cells), len(cells)) for cells in rows), default=(0, 0))

    return max(_DELIMITERS, key=score)  # the first of equals


def _find_header(
    raw: list[tuple[int, list[Cell]]], name: str, count_known: CountKnown, known_terms: str, header_row: int | None
) -> int:
    texts = [[cell_text(cell) for cell in cells] for _, cells in raw[: max(_PROBE_LINES, header_row or 0)]]
    if not texts:
        raise BadInputError(f"{name}: expected a table with a header, found no filled line; save the table again")
    if header_row is not None:
        at = next((i for i, (line, _) in enumerate(raw) if line == header_row), None)
        if at is None:
            raise BadInputError(f"{name}: expected the header in line {header_row}, found no filled line there")
        if count_known(texts[at]) == 0:
            raise BadInputError(_nothing_known(name, raw[at][0], texts[at], known_terms))
        return at
    scores = [count_known(cells) for cells in texts]
    best = max(scores)
    if best > 0:
        return scores.index(best)
    filled = [cell for cell in texts[0] if cell]
    if sum(_NUMBERLIKE.fullmatch(cell) is not None for cell in filled) * 2 > len(filled):
        raise BadInputError(
            f"{name}, line {raw[0][0]}: expected a header that names the columns, found numbers "
            f"({shorten(', '.join(filled))}); add a first line such as: {known_terms}"
        )
    raise BadInputError(_nothing_known(name, raw[0][0], texts[0], known_terms))


def _nothing_known(name: str, line: int, cells: list[str], known_terms: str) -> str:
    found = shorten(", ".join(repr(cell) for cell in cells if cell), 200)
    return (
        f"{name}, line {line}: expected column headers such as {known_terms}, found {found}; "
        "name the columns so, or keep a column mapping for this device"
    )


def _name_columns(
    header: list[str], body: list[tuple[int, list[Cell]]], name: str, header_line: int
) -> tuple[str, ...]:
    header = [" ".join(text.replace("\ufeff", "").split()) for text in header]
    while header and not header[-1]:
        header.pop()
    named = []
    for column, text in enumerate(header):
        if text or all(column >= len(cells) or cell_text(cells[column]) == "" for _, cells in body):
            named.append(text)
        else:
            named.append(f"column {column + 1}")
    counts = Counter(tidy_header(text) for text in named if text)
    for key, count in counts.items():
        if count > 1:
            places = [i + 1 for i, text in enumerate(named) if tidy_header(text) == key]
            raise BadInputError(
                f"{name}, line {header_line}: expected every column once, found {named[places[0] - 1]!r} "
                f"{count} times (columns {', '.join(map(str, places))}); rename or remove all but one"
            )
    return tuple(named)


def _is_units_row(cells: Sequence[Cell]) -> bool:
    if any(not isinstance(cell, str) for cell in cells):
        return False
    filled = [text for cell in cells if (text := cell_text(cell)) and not is_absent(text)]
    if any(parse_number(text, ".") is not None or parse_number(text, ",") is not None for text in filled):
        return False
    units = sum(find_unit(text) is not None for text in filled)
    plain = sum(find_unit(text) is None and not is_time_format(text) for text in filled)
    return units > 0 and units >= plain


def _fit(row: tuple[int, list[Cell]], width: int, name: str) -> tuple[Cell, ...]:
    line, cells = row
    if any(cell_text(cell) != "" for cell in cells[width:]):
        raise BadInputError(
            f"{name}, line {line}: expected {width} fields as in the header, found {len(cells)}; "
            "a field that holds the delimiter must stand in quotation marks"
        )
    return (*cells[:width], *[""] * (width - len(cells)))
