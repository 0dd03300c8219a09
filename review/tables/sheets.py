"""Rows of a workbook, XLSX or ODS: the first sheet that has a header."""

import io
import zipfile
import zlib
from collections.abc import Callable, Sequence
from xml.etree.ElementTree import ParseError

from defusedxml import DefusedXmlException
from openpyxl.utils.exceptions import InvalidFileException

from review.errors import BadInputError
from review.tables.cells import Cell, cell_text
from review.tables.ods import holds_ods, read_ods
from review.tables.xlsx import holds_xlsx, read_xlsx

_MAX_UNPACKED_BYTES = 1024**3
_PROBE_ROWS = 60
_BROKEN = (
    zipfile.BadZipFile,
    zlib.error,
    ParseError,
    InvalidFileException,
    DefusedXmlException,
    KeyError,
    ValueError,
    TypeError,
    IndexError,
    AttributeError,
    EOFError,
    NotImplementedError,
    OverflowError,
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
        The archive is damaged, is no XLSX or ODS workbook, or would fill the memory.
    """
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as archive:
            if sum(member.file_size for member in archive.infolist()) > _MAX_UNPACKED_BYTES:
                raise BadInputError(f"{name}: the workbook is far too large for a lesson; cut it to the lesson")
            if holds_xlsx(archive):
                sheets, has_formulas = read_xlsx(content, archive, name)
            elif holds_ods(archive):
                sheets, has_formulas = read_ods(archive, name)
            else:
                raise BadInputError(
                    f"{name}: expected an XLSX or ODS workbook, found another kind of archive; "
                    "save the table as XLSX, ODS or CSV"
                )
    except BadInputError:
        raise
    except _BROKEN as error:
        raise BadInputError(
            f"{name}: expected a workbook (XLSX, ODS), found one that is damaged or cut short "
            f"({type(error).__name__}) or locked with a password; save it again"
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
