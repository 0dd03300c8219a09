"""How the balls of first and last batch flew and where they were struck: words above, pictures beneath."""

from typing import Any

from PyQt5.QtCore import QSize, Qt, pyqtSignal
from PyQt5.QtGui import QKeyEvent, QPainter, QPaintEvent, QPixmap, QResizeEvent
from PyQt5.QtWidgets import QHBoxLayout, QLabel, QSizePolicy, QVBoxLayout, QWidget

from review.app.balls.words import FlightSaid, say_flights
from review.app.language import tr
from review.app.look import Look
from review.app.look.painting import break_lines, font_of, line_px, paint_lines, paint_mark
from review.app.page import Page
from review.app.sentences import say_sentences
from review.app.state import ReviewState
from review.app.worker import Task

_LETTERS, _LINES = 26, 21
"""A picture is at least so many letters wide and high, else there is no room for its words."""
_LEAST_LETTER = 0.8
"""So large, beside the page's quiet words, letters in a picture should be."""


class BallsPage(Page):
    """Flight and strike of the comparison that is open; ``left`` when the coach goes back, ``drawn`` with pictures."""

    drawn = pyqtSignal()

    def __init__(self, state: ReviewState, parent: QWidget | None = None) -> None:
        super().__init__(tr("What the balls did"), parent)
        self._state = state
        self._look: Look | None = None
        self._asked: tuple[object, ...] = ()
        title = QLabel(tr("What the balls did"), self)
        title.setObjectName("title")
        self.lines = _Lines(self)
        self.instead = QLabel(self)
        self.instead.setWordWrap(True)
        self.pictures = {"flight": _Picture(tr("Flight"), self), "strike": _Picture(tr("Strike on the face"), self)}
        self._layout = layout = QVBoxLayout(self)
        beneath = QHBoxLayout()
        for picture in self.pictures.values():
            beneath.addWidget(picture, 1)
        for part in (title, self.lines, self.instead):
            layout.addWidget(part)
        layout.addLayout(beneath, 1)
        state.comparison_changed.connect(self._refresh)

    def set_look(self, look: Look) -> None:
        """Take on a look."""
        self._look = look
        self._layout.setContentsMargins(*(4 * (look.quiet_px // 2,)))
        self._refresh()

    def _refresh(self) -> None:
        """Say what is known, and have the pictures drawn where this page is looked at."""
        compared, look = self._state.comparison, self._look
        if look is None or not self.isVisible():
            return
        said = say_flights(compared) if compared is not None else ()
        self.lines.say(said, look)
        if compared is None:
            self._say(self._state.why_not_compared or tr("Comparing first and last …"))
            return
        width = self.width() // 2 - look.quiet_px
        height = self._height_left(look)
        if height < _LINES * _LEAST_LETTER * look.quiet_px:  # pictures that can be read go before the reasons
            self.lines.say(said, look, is_brief=True)
            height = self._height_left(look)
        asked = (id(compared), look, width, height)
        if asked == self._asked:
            return
        self._asked = asked
        letter_px = min(float(look.quiet_px), width / _LETTERS, max(height / _LINES, 7.0))
        fineness = self.devicePixelRatioF()
        place = width, height if height >= _LINES * letter_px else None
        self._say(tr("Drawing …"))

        def work(progress: Any) -> Any:
            from review.jobs.comparing.pictures import draw_balls_for_screen

            return asked, draw_balls_for_screen(
                compared.pictured, place, letter_px, look.theme.is_dark, fineness, say_sentences
            )

        self._state.line.add(Task(tr("Drawing the balls"), work, self._take, self._say))

    def _height_left(self, look: Look) -> int:
        return self.height() - self.lines.sizeHint().height() - 3 * look.number_px

    def _say(self, text: str) -> None:
        self.instead.setText(text)
        self.instead.setVisible(bool(text))

    def _take(self, drawn: tuple[tuple[object, ...], dict[str, bytes]]) -> None:
        asked, found = drawn
        if asked != self._asked:
            return
        for name, picture in self.pictures.items():
            picture.show_png(found.get(name))
        missing = {
            "flight": tr("No flight: the table gives no launch that can be flown."),
            "strike": tr("No strike: the table does not say where the ball met the face."),
        }
        self._say("  ".join(text for name, text in missing.items() if name not in found))
        self.drawn.emit()

    def showEvent(self, a0: Any) -> None:
        """Draw what has changed since."""
        super().showEvent(a0)
        self._refresh()

    def resizeEvent(self, a0: QResizeEvent | None) -> None:
        """Pictures follow the window."""
        super().resizeEvent(a0)
        self._refresh()

    def keyPressEvent(self, a0: QKeyEvent | None) -> None:
        """Back to the chart."""
        if a0 is not None and a0.key() in (Qt.Key.Key_Escape, Qt.Key.Key_F):
            self.left.emit()
        else:
            super().keyPressEvent(a0)


class _Lines(QWidget):
    """Paints what is said of each batch behind its mark."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self._said: tuple[FlightSaid, ...] = ()
        self._is_brief = False
        self._look: Look | None = None
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setAccessibleName(tr("How the balls flew"))

    def say(self, said: tuple[FlightSaid, ...], look: Look, *, is_brief: bool = False) -> None:
        """Show these lines; ``is_brief`` leaves out the reasons."""
        self._said, self._look, self._is_brief = said, look, is_brief
        self.setAccessibleDescription("; ".join(f"{one.shapes}. {one.why}" for one in said))
        self.updateGeometry()
        self.update()

    def sizeHint(self) -> QSize:
        """As high as its lines."""
        return QSize(100, round(self._paint(None)))

    def paintEvent(self, a0: QPaintEvent | None) -> None:
        """Paint the lines."""
        self._paint(QPainter(self))

    def _paint(self, painter: QPainter | None) -> float:
        look, top = self._look, 0.0
        if look is None:
            return top
        plain, quiet = font_of(look.plain_px, is_bold=True), font_of(look.quiet_px)
        indent = 1.4 * look.plain_px
        for one in self._said:
            colour = look.theme.colour_of(one.batch_number)
            if painter is not None:
                mark_px = 0.42 * look.plain_px
                paint_mark(painter, one.batch_number, colour, mark_px, top + line_px(plain) / 2, mark_px)
            texts = (one.shapes, plain, look.theme.ink), (one.why, quiet, look.theme.quiet_ink)
            for text, font, ink in texts[:1] if self._is_brief else texts:
                lines = break_lines(text, font, self.width() - indent, 2)
                if painter is not None:
                    paint_lines(painter, lines, font, ink, indent, top)
                top += len(lines) * line_px(font)
            top += 0.4 * look.quiet_px
        return top


class _Picture(QLabel):
    """A picture that is made smaller to its place, never larger."""

    def __init__(self, name: str, parent: QWidget) -> None:
        super().__init__(parent)
        self.setAlignment(Qt.AlignmentFlag.AlignCenter)
        self.setAccessibleName(name)
        self.setMinimumSize(1, 1)
        self.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Ignored)
        self._whole = QPixmap()

    def show_png(self, png: bytes | None) -> None:
        """Show a picture, or none."""
        self._whole = QPixmap()
        if png is not None:
            self._whole.loadFromData(png, "PNG")
        self.setVisible(png is not None)
        self._fit()

    def resizeEvent(self, a0: QResizeEvent | None) -> None:
        """Fit anew."""
        super().resizeEvent(a0)
        self._fit()

    def _fit(self) -> None:
        whole = self._whole
        if whole.isNull():
            self.clear()
            return
        fineness = self.devicePixelRatioF()
        whole.setDevicePixelRatio(fineness)
        place = self.size() * fineness
        is_too_large = whole.width() > place.width() or whole.height() > place.height()
        smooth = Qt.TransformationMode.SmoothTransformation
        keep = Qt.AspectRatioMode.KeepAspectRatio
        self.setPixmap(whole.scaled(place, keep, smooth) if is_too_large else whole)
