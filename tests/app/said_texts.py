"""Everything that a page says: texts, names for those who cannot see it, entries of lists, and what is painted."""

import pyqtgraph
from PyQt5.QtGui import QPainter
from PyQt5.QtWidgets import QAbstractButton, QLabel, QListWidget, QTextBrowser, QWidget


def list_said(page: QWidget) -> set[str]:
    """What stands on a page in widgets, painted or not."""
    said = set()
    for part in (page, *page.findChildren(QWidget)):
        said |= {part.accessibleName(), part.accessibleDescription(), part.toolTip()}
        if isinstance(part, (QLabel, QAbstractButton)):
            said.add(part.text())
        if isinstance(part, QTextBrowser):
            said.add(part.toPlainText())
        if isinstance(part, QListWidget):
            said |= {part.item(n).text() for n in range(part.count())}
        if isinstance(part, pyqtgraph.GraphicsView):
            texts = (item for item in part.scene().items() if isinstance(item, pyqtgraph.TextItem))
            said |= {item.toPlainText() for item in texts}
    return said


def record_painted(monkeypatch) -> set[str]:
    """Take down what is painted from now on."""
    painted, draw = set(), QPainter.drawText

    def drawn(painter, *parts):
        painted.update(part for part in parts if isinstance(part, str))
        return draw(painter, *parts)

    monkeypatch.setattr(QPainter, "drawText", drawn)
    return painted
