"""Pages of the window by name: which one is up, and the way to each."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:  # it asks this file for its pages
    from review.app.window import Window


def name_page_on(window: Window) -> str:
    """The name of the page that is up, '' on the first ones; ``lead_to`` leads there again."""
    on = window.pages.currentWidget()
    own = {"chart": window.chart, "swing": window.swing_page, "pair": window.two_swings.page}
    return next((name for name, page in own.items() if page is not None and page is on), window.others.name_on)


def lead_to(window: Window, name: str, pair: tuple[str, str] = ("", ""), row: int = 0) -> None:
    """Lead to a page by its name: with the swing that is chosen, with two swings, on a row of the settings."""
    if name == "swing":
        window.state.open_swing()
    elif name == "pair":
        window.two_swings.show_page(*pair)
    elif name == "settings":
        window.others.show_settings(row)
    elif name not in ("", "chart", "pupil"):
        window.others.ask(name)
