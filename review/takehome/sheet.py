"""The sheet: one A4 page to print, whatever the length of the texts."""

import io
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from importlib import resources

from fpdf import FPDF

from review.takehome.clip_sides import is_firm
from review.takehome.contents import BODY_NUMBERS, TakeHome
from review.takehome.looks import Picture
from review.takehome.page import verdict_mark
from review.takehome.stills import to_jpeg
from review.takehome.text import capitalise, drawable, is_all_drawable, reads_from_right, say_date, wrap

_NO_DAY = datetime(2000, 1, 1, tzinfo=UTC)
"""The format wants a day on which the file was made; it is nobody's business."""
_MARGIN_MM, _WIDTH_MM, _FOOT_MM = 13.0, 184.0, 286.0
_PICTURE_MM = (59.0, 66.0)
_LINE_PER_POINT_MM = 0.3528 * 1.28
_INK, _QUIET, _RULE = (24, 27, 32), (90, 96, 104), (205, 202, 194)
_MOST_NUMBERS, _MOST_PRACTICE, _MOST_FELT = 5, 6, 2
_MOST_PRACTICE_LINES = 6
_MORE_MM = 4.6
"""Kept free for a line that says that the page says more."""
_COLUMNS_MM = (0.0, 42.0, 77.0, 112.0, 152.0, 184.0)


@dataclass(frozen=True, eq=False)
class SheetStill:
    """One picture of the sheet: both clips at a key frame."""

    key_frame: str
    picture: Picture


def format_sheet(contents: TakeHome, stills: Sequence[SheetStill]) -> bytes:
    """Return the sheet as PDF: up to three pictures, five numbers, the feel, the practice, the cautions."""
    sheet = _Sheet()
    _write_head(sheet, contents)
    _write_pictures(sheet, contents, stills[:3])
    foot = _write_cautions(sheet, contents.cautions)
    floor = foot - _MORE_MM
    _write_numbers(sheet, contents, floor)
    for both in contents.felt_measured[:_MOST_FELT]:
        sheet.heading("The feel", floor)
        sheet.paragraph(f"“{drawable(both.felt)}”", 12.5, floor, 2, is_bold=True)
        sheet.paragraph(f"Measured: {'; '.join(both.measured)}" if both.measured else "", 10.0, floor, 2, colour=_QUIET)
    if contents.practice or contents.check_alone:
        sheet.heading("Your practice", floor)
    for number, line in enumerate(contents.practice[:_MOST_PRACTICE], 1):
        sheet.paragraph(line, 12.0, floor, _MOST_PRACTICE_LINES, lead=f"{number}.")
    if contents.check_alone:
        sheet.heading("How to check it alone", floor)
        sheet.paragraph(contents.check_alone, 12.0, floor, 3)
    if contents.notes:
        sheet.y += 2.0
        sheet.paragraph("Missing: " + " ".join(contents.notes), 8.5, floor, 2, colour=_QUIET)
    if sheet.is_cut or len(contents.practice) > _MOST_PRACTICE or len(contents.felt_measured) > _MOST_FELT:
        sheet.lines("The page says more (index.html).", _MARGIN_MM, foot - _MORE_MM, _WIDTH_MM, 8.5, colour=_QUIET)
    return sheet.finish()


class _Sheet:
    """A page and the place reached on it, mm from the upper edge.

    ``is_cut`` when something found no room or has letters that cannot be printed.
    """

    def __init__(self) -> None:
        self.pdf = FPDF(format="A4")
        self.pdf.set_auto_page_break(False)
        self.pdf.c_margin = 0.0
        fonts = resources.files("review.takehome") / "fonts"
        for style, name in (("", "DejaVuSans.ttf"), ("B", "DejaVuSans-Bold.ttf")):
            with resources.as_file(fonts / name) as path:
                self.pdf.add_font("sans", style, path)
        self.pdf.set_text_shaping(True)  # joins Arabic letters and sets what is read from right to left
        self.pdf.add_page()
        self.pdf.set_title("Lesson sheet")
        self.pdf.set_lang("en")
        self.pdf.set_creation_date(_NO_DAY)
        self.y = _MARGIN_MM
        self.is_cut = False

    def finish(self) -> bytes:
        return bytes(self.pdf.output())

    def lines(
        self, text: str, x: float, y: float, width: float, size: float, n_lines: int = 1, is_bold: bool = False,
        colour: tuple[int, int, int] = _INK,
    ) -> float:  # fmt: skip
        """Write a text into its place and return the height used."""
        self.pdf.set_font("sans", "B" if is_bold else "", size)
        self.pdf.set_text_color(*colour)
        height = size * _LINE_PER_POINT_MM
        broken = wrap(drawable(text), width - 1.0, n_lines, self.pdf.get_string_width)
        for n, line in enumerate(broken):
            self.pdf.set_xy(x, y + n * height)
            self.pdf.cell(width, height, line, align="R" if reads_from_right(line) else "L")
        self.is_cut |= not is_all_drawable(text) or "".join("".join(broken).split()) != "".join(drawable(text).split())
        return len(broken) * height

    def paragraph(
        self, text: str, size: float, floor: float, n_lines: int, is_bold: bool = False,
        colour: tuple[int, int, int] = _INK, lead: str = "",
    ) -> None:  # fmt: skip
        """Write a text at the place reached, in as many lines as there is room for above ``floor``."""
        room = int((floor - self.y) / (size * _LINE_PER_POINT_MM))
        indent = 6.0 if lead else 0.0
        if not drawable(text):
            return
        if room < 1:
            self.is_cut = True
            return
        if lead:
            self.lines(lead, _MARGIN_MM, self.y, indent, size, colour=_QUIET)
        used = self.lines(
            text, _MARGIN_MM + indent, self.y, _WIDTH_MM - indent, size, min(room, n_lines), is_bold, colour
        )
        self.y += used + 0.8

    def heading(self, text: str, floor: float) -> None:
        """Write a heading when at least a line fits below it."""
        if floor - self.y > 15.0:
            self.y += 3.4
            self.paragraph(text, 10.0, floor, 1, colour=_QUIET)

    def rule(self) -> None:
        """Draw a thin line at the place reached."""
        self.pdf.set_draw_color(*_RULE)
        self.pdf.line(_MARGIN_MM, self.y, _MARGIN_MM + _WIDTH_MM, self.y)
        self.y += 1.2


def _write_head(sheet: _Sheet, contents: TakeHome) -> None:
    day = say_date(contents.held_on)
    is_named = any(c.isalnum() for c in drawable(contents.pupil_name))
    title = f"Your lesson, {contents.pupil_name}" if is_named else "Your lesson"
    sheet.y += sheet.lines(day, _MARGIN_MM, sheet.y, _WIDTH_MM, 10.0, colour=_QUIET) + 0.5
    sheet.y += sheet.lines(title, _MARGIN_MM, sheet.y, _WIDTH_MM, 20.0, 1, True)
    sheet.y += sheet.lines(contents.aim, _MARGIN_MM, sheet.y + 0.5, _WIDTH_MM, 11.5, 2) + 0.5
    if contents.worked_on:
        # a line of its own where it is read from the other side
        label = "" if reads_from_right(contents.worked_on) else "What we worked on: "
        words = label + contents.worked_on
        sheet.y += sheet.lines(words, _MARGIN_MM, sheet.y + 0.5, _WIDTH_MM, 10.0, 2, colour=_QUIET) + 0.5
    sheet.y += 3.0


def _write_pictures(sheet: _Sheet, contents: TakeHome, stills: Sequence[SheetStill]) -> None:
    if not stills:
        return
    gap = (_WIDTH_MM - 3 * _PICTURE_MM[0]) / 2
    tallest = 0.0
    for n, still in enumerate(stills):
        x = _MARGIN_MM + n * (_PICTURE_MM[0] + gap)
        height_px, width_px = still.picture.shape[:2]
        scale = min(_PICTURE_MM[0] / width_px, _PICTURE_MM[1] / height_px)
        width, height = width_px * scale, height_px * scale
        image = io.BytesIO(to_jpeg(still.picture))
        words = f"Both clips at {still.key_frame}"
        sheet.pdf.image(image, x, sheet.y + 5.6, width, height, alt_text=words)
        sheet.lines(still.key_frame.capitalize(), x, sheet.y, _PICTURE_MM[0], 10.5, 1, True)
        tallest = max(tallest, height)
    sheet.y += 5.6 + tallest + 1.2
    pair = contents.pairs[0] if contents.pairs else None
    if pair is not None:
        words = f"Left: {pair.first.label}. Right: {pair.last.label}. {capitalise(pair.view)}."
        sheet.y += sheet.lines(words, _MARGIN_MM, sheet.y, _WIDTH_MM, 9.0, 1, colour=_QUIET) + 1.0


def _write_cautions(sheet: _Sheet, cautions: Sequence[str]) -> float:
    """Write the cautions at the foot, always there, and return where they begin."""
    size = 9.5
    height = size * _LINE_PER_POINT_MM
    words = " · ".join(cautions[:6])
    sheet.pdf.set_font("sans", "", size)
    broken = wrap(drawable(words), _WIDTH_MM - 1.0, 3, sheet.pdf.get_string_width)
    top = _FOOT_MM - len(broken) * height
    for n, line in enumerate(broken):
        sheet.lines(line, _MARGIN_MM, top + n * height, _WIDTH_MM, size)
    reached, sheet.y = sheet.y, top - 2.0
    if broken:
        sheet.rule()
    sheet.y = reached
    return top - 3.5


def _write_numbers(sheet: _Sheet, contents: TakeHome, floor: float) -> None:
    # what the lesson was not about is on the page, where there is room to say how little it means
    rows = ([row for row in contents.rows if row.in_aim] or list(contents.rows))[:_MOST_NUMBERS]
    if not rows:
        return
    heads = ("", "First batch", "Last batch", "Change", "Verdict")
    tallest = 0.0
    for words, x, end in zip(heads, _COLUMNS_MM[:-1], _COLUMNS_MM[1:], strict=True):
        used = sheet.lines(words, _MARGIN_MM + x, sheet.y, end - x - 2.0, 9.0, colour=_QUIET)
        tallest = max(tallest, used)
    sheet.y += tallest + 0.8
    for row in rows:
        if sheet.y > floor - 10.0:
            return
        sheet.rule()
        verdict = f"{verdict_mark(row)} {row.verdict_words}" if row.verdict_words else ""
        cells = (row.label, row.first_words, row.last_words, row.change_words, verdict)
        tallest = 0.0
        for n, (words, x, end) in enumerate(zip(cells, _COLUMNS_MM[:-1], _COLUMNS_MM[1:], strict=True)):
            used = sheet.lines(
                words,
                _MARGIN_MM + x,
                sheet.y,
                end - x - 2.0,
                10.5 if n in (1, 2, 3) else 10.0,
                3,
                n == 3 and is_firm(row.verdict),
            )
            tallest = max(tallest, used)
        sheet.y += tallest + 1.0
    if contents.has_body_numbers:
        sheet.paragraph(BODY_NUMBERS, 8.5, floor, 2, colour=_QUIET)
