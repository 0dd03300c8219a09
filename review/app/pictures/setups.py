"""Pictures of the set-up pages on the lesson that is open; nothing of it is kept."""

from collections.abc import Callable
from typing import Any

from PyQt5.QtCore import QEvent, Qt
from PyQt5.QtGui import QKeyEvent

from review.app.setups.holds import HoldsDraft
from review.app.window import Window
from review.body import Hold

Draw = Callable[[str], None]


def draw_setups(window: Window, draw: Draw, wait_until: Callable[[Callable[[], bool]], None]) -> None:
    """Draw the page of a camera with a mark in hand, and that of a player with some holds marked."""
    cameras: Any = window.others.show("cameras")
    wait_until(lambda: not len(window.state.line))
    if cameras.desk.camera is not None:
        wait_until(lambda: cameras.mark is not None)
        cameras.desk.set_draft(cameras.desk.draft.begin_anew())
        cameras.keyPressEvent(QKeyEvent(QEvent.Type.KeyPress, Qt.Key.Key_Return, Qt.KeyboardModifier.NoModifier))
        draw("camera_setup")
    cameras.left.emit()
    player: Any = window.others.show("player")
    wait_until(lambda: not len(window.state.line))
    if player.desk.clip is not None:
        wait_until(lambda: player.still.frame is not None)
        held = tuple(Hold(0.6 * n, 0.6 * n + 0.5, turn, None) for n, turn in enumerate((0.0, -20.0, -40.0)))
        player.desk.set_draft(HoldsDraft(held, 1.8, 2.3, at=2))
        draw("player_setup")
        player.desk.set_draft(HoldsDraft())
    player.left.emit()
