"""Pictures of two swings: side by side for the coach, and every step of the pupil view."""

from collections.abc import Callable, Sequence
from pathlib import Path

from PyQt5.QtWidgets import QWidget

from review.app.look import DARK, LIGHT
from review.app.window import Window
from review.lesson import KeyFrameName

Draw = Callable[[str], None]
Wait = Callable[[Callable[[], object]], None]
WaitUntil = Callable[[Callable[[], bool]], None]
Save = Callable[[QWidget, Path], Path]


def draw_pair(window: Window, draw: Draw, wait: Wait, wait_until: WaitUntil) -> None:
    """Draw the two swings as they come, and, where their feet are known, one seen through the other."""
    wait(window.two_swings.show_page)
    page = window.two_swings.page
    if page is None or page.player is None:
        return
    wait_until(lambda: page.is_ready)
    draw("side_by_side")
    page.player.toggle_through()
    if not page.player.through.isHidden():
        draw("seen_through")
    page.close_pair()
    page.left.emit()


def draw_pupil_view(
    window: Window, to: Path, sizes_px: Sequence[tuple[int, int]], save: Save, wait: Wait, wait_until: WaitUntil
) -> list[Path]:
    """Draw the steps of the pupil view that look different; return the pictures."""
    wait(window.two_swings.show_view)
    view, drawn = window.two_swings.view, []
    assert view is not None
    for step in view.content.steps:
        name = f"pupil_view_{step.shows.value}"
        # the clips look alike at every key frame: impact stands for all
        for theme in () if step.at not in ("", KeyFrameName.IMPACT) else (DARK, LIGHT):
            view.set_theme(theme)
            for width, height in sizes_px:
                view.resize(width, height)
                wait_until(lambda: view.is_ready)
                drawn.append(save(view, to / f"{name}_{theme.name}_{width}.png"))
        view.next()
    view.leave()
    return drawn
