"""What pictures are drawn on, and the colours and marks of everything drawn, from the palette."""

from collections.abc import Callable
from dataclasses import dataclass

from review.palette import (
    GROUND,
    INK,
    PAPER,
    PAPER_INK,
    QUIET_INK,
    QUIET_PAPER_INK,
    BatchLook,
    Rgb,
    hex_of,
    look_of,
    repeats_earlier,
    rgb,
)

__all__ = [
    "GROUND",
    "INK",
    "PAPER",
    "PAPER_INK",
    "PHONE",
    "QUIET_INK",
    "QUIET_PAPER_INK",
    "SCREEN",
    "BatchLook",
    "Canvas",
    "Rgb",
    "hex_of",
    "look_of",
    "repeats_earlier",
    "rgb",
]


@dataclass(frozen=True)
class Canvas:
    """What a picture is drawn on: sizes in CSS pixels (1/96 inch).

    ``letter_px`` is the size of plain lettering; every distance in a picture follows it. Without
    ``height_px`` the picture is as high as it needs. ``say`` turns the English of a picture into the coach's language.
    ``is_clear`` leaves the ground out, for a page that has its own.
    """

    width_px: float
    letter_px: float
    height_px: float | None = None
    is_dark: bool = False
    say: Callable[[str], str] = str
    is_clear: bool = False

    def __post_init__(self) -> None:
        if self.width_px < 22 * self.letter_px or self.letter_px < 6:
            raise ValueError(f"expected letters of 6 px or more and room for 22 of them, got {self}")
        if self.height_px is not None and self.height_px < 20 * self.letter_px:
            raise ValueError(f"a picture must be at least 20 letters high, got {self}")

    @classmethod
    def on_page(
        cls, place_px: tuple[float, float | None], letter_px: float, is_dark: bool, say: Callable[[str], str]
    ) -> "Canvas":
        """A place on a page of the window, which shows through; without a height as high as the picture needs."""
        return cls(place_px[0], letter_px, place_px[1], is_dark, say, is_clear=True)

    @property
    def ground(self) -> str:
        """Colour behind everything."""
        return hex_of(GROUND if self.is_dark else PAPER)

    @property
    def ink(self) -> str:
        """Colour of lettering that matters most."""
        return hex_of(INK if self.is_dark else PAPER_INK)

    @property
    def quiet_ink(self) -> str:
        """Colour of scales and remarks."""
        return hex_of(QUIET_INK if self.is_dark else QUIET_PAPER_INK)

    @property
    def shade(self) -> str:
        """Colour of every other batch's band."""
        return "#20252C" if self.is_dark else "#F2F3F1"

    @property
    def line(self) -> str:
        """Colour of faint lines."""
        return "#3C434D" if self.is_dark else "#D5D8DB"

    def colour_of(self, batch_number: int) -> str:
        """Colour of a batch on this ground."""
        look = look_of(batch_number)
        return look.on_dark if self.is_dark else look.on_light


PHONE = Canvas(390, 13.0)
"""A page on a phone held upright."""

SCREEN = Canvas(1280, 28.0, 720, is_dark=True)
"""A screen seen from two metres: over the whole of 27 inches a capital letter is 9 mm high, 16 minutes of arc."""
