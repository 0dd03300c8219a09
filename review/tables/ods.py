"""Sheets of an ODS workbook (OpenDocument 1.3, part 3, chapter 9). Formulas never run: saved values are read.

Read as a stream without entities, so that neither a repeated cell nor an entity can fill the memory.
"""

import re
import zipfile
from datetime import datetime, timedelta
from xml.etree.ElementTree import Element

from defusedxml.ElementTree import iterparse

from review.tables.cells import Cell, as_cell
from review.tables.xlsx import MAX_CELLS, Rows, too_many_cells

_OFFICE = "{urn:oasis:names:tc:opendocument:xmlns:office:1.0}"
_TABLE = "{urn:oasis:names:tc:opendocument:xmlns:table:1.0}"
_TEXT = "{urn:oasis:names:tc:opendocument:xmlns:text:1.0}"
_CONTENT = "content.xml"
_DURATION = re.compile(r"PT(?:(?P<hours>\d+)H)?(?:(?P<minutes>\d+)M)?(?:(?P<seconds>\d+(?:[.,]\d+)?)S)?")


def holds_ods(archive: zipfile.ZipFile) -> bool:
    """Whether an archive is an OpenDocument file."""
    return _CONTENT in archive.namelist()


def read_ods(archive: zipfile.ZipFile, name: str) -> tuple[list[tuple[str, Rows]], bool]:
    """Read the sheets of a workbook by title, filled rows only, and whether it holds formulas.

    Raises
    ------
    BadInputError
        More cells than ``MAX_CELLS``. What the XML reader raises of a damaged file goes through.
    """
    sheets: list[tuple[str, Rows]] = []
    has_formulas = False
    line = n_cells = 0
    with archive.open(_CONTENT) as stream:
        for event, element in iterparse(stream, events=("start", "end"), forbid_dtd=True):
            if element.tag == f"{_TABLE}table" and event == "start":
                sheets.append((element.get(f"{_TABLE}name", ""), []))
                line = 0
            elif element.tag == f"{_TABLE}table" or (event == "end" and element.tag == f"{_TEXT}tracked-changes"):
                element.clear()
            elif element.tag == f"{_TABLE}table-row" and event == "end" and sheets:
                cells, has_formula = _cells(element, name)
                has_formulas = has_formulas or has_formula
                repeated = _repeated(element, "number-rows-repeated")
                if cells:
                    n_cells += repeated * len(cells)
                    if n_cells > MAX_CELLS:
                        raise too_many_cells(name)
                    sheets[-1][1].extend((line + i, cells) for i in range(1, repeated + 1))
                line += repeated
                element.clear()
    return sheets, has_formulas


def _cells(row: Element, name: str) -> tuple[list[Cell], bool]:
    cells: list[Cell] = []
    n_empty = 0
    has_formula = False
    for element in row:
        if element.tag not in (f"{_TABLE}table-cell", f"{_TABLE}covered-table-cell"):
            continue
        has_formula = has_formula or f"{_TABLE}formula" in element.attrib
        repeated = _repeated(element, "number-columns-repeated")
        # what a merged cell covers is not seen
        cell = "" if element.tag.endswith("}covered-table-cell") else _cell(element)
        if cell == "":
            n_empty += repeated
            continue
        if len(cells) + n_empty + repeated > MAX_CELLS:
            raise too_many_cells(name)
        cells += [""] * n_empty + [cell] * repeated
        n_empty = 0
    return cells, has_formula


def _repeated(element: Element, attribute: str) -> int:
    return max(1, int(element.get(f"{_TABLE}{attribute}", "1")))


def _cell(element: Element) -> Cell:
    kind = element.get(f"{_OFFICE}value-type", "")
    if kind in ("float", "percentage", "currency"):
        return float(element.get(f"{_OFFICE}value", ""))
    if kind == "date":
        return datetime.fromisoformat(element.get(f"{_OFFICE}date-value", "")).replace(tzinfo=None)
    if kind == "time" and (match := _DURATION.fullmatch(element.get(f"{_OFFICE}time-value", ""))):
        parts = {unit: float((value or "0").replace(",", ".")) for unit, value in match.groupdict().items()}
        return as_cell(timedelta(**parts))
    if kind == "boolean":
        return element.get(f"{_OFFICE}boolean-value", "").upper()
    stated = element.get(f"{_OFFICE}string-value")
    return stated if stated is not None else "\n".join(_words(part) for part in element.findall(f"{_TEXT}p"))


def _words(element: Element) -> str:
    """The text of a paragraph; several spaces and tabs are elements of their own."""
    text = element.text or ""
    for part in element:
        if part.tag == f"{_TEXT}s":
            text += " " * min(int(part.get(f"{_TEXT}c", "1")), 1000)
        elif part.tag in (f"{_TEXT}tab", f"{_TEXT}line-break"):
            text += " "
        elif part.tag != f"{_OFFICE}annotation":
            text += _words(part)
        text += part.tail or ""
    return text
