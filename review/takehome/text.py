"""Text from people made fit to be drawn: no control characters, only glyphs the font has, shortened to its place."""

import re
import unicodedata
from contextlib import closing
from datetime import date
from functools import cache
from importlib import resources

from fpdf import FPDF
from fpdf.fonts import TTFFont

from review.lettering import MONTHS, capitalise, clean, wrap

_NO_GLYPH = "…"
_SHAPES_A_PICTURE = re.compile("[\ufe00-\ufe0f\U000e0100-\U000e01ef\U0001f3fb-\U0001f3ff\u20e3]")
"""Variation selectors, skin tones, the frame round a digit."""
_JOINED_PICTURE = re.compile("\u200d[^\\w\\s]")
_STRAY_JOINERS = re.compile("(?<![^\\W_])[\u200c\u200d]+|[\u200c\u200d]+(?![^\\W_])")

__all__ = ["capitalise", "clean", "drawable", "is_all_drawable", "reads_from_right", "say_date", "wrap"]


def say_date(day: date) -> str:
    """Return the day in words, the same on every computer: '14 March 2026'."""
    return f"{day.day} {MONTHS[day.month - 1]} {day.year}"


def drawable(text: str) -> str:
    """Return the cleaned text with what the lettering lacks: an ellipsis for letters, nothing for a symbol."""
    known = _known_characters()
    kept: list[str] = []
    for c in _JOINED_PICTURE.sub("", clean(text)):
        if _SHAPES_A_PICTURE.match(c):
            continue
        if ord(c) in known:
            kept.append(c)
        elif unicodedata.category(c)[0] in "LN" and kept[-1:] != [_NO_GLYPH]:
            kept.append(_NO_GLYPH)
    # two words that both cannot be drawn are one gap; what joined symbols is left without them
    words = " ".join(_STRAY_JOINERS.sub("", "".join(kept)).split())
    return re.sub(rf"{_NO_GLYPH}( {_NO_GLYPH})+", _NO_GLYPH, words)


def is_all_drawable(text: str) -> bool:
    """Whether the lettering has every letter of a text."""
    known = _known_characters()
    return all(ord(c) in known for c in clean(text) if unicodedata.category(c)[0] in "LN")


def reads_from_right(text: str) -> bool:
    """Whether a text begins in a script that is read from right to left (Unicode annex 9, rule P2)."""
    first = next((d for c in text if (d := unicodedata.bidirectional(c)) in ("L", "R", "AL")), "L")
    return first != "L"


@cache
def _known_characters() -> frozenset[int]:
    lettering = resources.files("review.takehome") / "fonts" / "DejaVuSans-Bold.ttf"
    with resources.as_file(lettering) as path:
        reader = FPDF()
        reader.add_font("bold", fname=path)
    font = reader.fonts["bold"]
    if not isinstance(font, TTFFont):
        return frozenset()
    with closing(font):  # only writing a PDF would close its file
        return frozenset(font.cmap)
