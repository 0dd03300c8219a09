"""The keys of a swing that is played."""

from collections.abc import Callable

from PyQt5.QtCore import Qt
from PyQt5.QtGui import QKeyEvent

from review.app.swing_view.player import SwingPlayer

_PAN_PX = 40.0
_ZOOM = 1.25
_STRAIGHTEN_DEG = 0.5


def press(player: SwingPlayer, event: QKeyEvent) -> bool:
    """Do what a key says; False where it says nothing here."""
    key, held = event.key(), event.modifiers()
    canvas, by = player.leading, 10 if held & Qt.KeyboardModifier.ShiftModifier else 1
    if held & Qt.KeyboardModifier.ControlModifier:
        pans = {
            Qt.Key.Key_Left: (_PAN_PX, 0.0),
            Qt.Key.Key_Right: (-_PAN_PX, 0.0),
            Qt.Key.Key_Up: (0.0, _PAN_PX),
            Qt.Key.Key_Down: (0.0, -_PAN_PX),
        }
        if key in pans:
            canvas.pan(*pans[Qt.Key(key)])
        return key in pans
    actions: dict[int, Callable[[], object]] = {
        Qt.Key.Key_Left: lambda: player.step(-by),
        Qt.Key.Key_Right: lambda: player.step(by),
        Qt.Key.Key_PageUp: lambda: player.step_key_frame(-1),
        Qt.Key.Key_PageDown: lambda: player.step_key_frame(1),
        Qt.Key.Key_Home: lambda: player.go_to(0),
        Qt.Key.Key_End: player.go_to_end,
        Qt.Key.Key_Space: player.toggle_playing,
        Qt.Key.Key_1: lambda: player.set_speed(1.0),
        Qt.Key.Key_2: lambda: player.set_speed(1 / 2),
        Qt.Key.Key_4: lambda: player.set_speed(1 / 4),
        Qt.Key.Key_8: lambda: player.set_speed(1 / 8),
        Qt.Key.Key_L: player.toggle_loop,
        Qt.Key.Key_BracketLeft: lambda: player.set_loop_end(is_last=False),
        Qt.Key.Key_BracketRight: lambda: player.set_loop_end(is_last=True),
        Qt.Key.Key_B: player.screens.toggle_lines,
        Qt.Key.Key_A: player.screens.toggle_ghost,
        Qt.Key.Key_C: player.curves.turn_over,
        Qt.Key.Key_V: player.lead_with_next,
        Qt.Key.Key_Plus: lambda: canvas.zoom(_ZOOM),
        Qt.Key.Key_Equal: lambda: canvas.zoom(_ZOOM),
        Qt.Key.Key_Minus: lambda: canvas.zoom(1 / _ZOOM),
        Qt.Key.Key_0: canvas.reset,
        Qt.Key.Key_Comma: lambda: canvas.straighten(-_STRAIGHTEN_DEG),
        Qt.Key.Key_Period: lambda: canvas.straighten(_STRAIGHTEN_DEG),
    }
    action = actions.get(key)
    if action is not None:
        action()
    return action is not None
