"""Keys of two clips on one control."""

from collections.abc import Callable

from PyQt5.QtCore import Qt

from review.app.side_by_side.pair_player import PairPlayer


def player_actions(player: PairPlayer, by: int) -> dict[int, Callable[[], object]]:
    """What each key does to the two clips; ``by`` frames at a step."""
    play = player.transport
    return {
        Qt.Key.Key_Left: lambda: play.step(-by),
        Qt.Key.Key_Right: lambda: play.step(by),
        Qt.Key.Key_PageUp: lambda: player.step_key_frame(-1),
        Qt.Key.Key_PageDown: lambda: player.step_key_frame(1),
        Qt.Key.Key_Home: lambda: play.go_to(0),
        Qt.Key.Key_End: player.go_to_end,
        Qt.Key.Key_Space: play.toggle_playing,
        Qt.Key.Key_1: lambda: play.set_speed(1.0),
        Qt.Key.Key_2: lambda: play.set_speed(1 / 2),
        Qt.Key.Key_4: lambda: play.set_speed(1 / 4),
        Qt.Key.Key_8: lambda: play.set_speed(1 / 8),
        Qt.Key.Key_L: player.toggle_loop,
        Qt.Key.Key_K: player.lock_next,
        Qt.Key.Key_T: player.toggle_stretch,
        Qt.Key.Key_O: player.toggle_through,
        Qt.Key.Key_Comma: lambda: player.strengthen(-1),
        Qt.Key.Key_Period: lambda: player.strengthen(1),
        Qt.Key.Key_B: player.toggle_lines,
        Qt.Key.Key_Plus: lambda: player.zoom(1.25),
        Qt.Key.Key_Equal: lambda: player.zoom(1.25),
        Qt.Key.Key_Minus: lambda: player.zoom(0.8),
        Qt.Key.Key_0: lambda: player.zoom(None),
    }
