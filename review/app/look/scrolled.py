"""What a low window has no room for is gone down to, never pressed together."""

from PyQt5.QtCore import QEvent, QObject, Qt, QTimer
from PyQt5.QtWidgets import QApplication, QFrame, QScrollArea, QVBoxLayout, QWidget

_AROUND_PX = 20
"""So much above and below the field that has the keyboard stays in sight."""


class Scrolled(QScrollArea):
    """Parts one above another in ``inner``; what has the keyboard is kept in sight."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        inside = QWidget()
        inside.installEventFilter(self)
        self._soon = QTimer(self)
        self._soon.setSingleShot(True)
        self._soon.timeout.connect(self._settle)
        self.inner = QVBoxLayout(inside)
        self.inner.setContentsMargins(0, 0, 0, 0)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setWidgetResizable(True)
        self.setWidget(inside)
        for part in (inside, self.viewport()):  # the page's own ground is seen through
            if part is not None:
                part.setAutoFillBackground(False)
        application = QApplication.instance()
        if isinstance(application, QApplication):
            application.focusChanged.connect(self._follow)

    def eventFilter(self, a0: QObject | None, a1: QEvent | None) -> bool:
        """Parts that were laid out while nobody saw them are laid out anew: Qt keeps the heights of then."""
        if a1 is not None and a1.type() in (QEvent.Type.LayoutRequest, QEvent.Type.Show):
            self._soon.start(0)
        return super().eventFilter(a0, a1)

    def _settle(self) -> None:
        inside = self.widget()
        if inside is not None:
            self.inner.invalidate()
            self.inner.setGeometry(inside.rect())

    def _follow(self, _: QWidget | None, now: QWidget | None) -> None:
        inside = self.widget()
        if inside is not None and now is not None and inside.isAncestorOf(now):
            self.ensureWidgetVisible(now, 0, _AROUND_PX)
