"""Keys of a presenter's remote, and their like on a keyboard."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from PyQt5.QtCore import Qt

if TYPE_CHECKING:
    from review.app.pupil_view.view import PupilView


def remote_actions(view: PupilView) -> dict[int, Callable[[], None]]:
    """What each key does; no other may do anything in front of the pupil."""
    keys = Qt.Key
    return {
        **dict.fromkeys((keys.Key_PageDown, keys.Key_Right), view.next),
        **dict.fromkeys((keys.Key_PageUp, keys.Key_Left), view.previous),
        **dict.fromkeys((keys.Key_B, keys.Key_Period, keys.Key_Space), view.play_or_hold),
        **dict.fromkeys((keys.Key_F5, keys.Key_Escape), view.leave),
    }
