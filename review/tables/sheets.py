"""Rows of an XLSX workbook. Formulas never run: the values saved with the workbook are read."""

import io
import re
import warnings
import zipfile
import zlib
from collections.abc import Callable, Sequence
from datetime import datetime, time, timedelta
from typing import Any
from xml.etree.ElementTree import ParseError

import openpyxl
from openpyxl.utils.exceptions import InvalidFileException

from review.errors import BadInputError

Cell = str | int | float | datetime | time

_MAX_UNPACKED_BYTES = 1024**3
_PROBE_ROWS = 60
_LARGEST_WHOLE = 10**15
_BROKEN = (
    zipfile.BadZipFile,
    zlib.error,
    ParseError,
    InvalidFileException,
    KeyError,
    ValueError,
    TypeError,
    IndexError,
    AttributeError,
    EOFError,
    NotImplementedError,
    RuntimeError,
)


def read_sheet(
    content: bytes, name: str, count_known: Callable[[Sequence[str]], int]
) -> tuple[list[tuple[int, list[Cell]]], list[str]]:
    """Read the first sheet that has a header.

    Parameters
    ----------
    content
        The workbook file.
    count_known
        How many of a row's cells are column headers that the caller knows.

    Returns
    -------
    Its rows with their row numbers from 1, and notes for the coach.

    Raises
    ------
    BadInputError
        The archive is damaged or is no XLSX workbook.
    """
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as archive:
            members = archive.infolist()
            if not any(member.filename.startswith("xl/") for member in members):
                raise BadInputError(
                    f"{name}: expected an XLSX workbook, found another kind of archive; save the table as XLSX or CSV"
                )
            if sum(member.file_size for member in members) > _MAX_UNPACKED_BYTES:
                raise BadInputError(f"{name}: the workbook is far too large for a lesson; cut it to the lesson")
            sheet_files = [member for member in members if member.filename.startswith("xl/worksheets/")]
            has_formulas = any(_holds_formula(archive, member) for member in sheet_files)
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # openpyxl speaks of styles that do not matter here
            book = openpyxl.load_workbook(io.BytesIO(content), read_only=True, data_only=True)
            try:
                sheets = [(sheet.title, _rows(sheet)) for sheet in book.worksheets]
            finally:
                book.close()
    except BadInputError:
        raise
    except _BROKEN as error:
        raise BadInputError(
            f"{name}: expected an XLSX workbook, found one that is damaged or cut short "
            f"({type(error).__name__}); save it again"
        ) from error
    filled = [(title, rows) for title, rows in sheets if rows]
    if not filled:
        raise BadInputError(f"{name}: expected a table with a header, found a workbook without a filled cell")

    def known(rows: list[tuple[int, list[Cell]]]) -> int:
        return max(count_known([cell_text(cell) for cell in cells]) for _, cells in rows[:_PROBE_ROWS])

    chosen = next((sheet for sheet in filled if known(sheet[1]) > 0), filled[0])
    notes = []
    others = [repr(title) for title, _ in filled if title != chosen[0]]
    if others:
        notes.append(f"sheet {chosen[0]!r} was read, not {', '.join(others)}")
    if has_formulas:
        notes.append("the workbook holds formulas; the results saved with it were read, nothing was computed")
    return chosen[1], notes


def _holds_formula(archive: zipfile.ZipFile, member: zipfile.ZipInfo) -> bool:
    with archive.open(member) as stream:
        tail = b""
        while chunk := stream.read(1 << 20):
            if re.search(rb"<f[ >/]", tail + chunk):
                return True
            tail = chunk[-2:]
    return False


def _rows(sheet: Any) -> list[tuple[int, list[Cell]]]:
    sheet.reset_dimensions()  # some writers state a size that is wrong
    rows = []
    for number, values in enumerate(sheet.iter_rows(values_only=True), start=1):
        cells = [_cell(value) for value in values]
        if any(cell != "" for cell in cells):
            rows.append((number, cells))
    return rows


def _cell(value: Any) -> Cell:
    if value is None:
        return ""
    if isinstance(value, bool):
        return str(value).upper()
    if isinstance(value, int) and abs(value) > _LARGEST_WHOLE:
        return str(value)
    if isinstance(value, (int, float, datetime, time)):
        return value
    if isinstance(value, timedelta) and timedelta(0) <= value < timedelta(days=1):
        return (datetime.min + value).time()
    return str(value)


def cell_text(cell: Cell) -> str:
    """A cell as the text that is kept and shown: whole numbers without a point, times as ISO 8601."""
    if isinstance(cell, str):
        return cell.strip()
    if isinstance(cell, float) and cell.is_integer() and abs(cell) < _LARGEST_WHOLE:
        return str(int(cell))
    if isinstance(cell, datetime):
        return cell.isoformat(sep=" ")
    if isinstance(cell, time):
        return cell.isoformat()
    return str(cell)
