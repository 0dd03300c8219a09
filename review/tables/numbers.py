"""Numbers as people and programs write them: decimal marks, thousands, directions, units."""

import math
import re
from collections import Counter
from collections.abc import Collection, Iterable
from functools import lru_cache

from review.tables.cells import Cell, cell_text

LARGEST = 1e7
"""No value of this trade is as large, in any unit; a larger one is a damaged cell."""

ABSENT = frozenset({"", "-", "--", "---", "–", "—", "nan"})
"""What a cell says that holds no number."""

_EXPONENT = r"(?:[eE][+-]?\d{1,3})?"
_POINT = re.compile(rf"[+-]?(?:[1-9]\d{{0,2}}(?:[,'’ ]\d{{3}})+|\d+)?(?:\.\d*)?{_EXPONENT}")
_COMMA = re.compile(rf"[+-]?(?:[1-9]\d{{0,2}}(?:[.'’ ]\d{{3}})+|\d+)?(?:,\d*)?{_EXPONENT}")
_PLAIN = {".": re.compile(r"-?\d+(?:\.\d+)?"), ",": re.compile(r"-?\d+(?:,\d+)?")}
_INFINITE = frozenset({"inf", "infinity", "infinite", "∞"})
_PARTS = re.compile(r"(?P<lead>[^\d+\-.,]*)(?P<number>[+-]?[.,]?\d[\d.,'’ ]*(?:[eE][+-]?\d+)?)(?P<tail>.*)", re.DOTALL)
_THOUSANDS = re.compile(r"[1-9]\d{0,2}(?:[.,]\d{3})+")


def tidy_number(text: str) -> str:
    """Put the many spaces and minus signs of tables into one form."""
    text = text.replace("\u2212", "-").replace("\u2013", "-").replace("\u2009", " ")
    return text.replace("\u00a0", " ").replace("\u202f", " ").strip()


def is_absent(cell: Cell, words: Collection[str] = ()) -> bool:
    """Whether a cell holds no number: empty, a dash, NaN, or one of the coach's own ``words``."""
    if isinstance(cell, float):
        return math.isnan(cell)
    if not isinstance(cell, str):
        return False
    text = cell.strip().casefold()
    return text in ABSENT or (bool(words) and any(text == word.strip().casefold() for word in words))


def parse_number(text: str, decimal: str) -> float | None:
    """Parse a plain number; None when the text is none.

    Parameters
    ----------
    decimal
        ``.`` or ``,``: the decimal mark. The other one, spaces and apostrophes may part thousands.
    """
    if _PLAIN[decimal].fullmatch(text) is not None:
        return float(text.replace(",", "."))
    text = tidy_number(text)
    pattern = _COMMA if decimal == "," else _POINT
    if not any(character.isdigit() for character in text) or pattern.fullmatch(text) is None:
        return None
    for character in "'’ " + ("." if decimal == "," else ","):
        text = text.replace(character, "")
    try:
        return float(text.replace(",", "."))
    except ValueError:
        return None


def split_number(text: str) -> tuple[str, str, str] | None:
    """Part a text into what stands before its number, the number, and what stands after it."""
    match = _PARTS.fullmatch(tidy_number(text))
    if match is None:
        return None
    return match["lead"].strip(), match["number"].strip(), match["tail"].strip()


@lru_cache(maxsize=8192)  # a column of a long table says the same few hundred numbers again and again
def _find_mark(cell: str) -> str:
    """The decimal mark that a cell shows: '.' or ',', '?' where it may part thousands, '' where there is none."""
    if "." not in cell and "," not in cell:
        return ""
    parts = split_number(cell)
    if parts is None:
        return ""
    body = re.sub(r"[eE].*", "", parts[1]).lstrip("+-")
    if "." in body and "," in body:
        return "." if body.rfind(".") > body.rfind(",") else ","
    if _THOUSANDS.fullmatch(body):
        if body.count(".") > 1:
            return ","
        return "." if body.count(",") > 1 else "?"
    return "." if "." in body else "," if "," in body else ""


def find_decimal(cells: Iterable[Cell], delimiter: str) -> str | None:
    """Find the decimal mark of a table from its number cells.

    A mark that cannot part thousands is the decimal mark; where both occur the more frequent one counts, so
    that the odd cells are told. ``1.234`` alone says nothing: then a table parted by commas is read with a
    point, and for others the answer is None when such cells exist, because nobody can tell.
    """
    votes = Counter(map(_find_mark, (cell for cell in cells if isinstance(cell, str))))
    points, commas, unclear = votes["."], votes[","], votes["?"]
    if points or commas:
        return "," if commas > points else "."
    if delimiter in (",", "") or not unclear:
        return "."
    return None


def describe_refusal(cell: Cell, decimal: str) -> str:
    """Say what is wrong with a cell that should hold a number."""
    text = shorten(cell_text(cell))
    if tidy_number(text).lstrip("+-").casefold() in _INFINITE:
        return f"found {text!r}, which is no measured value"
    other = "." if decimal == "," else ","
    if parse_number(text, other) is not None:
        mark = "a comma" if decimal == "," else "a point"
        return f"found {text!r} although this table writes decimals with {mark}"
    return f"found {text!r}"


def shorten(text: str, length: int = 40) -> str:
    """Shorten a text for a message."""
    return text if len(text) <= length else text[: length - 3] + "..."
