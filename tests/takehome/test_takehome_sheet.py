"""Letters on the sheet: joined, set from the right, and what the lettering lacks."""

from datetime import date

import pytest

from review.takehome import TakeHome
from review.takehome.sheet import _Sheet, format_sheet


def glyphs_of(text: str) -> list[str]:
    """Names of the glyphs drawn, in the order in which each is drawn first, from left to right."""
    sheet = _Sheet()
    sheet.lines(text, 13.0, 20.0, 100.0, 12.0)
    return [glyph.glyph_name for glyph in sheet.pdf.fonts["sans"].subset._char_id_per_glyph][2:]


def test_arabic_letters_are_joined():
    # Maryam; code points of the joined forms: Unicode, block Arabic Presentation Forms-B
    meem_begins, reh_ends, yeh_begins, meem_ends = "uniFEE3", "uniFEAE", "uniFEF3", "uniFEE2"
    assert glyphs_of("\u0645\u0631\u064a\u0645") == [meem_ends, yeh_begins, reh_ends, meem_begins]


def test_hebrew_is_set_from_the_right():
    shin, resh, he = "\u05e9\u05e8\u05d4"
    assert glyphs_of(shin + resh + he) == [f"uni{ord(letter):04X}" for letter in (he, resh, shin)]


@pytest.mark.parametrize(
    ("name", "is_said"),
    [("Łucja Nguyễn", False), ("Bo \U0001f3cc", False), ("\u674e\u5c0f\u9f99", True), ("Ana \u0e1c\u0e21", True)],
)
def test_letters_that_cannot_be_printed_are_said(name, is_said, monkeypatch):
    written = []
    plain = _Sheet.lines

    def lines(self, text, *rest, **more):
        written.append(text)
        return plain(self, text, *rest, **more)

    monkeypatch.setattr(_Sheet, "lines", lines)
    format_sheet(TakeHome(name, date(2026, 3, 14), aim=name), ())
    assert ("The page says more (index.html)." in written) is is_said


@pytest.mark.parametrize(("n_letters", "is_said"), [(250, False), (900, True)])
def test_a_long_practice_line_gets_the_room_there_is_and_what_is_cut_is_said(n_letters, is_said, monkeypatch):
    written = []
    plain = _Sheet.lines

    def lines(self, text, *rest, **more):
        written.append(text)
        return plain(self, text, *rest, **more)

    monkeypatch.setattr(_Sheet, "lines", lines)
    words = ("slow swings " * 90)[:n_letters].strip()
    format_sheet(TakeHome("Pat", date(2026, 3, 14), practice=(words,)), ())
    assert words in written
    assert ("The page says more (index.html)." in written) is is_said
