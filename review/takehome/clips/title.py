"""The card before the clips: whose lesson, which day, what it was about, what is seen."""

from dataclasses import dataclass

import numpy as np
from PIL import Image, ImageDraw

from review.charts.looks import GROUND, INK, QUIET_INK
from review.media import Planes, to_planes
from review.takehome.clip_sides import Shown
from review.takehome.looks import draw_text, fit, mark

CARD_S = 1.2
_MARGIN, _LEADING = 90, 1.3
_SMALL_PX, _TEXT_PX, _LARGE_PX = 40, 50, 72


@dataclass(frozen=True)
class TitleCard:
    """Finished words; empty ones are left away. ``name`` is empty for a minor."""

    name: str = ""
    day: str = ""
    worked_on: str = ""


def draw_card(card: TitleCard, shown: Shown, size: tuple[int, int]) -> Planes:
    """Draw the card in a size (width, height) of pixels."""
    width, height = size
    image = Image.new("RGB", size, GROUND)
    canvas = ImageDraw.Draw(image)
    room = width - 2 * _MARGIN
    lines = [
        (card.day, _SMALL_PX, 1, False),
        (f"{card.name}: your lesson" if card.name else "Your lesson", _LARGE_PX, 2, True),
        (f"What we worked on: {card.worked_on}" if card.worked_on else "", _TEXT_PX, 4, False),
    ]
    broken = [(t, s, bold) for words, s, n, bold in lines for t in fit(words, room, s, bold, n)]
    tall = sum(round(s * _LEADING) for _, s, _ in broken) + (len(shown.sides) + 1) * round(_TEXT_PX * 1.6) + 60
    y = max(40, (height - tall) // 2)
    for text, size_px, is_bold in broken:
        draw_text(canvas, (_MARGIN, y), text, size_px, INK if is_bold else QUIET_INK, is_bold)
        y += round(size_px * _LEADING)
    y += 60
    heads = ("First: ", "Last: ") if len(shown.sides) == 2 else ("",)
    for head, side in zip(heads, shown.sides, strict=True):
        seen = mark(side.batch_number, _TEXT_PX)
        image.paste(seen, (_MARGIN, y + 6), seen)
        for text in fit(head + side.label, room - 80, _TEXT_PX, True):
            draw_text(canvas, (_MARGIN + 74, y), text, _TEXT_PX, INK, True)
        y += round(_TEXT_PX * 1.6)
    for text in fit(shown.view, room, _SMALL_PX):
        draw_text(canvas, (_MARGIN, y), text, _SMALL_PX, QUIET_INK)
    return to_planes(np.array(image))
