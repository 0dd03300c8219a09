"""Sheets of an XLSX workbook. Formulas never run: the values saved with the workbook are read."""

import io
import re
import warnings
import zipfile
from typing import Any

import openpyxl

from review.errors import BadInputError
from review.tables.cells import Cell, as_cell

MAX_CELLS = 20_000_000
"""More cells than a season has; a workbook that claims more is damaged or made to fill the memory."""

Rows = list[tuple[int, list[Cell]]]


def holds_xlsx(archive: zipfile.ZipFile) -> bool:
    """Whether an archive is an XLSX workbook."""
    return any(member.filename.startswith("xl/") for member in archive.infolist())


def read_xlsx(content: bytes, archive: zipfile.ZipFile, name: str) -> tuple[list[tuple[str, Rows]], bool]:
    """Read the sheets of a workbook by title, filled rows only, and whether it holds formulas.

    Raises
    ------
    BadInputError
        More cells than ``MAX_CELLS``. What openpyxl raises of a damaged file goes through.
    """
    members = [member for member in archive.infolist() if member.filename.startswith("xl/worksheets/")]
    has_formulas = any(_holds_formula(archive, member) for member in members)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # openpyxl speaks of styles that do not matter here
        book = openpyxl.load_workbook(io.BytesIO(content), read_only=True, data_only=True)
        try:
            sheets = [(sheet.title, _rows(sheet, name)) for sheet in book.worksheets]
        finally:
            book.close()
    return sheets, has_formulas


def _holds_formula(archive: zipfile.ZipFile, member: zipfile.ZipInfo) -> bool:
    with archive.open(member) as stream:
        tail = b""
        while chunk := stream.read(1 << 20):
            if re.search(rb"<f[ >/]", tail + chunk):
                return True
            tail = chunk[-2:]
    return False


def _rows(sheet: Any, name: str) -> Rows:
    sheet.reset_dimensions()  # some writers state a size that is wrong
    rows: Rows = []
    n_cells = 0
    for number, values in enumerate(sheet.iter_rows(values_only=True), start=1):
        n_cells += len(values)
        if n_cells > MAX_CELLS:
            raise too_many_cells(name)
        cells = [as_cell(value) for value in values]
        if any(cell != "" for cell in cells):
            rows.append((number, cells))
    return rows


def too_many_cells(name: str) -> BadInputError:
    """The refusal of a workbook that would fill the memory."""
    return BadInputError(
        f"{name}: expected a lesson's table, found more than {MAX_CELLS:,} cells; cut it to the lesson"
    )
