"""How large things are in the pupil view, and how they are written."""

from review.app.look import Look, Theme, make_style

_NUMBER_PX, _PLAIN_PX = 46, 40
"""On a screen 768 high: capitals 33 and 29 pixels high (of this font 0.73 of its size), read at two metres."""


def fit_look(theme: Theme, width_px: int, height_px: int) -> Look:
    """Colours, and sizes for somebody at two metres from a screen of that size."""
    scale = max(0.6, min(width_px / 1366, height_px / 768))
    number, plain = round(_NUMBER_PX * scale), round(_PLAIN_PX * scale)
    return Look(theme, number, plain, plain)


def make_large_style(look: Look) -> str:
    """The style sheet, in which words of any weight are as large as the others."""
    plain = f"font-size: {look.plain_px}px;"
    return make_style(look) + f"QLabel#strong {{ {plain} font-weight: bold; }} QLabel#open {{ {plain} }}"
