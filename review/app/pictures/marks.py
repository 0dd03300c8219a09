"""Picture of a coach naming a mark on the swing that is open; nothing of it is kept."""

from collections.abc import Callable

from PyQt5.QtCore import QEvent, Qt
from PyQt5.QtGui import QKeyEvent

from review.app.language import tr
from review.app.window import Window


def draw_mark(window: Window, draw: Callable[[str], None]) -> None:
    """Draw the time line while the name of a mark is typed."""
    page = window.swing_page
    if page is None or page.player is None:
        return
    page.marks.press(QKeyEvent(QEvent.Type.KeyPress, Qt.Key.Key_N, Qt.KeyboardModifier.NoModifier))
    if page.marks.strip.is_asking:
        page.marks.strip.edit.setText(tr("top"))
        draw("mark_named")
        page.marks.stop()
