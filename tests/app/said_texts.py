"""Everything that a page says: texts, names for those who cannot see it, entries of lists, and what is painted."""

import re

import pyqtgraph
from PyQt5.QtGui import QPainter
from PyQt5.QtWidgets import QAbstractButton, QLabel, QListWidget, QTextBrowser, QWidget

ENGLISH = re.compile(
    r"\b(the|and|of|not|swings?|is|are|to|for|with|it|this|that|from|no|be|by|or|on|at|batch|batches|shots?|rows?|"
    r"than|while|because|there|they|you|your|its|has|have|once|only)\b"
)


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


def left_english(said, own):
    """Texts with an English function word that is not in the coach's own text."""
    found = set()
    for text in said:
        rest = " ".join(text.split())
        for words in own:
            rest = rest.replace(words, "")
        lines = [line.strip("„“”… ") for line in re.split(r"[·:;\n]|, ", rest)]
        found |= {text for line in lines if ENGLISH.search(line) and not any(line in words for words in own)}
    return found
