"""Pictures of the set-up pages on the lesson that is open; nothing of it is kept."""

from collections.abc import Callable
from typing import Any

from PyQt5.QtCore import QEvent, Qt
from PyQt5.QtGui import QKeyEvent

from review.app.window import Window

Draw = Callable[[str], None]


def draw_setups(window: Window, draw: Draw, wait_until: Callable[[Callable[[], bool]], None]) -> None:
    """Draw the page of a camera with the first mark in hand."""
    cameras: Any = window.others.show("cameras")
    wait_until(lambda: not len(window.state.line))
    if cameras.desk.camera is not None:
        wait_until(lambda: cameras.mark is not None)
        cameras.desk.set_draft(cameras.desk.draft.begin_anew())
        cameras.keyPressEvent(QKeyEvent(QEvent.Type.KeyPress, Qt.Key.Key_Return, Qt.KeyboardModifier.NoModifier))
        draw("camera_setup")
    cameras.left.emit()
