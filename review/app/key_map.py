"""The keys on one page, in columns, on the screen and as an A4 page to hang up."""

from dataclasses import dataclass
from pathlib import Path

from PyQt5.QtCore import QStandardPaths, Qt
from PyQt5.QtGui import QColor, QFontMetricsF, QKeyEvent, QPagedPaintDevice, QPainter, QPaintEvent, QPdfWriter
from PyQt5.QtWidgets import QFileDialog, QWidget

from review.app.keys import Group, list_groups, list_groups_of
from review.app.language import tr
from review.app.look.painting import break_lines, font_of, line_px, paint_lines
from review.app.page import Page
from review.errors import MachineError

_ALL_COLUMNS, _PAGE_COLUMNS, _PAPER_COLUMNS = 4, 2, 2
_SIZES_PX = range(24, 7, -1)
_SAID_PX = 18
_PAPER_DPI = 96
_MOST_LINES = 4


class KeysPage(Page):
    """Lists the keys of a page, or all, as large as they fit; P writes them all to a page to print."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(tr("Keys"), parent)
        self.size_px, self._page = 0, ""
        self.show_all()
        self.setAccessibleDescription("; ".join(f"{key}: {what}" for _, keys in list_groups() for key, what in keys))

    def show_all(self) -> None:
        """List the keys of all pages."""
        self.groups, self._n_columns = list_groups(), _ALL_COLUMNS
        self.said = tr("P writes them as a page to print (PDF)   Esc back")
        self.update()

    def show_for(self, page: str) -> None:
        """List the keys that count on one page, by its name."""
        self._page, self.groups, self._n_columns = page, list_groups_of(page), _PAGE_COLUMNS
        self.said = tr("A keys of all pages   P writes them as a page to print (PDF)   Esc back")
        self.update()

    def ask_where(self) -> None:
        """Ask where the page to print goes, and write it."""
        folder = QStandardPaths.writableLocation(QStandardPaths.StandardLocation.DocumentsLocation)
        proposed = str(Path(folder) / f"{tr('lesson-review keys')}.pdf")
        chosen, _ = QFileDialog.getSaveFileName(self, tr("Where does the page go?"), proposed, "PDF (*.pdf)")
        if not chosen:
            return
        try:
            write_pdf(Path(chosen))
        except MachineError as error:
            self.said = str(error)
        else:
            self.said = tr("Written: {file}", file=chosen)
        self.update()

    def keyPressEvent(self, a0: QKeyEvent | None) -> None:
        """Print."""
        if a0 is not None and a0.key() == Qt.Key.Key_P:
            self.ask_where()
        elif a0 is not None and a0.key() == Qt.Key.Key_A:
            self.show_all()
        else:
            super().keyPressEvent(a0)

    def paintEvent(self, a0: QPaintEvent | None) -> None:
        """Paint them."""
        edge, painter = 14.0, QPainter(self)
        ink = self.palette().color(self.foregroundRole()).name()
        font = font_of(_SAID_PX)
        top = paint_lines(
            painter,
            break_lines(self.said.replace("   ", " · "), font, self.width() - 2 * edge, 2),
            font,
            ink,
            edge,
            8.0,
        )
        painter.translate(edge, top)
        self.size_px = paint_keys(
            painter, self.groups, self.width() - 2 * edge, self.height() - top - 6, self._n_columns, ink
        )


def write_pdf(path: Path) -> None:
    """Write the keys on one A4 page.

    Raises
    ------
    MachineError
        When the file cannot be written.
    """
    aside = path.with_name(f"{path.name}.part")
    writer = QPdfWriter(str(aside))
    writer.setPageSize(QPagedPaintDevice.PageSize.A4)
    writer.setTitle(tr("Keys"))
    painter = QPainter()
    if not painter.begin(writer):
        raise MachineError(f"{path} could not be written. Choose another folder, or make room.")
    # letters are measured in pixels of a screen and drawn as outlines
    scale = writer.resolution() / _PAPER_DPI
    painter.scale(scale, scale)
    paint_keys(painter, list_groups(), writer.width() / scale, writer.height() / scale, _PAPER_COLUMNS, "#000000")
    painter.end()
    try:
        aside.replace(path)
    except OSError as error:
        raise MachineError(f"{path} could not be written: {error.strerror}. Choose another folder.") from error


def paint_keys(
    painter: QPainter, groups: tuple[Group, ...], width: float, height: float, n_columns: int, ink: str
) -> int:
    """Paint keys in columns, the letters as large as all of them fit; return their size in pixels."""
    for size in _SIZES_PX:
        columns = lay_out(groups, n_columns, width, size)
        if size == _SIZES_PX[-1] or max(column.height for column in columns) <= height:
            break
    plain, bold = font_of(size), font_of(size, is_bold=True)
    for n, column in enumerate(columns):
        left, top = n * width / n_columns, 0.0
        for line in column.lines:
            top += line.above
            paint_lines(painter, [line.key], bold, ink, left, top)
            bottom = paint_lines(painter, line.words, plain, ink, left + line.indent, top)
            top = max(bottom, top + line_px(bold))
            if not line.words:
                painter.fillRect(int(left), round(top), int(0.92 * width / n_columns), 1, QColor(ink))
    return size


@dataclass(frozen=True)
class Line:
    """A key and what it does, broken to its place, or a title without ``words``; lengths in pixels."""

    key: str
    words: tuple[str, ...]
    indent: float
    above: float


@dataclass(frozen=True)
class Column:
    """Lines below each other."""

    lines: tuple[Line, ...]
    height: float


def lay_out(groups: tuple[Group, ...], n_columns: int, width: float, size_px: int) -> tuple[Column, ...]:
    """Break all groups to columns of about the same height, of ``width`` together.

    Within a column groups stand in the order given.
    """
    written = {group[0]: _break(group, 0.95 * width / n_columns, size_px) for group in groups}
    one = line_px(font_of(size_px))
    high = {
        title: sum(line.above + one * max(1, len(line.words)) for line in lines) for title, lines in written.items()
    }
    dealt = _deal(high, n_columns)
    order = list(written)
    for column in dealt:
        column.sort(key=order.index)
    dealt.sort(key=lambda column: order.index(column[0]) if column else len(order))
    return tuple(
        Column(tuple(line for title in column for line in written[title]), sum(high[title] for title in column))
        for column in dealt
    )


def _deal(high: dict[str, float], n_columns: int) -> list[list[str]]:
    """Deal groups to columns: the highest first, each to the lowest column; then exchanged while that evens them."""
    dealt: list[list[str]] = [[] for _ in range(n_columns)]

    def height(titles: list[str]) -> float:
        return sum(high[title] for title in titles)

    for title in sorted(high, key=lambda title: -high[title]):
        min(dealt, key=height).append(title)
    while True:
        highest = max(dealt, key=height)
        exchanges = (
            ([t for t in highest if t not in gone] + come, [t for t in other if t not in come] + gone, other)
            for other in dealt
            if other is not highest
            for gone in ([title] for title in highest)
            for come in ([], *([title] for title in other))
        )
        best = min(exchanges, key=lambda pair: max(height(pair[0]), height(pair[1])), default=None)
        if best is None or max(height(best[0]), height(best[1])) >= height(highest):
            return dealt
        highest[:], best[2][:] = best[0], best[1]


def _break(group: Group, width: float, size_px: int) -> tuple[Line, ...]:
    title, keys = group
    plain, bold = font_of(size_px), QFontMetricsF(font_of(size_px, is_bold=True))
    indent = max(bold.horizontalAdvance(key) for key, _ in keys) + size_px
    lines = (
        Line(key, break_lines(what, plain, width - indent, _MOST_LINES), indent, 0.1 * size_px) for key, what in keys
    )
    return (Line(title, (), 0.0, 0.8 * size_px), *lines)
