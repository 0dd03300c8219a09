"""The heads of the bands: a batch's mark and number, what was asked for and felt; and a row of the means."""

from collections.abc import Mapping

from PyQt5.QtCore import QSize
from PyQt5.QtGui import QFont, QFontMetricsF, QPainter, QPaintEvent
from PyQt5.QtWidgets import QSizePolicy, QWidget

from review.app.language import tr
from review.app.lesson_chart.along import Along
from review.app.lesson_chart.drawing import Band, MeasureDrawing
from review.app.look import Look
from review.app.look.painting import break_lines, first_that_fits, font_of, line_px, paint_lines, paint_mark
from review.app.voice.words import say_beside
from review.lesson import Batch, Voice, VoiceOf


class BandHeads(QWidget):
    """Paints over every band which batch it is, its cue and its feel."""

    _CUE_LINES = 2
    _LEAST_LETTERS = 6.0
    """Bands narrower than so many letters are told by their mark and number alone."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._bands: tuple[Band, ...] = ()
        self.voices: Mapping[tuple[str, VoiceOf], Voice] = {}
        self._look: Look | None = None
        self._side_px, self._feel_lines = 0.0, 3
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setAccessibleName(tr("Batches"))

    def show_bands(self, bands: tuple[Band, ...], look: Look, side_px: float, feel_lines: int = 3) -> None:
        """Show the heads of these bands, at most so many lines of the feel."""
        self._bands, self._look, self._side_px, self._feel_lines = bands, look, side_px, feel_lines
        self.setAccessibleDescription("; ".join(say_head(band) for band in bands))
        self.updateGeometry()
        self.update()

    def sizeHint(self) -> QSize:
        """As high as its lines."""
        if self._look is None:
            return QSize(0, 0)
        along = self._along()
        below = [
            sum(len(lines) * line_px(font) for lines, font in self._texts(band, along, self._look))
            for band in self._bands
        ]
        return QSize(100, round(line_px(font_of(self._look.plain_px)) + max(below, default=0.0)))

    def paintEvent(self, a0: QPaintEvent | None) -> None:
        """Paint the heads."""
        if self._look is None or not self._bands:
            return
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        for band in self._bands:
            self._paint_head(painter, band, self._along(), self._look)

    def _along(self) -> Along:
        ends = (self._bands[0].start, self._bands[-1].end) if self._bands else (0.0, 1.0)
        return Along(*ends, self.width(), self._side_px, self._side_px / 3)

    def _texts(self, band: Band, along: Along, look: Look) -> tuple[tuple[tuple[str, ...], QFont], ...]:
        """What stands below the name, cue and feel, broken into the lines there is room for."""
        width = self._width(band, along, look)
        if band.batch is None or not band.has_words or width < self._LEAST_LETTERS * look.plain_px:
            return ()
        plain, slanted = font_of(look.plain_px), font_of(look.quiet_px, is_slanted=True)
        feel = f"“{band.batch.feel}”" if band.batch.feel else ""
        feel = say_beside(feel, self.voices.get((band.batch.id, VoiceOf.FEEL)))
        cue = say_beside(band.batch.cue, self.voices.get((band.batch.id, VoiceOf.CUE)))
        small = font_of(look.quiet_px)
        _, about = title_of(band.batch, width - 3 * _mark_px(look), width, look)
        return (
            (about, small),
            (break_lines(cue, plain, width, self._CUE_LINES), plain),
            (break_lines(feel, slanted, width, self._feel_lines), slanted),
        )

    @staticmethod
    def _width(band: Band, along: Along, look: Look) -> float:
        return along(band.end) - along(band.start) - 0.8 * look.plain_px

    def _paint_head(self, painter: QPainter, band: Band, along: Along, look: Look) -> None:
        bold, plain = font_of(look.plain_px, is_bold=True), font_of(look.plain_px)
        x, width = along(band.start) + 0.3 * look.plain_px, self._width(band, along, look)
        if band.batch is None:
            paint_lines(painter, [first_that_fits((tr("no batch"),), plain, width)], plain, look.theme.quiet_ink, x, 0)
            return
        if not band.has_words:
            return
        batch, mark_px = band.batch, _mark_px(look)
        colour = look.theme.colour_of(batch.number)
        paint_mark(painter, batch.number, colour, x + mark_px, line_px(bold) / 2, mark_px)
        title, _ = title_of(batch, width - 3 * mark_px, width, look)
        top = paint_lines(painter, [title], bold, look.theme.ink, x + 3 * mark_px, 0)
        inks = look.theme.ink, look.theme.ink, look.theme.quiet_ink
        for (lines, font), ink in zip(self._texts(band, along, look), inks, strict=False):
            top = paint_lines(painter, lines, font, ink, x, top)


def title_of(batch: Batch, width: float, width_below: float, look: Look) -> tuple[str, tuple[str, ...]]:
    """Name a batch on one line; below it what does not fit beside: that it is still open, its club."""
    bold, small = font_of(look.plain_px, is_bold=True), font_of(look.quiet_px)
    name = tr("Batch {n}", n=batch.number)
    club = [batch.club] if batch.club else []
    whole = " · ".join([name if batch.is_closed else name + tr(", still open"), *club])
    if title := first_that_fits((whole,), bold, width):
        return title, ()
    parts = [*([] if batch.is_closed else [tr("still open")]), *club]
    below = [" · ".join(parts)] if first_that_fits((" · ".join(parts),), small, width_below) else parts
    lines = tuple(line for part in below for line in break_lines(part, small, width_below, 1))
    return first_that_fits((name, str(batch.number)), bold, width), lines


def _mark_px(look: Look) -> float:
    return 0.42 * look.plain_px


class MeansRow(QWidget):
    """Paints the mean and the scatter of a measure over every band, in the player's words."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._drawing: MeasureDrawing | None = None
        self._look: Look | None = None
        self._side_px, self._is_tight = 0.0, False
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setAccessibleName(tr("Means of the batches"))

    def show_means(self, drawing: MeasureDrawing, look: Look, side_px: float, is_tight: bool) -> None:
        """Show the means of a measure; ``is_tight`` leaves one line for them."""
        self._drawing, self._look, self._side_px, self._is_tight = drawing, look, side_px, is_tight
        said = (f"{say_head(band)}: {band.mean_words}, {band.spread_words}" for band in drawing.bands if band.n)
        self.setAccessibleDescription("; ".join(said))
        self.updateGeometry()
        self.update()

    def sizeHint(self) -> QSize:
        """As high as its lines."""
        if self._look is None:
            return QSize(0, 0)
        height = line_px(font_of(self._look.number_px, is_bold=True))
        if not self._is_tight:
            height += line_px(font_of(self._look.quiet_px))
        return QSize(100, round(height))

    def paintEvent(self, a0: QPaintEvent | None) -> None:
        """Paint the means."""
        if self._look is None or self._drawing is None:
            return
        painter, look = QPainter(self), self._look
        along = Along(*self._drawing.ends, self.width(), self._side_px, self._side_px / 3)
        font, quiet = font_of(look.number_px, is_bold=True), font_of(look.quiet_px)
        for band in self._drawing.bands:
            if band.batch is None or not band.n or not band.has_words:
                continue
            left, right = along(band.start), along(band.end)
            x, width = left + 0.3 * look.plain_px, right - left - 0.6 * look.plain_px
            colour = look.theme.colour_of(band.batch.number)
            small = font_of(look.quiet_px, is_bold=True)
            mean, smaller = "", font
            for words, smaller in ((band.mean_words, font), (band.mean_short, font), (band.mean_words, small)):
                if words and (mean := first_that_fits((words,), smaller, width)):
                    break
            lines = break_lines(band.mean_words, small, width, 2)
            if not mean and not self._is_tight and " ".join(lines) == band.mean_words:
                paint_lines(painter, lines, small, colour, x, self.height() - 2 * line_px(small))
                continue
            below = paint_lines(painter, [mean], smaller, colour, x, line_px(font) - line_px(smaller))
            if self._is_tight:  # beside the mean, where there is room
                used = QFontMetricsF(font).horizontalAdvance(mean) + look.quiet_px
                x, width, below = x + used, width - used, line_px(font) - 1.15 * line_px(quiet)
            spread = first_that_fits((band.spread_words,), quiet, width)
            paint_lines(painter, [spread], quiet, look.theme.quiet_ink, x, below)


def say_head(band: Band) -> str:
    """What a screen reader says of a band."""
    if band.batch is None:
        return tr("no batch")
    is_open = "" if band.batch.is_closed else tr("still open")
    parts = [tr("Batch {n}", n=band.batch.number), is_open, band.batch.club, band.batch.cue, band.batch.feel]
    return ", ".join(part for part in parts if part)
