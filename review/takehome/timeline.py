"""The small timeline under a pair: one line per clip, a tick and a name per key frame, impact above impact."""

from dataclasses import dataclass
from typing import TYPE_CHECKING, ClassVar

import numpy as np
from PIL import Image, ImageDraw

from review.charts.looks import GROUND, INK, QUIET_INK, look_of, rgb
from review.takehome.contents import ClipSide, Pair
from review.takehome.looks import Picture, draw_text, fit, font, mark

if TYPE_CHECKING:
    from review.takehome.stage import Box

_NAME_PX = 24
_BETWEEN_NAMES = 14
_MARK_PX = 22
_PLAYHEAD_PX = 4


@dataclass(frozen=True, eq=False)
class Lit:
    """A name that lights up: true seconds from impact, and the patch (h, w, 3) for its place."""

    at_s: float
    x: int
    y: int
    patch: Picture


@dataclass(frozen=True, eq=False)
class Timeline:
    """Geometry of a drawn timeline; ``x0``..``x1`` stand for ``start_s``..``stop_s``."""

    HEIGHT_PX: ClassVar[int] = 152
    x0: int
    x1: int
    y: int
    start_s: float
    stop_s: float
    lit: tuple[Lit, ...]

    def x_of(self, at_s: float) -> int:
        """Column of an instant, held inside the line."""
        part = (at_s - self.start_s) / max(self.stop_s - self.start_s, 1e-9)
        return round(self.x0 + min(max(part, 0.0), 1.0) * (self.x1 - self.x0))

    def light(self, strip: Picture, until_s: float) -> None:
        """Light the names reached by ``until_s`` on a picture of the whole stage, in place."""
        for name in self.lit:
            if name.at_s <= until_s:
                h, w = name.patch.shape[:2]
                strip[name.y : name.y + h, name.x : name.x + w] = name.patch

    def draw_playhead(self, picture: Picture, at_s: float) -> None:
        """Draw where the pair is now, in place."""
        x = self.x_of(at_s)
        picture[self.y + 34 : self.y + self.HEIGHT_PX - 34, x - _PLAYHEAD_PX // 2 : x + _PLAYHEAD_PX // 2] = INK


def lay_timeline(image: Image.Image, pair: Pair, box: "Box", start_s: float, stop_s: float) -> Timeline:
    """Draw the timeline of a pair on ``image`` and return its geometry."""
    timeline = Timeline(box.x + _MARK_PX, box.x + box.width - _MARK_PX, box.y, start_s, stop_s, ())
    canvas = ImageDraw.Draw(image)
    lit: list[Lit] = []
    rows = ((pair.first, box.y + 58, box.y, -1), (pair.last, box.y + box.height - 58, box.y + box.height - 30, 1))
    for side, line_y, name_y, away in rows:
        colour = rgb(look_of(side.batch_number).on_dark)
        canvas.line((timeline.x0, line_y, timeline.x1, line_y), fill=colour, width=4)
        shown = _within(side, start_s, stop_s)
        middles = [float(timeline.x_of(at_s)) for _, at_s in shown]
        widths = [font(_NAME_PX, True).getlength(name) + _BETWEEN_NAMES for name, _ in shown]
        lefts = _fan_out(middles, widths, box.x, box.x + box.width)
        for (name, at_s), middle, left, width in zip(shown, middles, lefts, widths, strict=True):
            tip = line_y + away * 14
            end = (left + width / 2 - _BETWEEN_NAMES / 2, name_y + (30 if away < 0 else 0))
            canvas.line((middle, tip, *end), fill=QUIET_INK, width=2)
            canvas.line((middle, line_y - 12, middle, line_y + 12), fill=colour, width=4)
            draw_text(canvas, (left, name_y), name, _NAME_PX, QUIET_INK)
            lit.append(Lit(at_s, round(left), name_y, _bright(name, width, name_y, left)))
        image.paste(
            mark(side.batch_number, _MARK_PX), (box.x, line_y - _MARK_PX // 2), mark(side.batch_number, _MARK_PX)
        )
    return Timeline(timeline.x0, timeline.x1, box.y, start_s, stop_s, tuple(lit))


def _within(side: ClipSide, start_s: float, stop_s: float) -> list[tuple[str, float]]:
    found = []
    for key_frame in side.key_frames:
        at_s = (key_frame.time_s - side.impact_s) * side.time_scale
        if start_s <= at_s <= stop_s:
            found += [(text, at_s) for text in fit(key_frame.name, 180, _NAME_PX, is_bold=True)]
    return sorted(found, key=lambda item: item[1])[:9]


def _bright(name: str, width: float, y: int, left: float) -> Picture:
    """Draw a name that has been reached: bold and light."""
    image = Image.new("RGB", (round(width - _BETWEEN_NAMES) + 2, 30), GROUND)
    draw_text(ImageDraw.Draw(image), (left - round(left), 0), name, _NAME_PX, INK, is_bold=True)
    return np.array(image)


def _fan_out(middles: list[float], widths: list[float], low: float, high: float) -> list[float]:
    """Left edges of names near their ticks that neither overlap nor stick out, in order."""
    lefts = [m - w / 2 for m, w in zip(middles, widths, strict=True)]
    for _ in range(60):
        for i in range(len(lefts) - 1):
            overlap = lefts[i] + widths[i] - lefts[i + 1]
            if overlap > 0:
                lefts[i] -= overlap / 2
                lefts[i + 1] += overlap / 2
        for i in range(len(lefts)):
            lefts[i] = min(max(lefts[i], low), max(low, high - widths[i]))
    return lefts
