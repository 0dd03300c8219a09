"""The keys on one page, in columns, on the screen and as an A4 page to hang up."""

from pathlib import Path

from PyQt5.QtCore import QStandardPaths, Qt
from PyQt5.QtGui import QKeyEvent, QPagedPaintDevice, QPainter, QPdfWriter, QResizeEvent, QTextDocument
from PyQt5.QtWidgets import QFileDialog, QTextBrowser, QWidget

from review.app.keys import Group, list_groups
from review.app.language import tr
from review.app.look.painting import FAMILY
from review.errors import MachineError

_SCREEN_COLUMNS, _PAPER_COLUMNS = 3, 2
_LARGEST_PX, _LEAST_PX = 18, 11
_PAPER_PT = 9
_LETTERS_A_LINE = 34


class KeysPage(QTextBrowser):
    """Lists the keys as large as they fit; P writes them to a page to print."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName(tr("Keys"))
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self._said = tr("P writes them as a page to print (PDF)   Esc back")
        self.fill()

    def fill(self) -> None:
        """Write the list in the language that is spoken, as large as all of it fits; at the smallest it scrolls."""
        document, place = self.document(), self.viewport()
        if document is None or place is None:
            return
        document.setDocumentMargin(12)
        for size in range(_LARGEST_PX, _LEAST_PX - 1, -1):
            self.setHtml(make_html(f"{size}px", _SCREEN_COLUMNS, self._said))
            document.setTextWidth(place.width())
            if document.size().height() <= place.height():
                return

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
            self._said = str(error)
        else:
            self._said = tr("Written: {file}", file=chosen)
        self.fill()

    def keyPressEvent(self, ev: QKeyEvent | None) -> None:
        """Print, or scroll."""
        if ev is not None and ev.key() == Qt.Key.Key_P:
            self.ask_where()
        else:
            super().keyPressEvent(ev)

    def resizeEvent(self, e: QResizeEvent | None) -> None:
        """As large as fits."""
        super().resizeEvent(e)
        self.fill()


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
    document = QTextDocument()
    document.setDefaultStyleSheet(f"* {{ font-family: '{FAMILY}'; color: black }}")
    document.setHtml(make_html(f"{_PAPER_PT}pt", _PAPER_COLUMNS))
    layout = document.documentLayout()
    painter = QPainter()
    if layout is None or not painter.begin(writer):
        raise MachineError(f"{path} could not be written. Choose another folder, or make room.")
    layout.setPaintDevice(writer)
    document.setTextWidth(writer.width())
    part = min(1.0, writer.height() / document.size().height())
    painter.scale(part, part)
    document.drawContents(painter)
    painter.end()
    try:
        aside.replace(path)
    except OSError as error:
        raise MachineError(f"{path} could not be written: {error.strerror}. Choose another folder.") from error


def make_html(size: str, n_columns: int, said: str = "") -> str:
    """Make the list as HTML in so many columns, letters of ``size`` ('9pt'); ``said`` stands above it."""
    cells = "".join(
        f"<td width='{100 // n_columns}%' style='padding-right:14px'>{''.join(_write(group) for group in column)}</td>"
        for column in deal(list_groups(), n_columns)
    )
    above = f"<p>{said}</p>" if said else ""
    table = f"<table width='100%' style='font-size:{size}'><tr>{cells}</tr></table>"
    return f"<div style='font-size:{size}'>{above}{table}</div>"


def deal(groups: tuple[Group, ...], n_columns: int) -> list[list[Group]]:
    """Deal the groups out to columns of about the same height: the longest first, each to the shortest column.

    The columns begin with their groups in the order in which they were given.
    """
    columns: list[list[Group]] = [[] for _ in range(n_columns)]
    for group in sorted(groups, key=_count_lines, reverse=True):
        min(columns, key=lambda column: sum(map(_count_lines, column))).append(group)
    for column in columns:
        column.sort(key=groups.index)
    return sorted(columns, key=lambda column: groups.index(column[0]) if column else len(groups))


def _count_lines(group: Group) -> int:
    return 2 + sum(1 + len(what) // _LETTERS_A_LINE for _, what in group[1])


def _write(group: Group) -> str:
    title, keys = group
    rows = "".join(
        f"<tr><td style='padding-right:10px;white-space:nowrap'><b>{key}</b></td><td>{what}</td></tr>"
        for key, what in keys
    )
    return f"<p style='margin-top:8px;margin-bottom:2px'><b><u>{title}</u></b></p><table cellspacing='0'>{rows}</table>"
