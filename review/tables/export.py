"""Tables written for a spreadsheet, none of whose cells it would run, wherever it splits the lines."""

import csv
import io
import math
import re
import unicodedata
from collections.abc import Iterable, Sequence

from review.lettering import clean
from review.tables.cells import LARGEST_WHOLE

_RUNNABLE = ("=", "+", "-", "@")
_NUMBER = re.compile(r"[+-]?\d+(\.\d+)?", re.ASCII)


def export_cell(value: str | float | None) -> str | int | float:
    """A value as a cell of any file that a spreadsheet opens; a number stays one, '' where it is not known.

    Text is brought onto one line without control characters. One that a spreadsheet could take for a formula is led by
    an apostrophe: it begins with = + - or @, also in another width. A semicolon becomes a comma: where spreadsheets
    split at semicolons, what follows one would be a cell of its own. Blanks, tabs and line ends before the text, which
    hide what it begins with, go.
    """
    if value is None:
        return ""
    if not isinstance(value, str):
        number = float(value)
        if not math.isfinite(number):
            return ""
        return int(number) if number.is_integer() and abs(number) < LARGEST_WHOLE else number
    text = clean(value).replace(";", ",")
    begins = unicodedata.normalize("NFKC", text[:1])
    return f"'{text}" if begins.startswith(_RUNNABLE) and not _NUMBER.fullmatch(text) else text


def format_csv(lines: Iterable[Sequence[str | float | None]]) -> str:
    """Lines of cells, the heading first, as CSV text (comma, point, CRLF as in RFC 4180)."""
    text = io.StringIO()
    csv.writer(text, lineterminator="\r\n").writerows([export_cell(cell) for cell in line] for line in lines)
    return text.getvalue()
