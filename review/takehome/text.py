"""Text from people made fit to be drawn: no control characters, only glyphs the font has, shortened to its place."""

import unicodedata
from collections.abc import Callable
from datetime import date
from functools import cache
from importlib import resources

from fpdf import FPDF

_MONTHS = (
    *("January", "February", "March", "April", "May", "June"),
    *("July", "August", "September", "October", "November", "December"),
)
_MOST_CHARACTERS = 1000
_NO_GLYPH = "\u25a1"


def say_date(day: date) -> str:
    """Return the day in words, the same on every computer: '14 March 2026'."""
    return f"{day.day} {_MONTHS[day.month - 1]} {day.year}"


def clean(text: str) -> str:
    """Return the text on one line without control, formatting and unassigned characters."""
    text = unicodedata.normalize("NFC", text[: 4 * _MOST_CHARACTERS])
    kept = [" " if c.isspace() else c for c in text if c.isspace() or unicodedata.category(c)[0] != "C"]
    return " ".join("".join(kept).split())[:_MOST_CHARACTERS]


def drawable(text: str) -> str:
    """Return the cleaned text with what the font lacks: a box for a letter, nothing for a symbol."""
    known = _known_characters()
    letters = [c if ord(c) in known else _NO_GLYPH if unicodedata.category(c)[0] in "LN" else "" for c in clean(text)]
    return " ".join("".join(letters).split())


@cache
def _known_characters() -> frozenset[int]:
    font = resources.files("review.takehome") / "fonts" / "DejaVuSans-Bold.ttf"
    with resources.as_file(font) as path:
        reader = FPDF()
        reader.add_font("bold", fname=path)
    return frozenset(getattr(reader.fonts["bold"], "cmap", ()))


def wrap(text: str, width: float, n_lines: int, measure: Callable[[str], float]) -> tuple[str, ...]:
    """Break a text into at most ``n_lines`` lines no wider than ``width``, the last cut with an ellipsis.

    ``measure`` gives the width of a piece of text in the unit of ``width``. A word wider than the
    line is broken.
    """
    words = text.split()
    lines: list[str] = []
    while words and len(lines) < n_lines:
        if len(lines) == n_lines - 1:
            lines.append(_cut(" ".join(words), width, measure))
            break
        line = words.pop(0)
        if measure(line) > width:
            n = _fitting(line, width, measure)
            line, rest = line[:n], line[n:]
            words.insert(0, rest)
        else:
            while words and measure(f"{line} {words[0]}") <= width:
                line = f"{line} {words.pop(0)}"
        lines.append(line)
    return tuple(lines)


def _cut(text: str, width: float, measure: Callable[[str], float]) -> str:
    if measure(text) <= width:
        return text
    return text[: _fitting(text, width - measure("…"), measure)].rstrip() + "…"


def _fitting(text: str, width: float, measure: Callable[[str], float]) -> int:
    """Number of leading characters (at least 1) that fit."""
    low, high = 1, len(text)
    while low < high:
        middle = (low + high + 1) // 2
        if measure(text[:middle]) <= width:
            low = middle
        else:
            high = middle - 1
    return low


def capitalise(text: str) -> str:
    """Begin with a capital, the rest as it is."""
    return text[:1].upper() + text[1:]
