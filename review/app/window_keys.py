"""What the keys do that hold on every page, and those of the lesson chart that lead to other pages."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from PyQt5.QtCore import Qt

if TYPE_CHECKING:  # it asks this file for its keys
    from review.app.window import Window

Actions = dict[int, Callable[[], object]]
_Key = Qt.Key


def find_action(window: Window, key: int, with_control: bool) -> Callable[[], object] | None:
    """What a key does in the window as it is now, None where it does nothing of its own."""
    action = _with_control(window).get(key) if with_control else None
    action = action or _everywhere(window).get(key)
    if action is None and window.pages.currentWidget() is window.chart:
        action = _on_chart(window).get(key)
    if action is None and window.live.is_on and not window.others.name_on:
        action = _on_lesson(window).get(key)
    return action


def _with_control(window: Window) -> Actions:
    return {_Key.Key_Q: window.close, _Key.Key_Z: window.state.undo, _Key.Key_Y: window.state.redo}


def _everywhere(window: Window) -> Actions:
    others = window.others
    return {
        _Key.Key_F1: window.toggle_keys,
        _Key.Key_Question: window.toggle_keys,
        _Key.Key_F2: lambda: window.choose_look(window.choice.with_next_theme()),
        _Key.Key_F3: lambda: window.choose_look(window.choice.with_next_size()),
        _Key.Key_F4: lambda: window.choose_look(window.choice.with_next_language()),
        _Key.Key_F5: window.show_view,
        _Key.Key_F6: lambda: others.ask("tables"),
        _Key.Key_F7: lambda: others.ask("questions"),
        _Key.Key_F8: window.status.toggle,
        _Key.Key_F9: lambda: others.ask("cautions"),
        _Key.Key_F10: lambda: window.live.ask(others.pupil_on),
        _Key.Key_F11: window.bar.toggle_whole,
        _Key.Key_F12: lambda: others.ask("settings"),
    }


def _on_chart(window: Window) -> Actions:
    others = window.others
    return {
        _Key.Key_F: lambda: others.ask("balls"),
        _Key.Key_G: lambda: others.ask("ground"),
        _Key.Key_S: window.two_swings.show_page,
        _Key.Key_T: lambda: others.ask("handing_out"),
        _Key.Key_R: lambda: others.ask("reading_errors"),
        _Key.Key_M: others.measure,
        **_on_lesson(window),
    }


def _on_lesson(window: Window) -> Actions:
    """On the lesson chart, and while a lesson goes on."""
    return {
        _Key.Key_V: lambda: window.others.ask("cameras"),
        _Key.Key_H: lambda: window.others.ask("player"),
    }
