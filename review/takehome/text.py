"""Text from people made fit to be drawn: no control characters, only glyphs the font has, shortened to its place."""

import unicodedata
from datetime import date
from functools import cache
from importlib import resources

from fpdf import FPDF

from review.lettering import capitalise, clean, wrap

_MONTHS = (
    *("January", "February", "March", "April", "May", "June"),
    *("July", "August", "September", "October", "November", "December"),
)
_NO_GLYPH = "\u25a1"

__all__ = ["capitalise", "clean", "drawable", "say_date", "wrap"]


def say_date(day: date) -> str:
    """Return the day in words, the same on every computer: '14 March 2026'."""
    return f"{day.day} {_MONTHS[day.month - 1]} {day.year}"


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
