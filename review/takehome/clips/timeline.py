"""The small timeline under a pair: one line per clip, a tick and a name per key frame, impact above impact."""

from dataclasses import dataclass, replace

from PIL import Image, ImageDraw

from review.charts.looks import GROUND, INK, QUIET_INK, look_of, rgb
from review.media import Planes
from review.takehome.clip_sides import ClipSide, Shown
from review.takehome.clips.dressing import Box
from review.takehome.clips.patches import Patch, make_patch, paste
from review.takehome.looks import draw_text, fit, font, mark

_NAME_PX = 32
_BETWEEN_NAMES = 14
_MARK_PX = 26
_PLAYHEAD_PX = 6
_ROW_PX = 110
"""A line with its names."""


@dataclass(frozen=True, eq=False)
class Lit:
    """A name that lights up: true seconds from impact, and the patch for its place."""

    at_s: float
    x: int
    y: int
    patch: Patch


@dataclass(frozen=True, eq=False)
class Timeline:
    """Geometry of a drawn timeline; ``x0``..``x1`` stand for ``start_s``..``stop_s``."""

    x0: int
    x1: int
    y: int
    height_px: int
    start_s: float
    stop_s: float
    lit: tuple[Lit, ...]

    def x_of(self, at_s: float) -> int:
        """Column of an instant, held inside the line."""
        part = (at_s - self.start_s) / max(self.stop_s - self.start_s, 1e-9)
        return round(self.x0 + min(max(part, 0.0), 1.0) * (self.x1 - self.x0))

    def light(self, ground: Planes, after_s: float, until_s: float) -> None:
        """Light the names reached after one instant and by another on a picture of the whole stage, in place."""
        for name in self.lit:
            if after_s < name.at_s <= until_s:
                paste(ground, name.patch, name.x, name.y)

    def draw_playhead(self, picture: Planes, at_s: float) -> None:
        """Draw where the clips are now, in place."""
        x = self.x_of(at_s) // 2 * 2
        top, high = self.y + _ROW_PX - 60, self.height_px - 2 * (_ROW_PX - 60) if self.height_px > _ROW_PX else 60
        spot = picture.cut(x - _PLAYHEAD_PX // 2 // 2 * 2, top // 2 * 2, _PLAYHEAD_PX, high // 2 * 2)
        for part, level in zip(spot.parts, (235, 128, 128), strict=True):
            part[:] = level


def timeline_height_px(n_sides: int) -> int:
    """Height of a timeline with so many lines."""
    return n_sides * _ROW_PX


def lay_timeline(image: Image.Image, shown: Shown, box: Box, start_s: float, stop_s: float) -> Timeline:
    """Draw the timeline of clips on ``image`` and return its geometry."""
    bare = Timeline(box.x + _MARK_PX, box.x + box.width - _MARK_PX, box.y, box.height, start_s, stop_s, ())
    canvas = ImageDraw.Draw(image)
    lit: list[Lit] = []
    rows = [(shown.sides[0], box.y + _ROW_PX - 24, box.y, -1)]
    if len(shown.sides) > 1:
        rows.append((shown.sides[-1], box.y + _ROW_PX + 24, box.y + box.height - 40, 1))
    for side, line_y, name_y, away in rows:
        colour = rgb(look_of(side.batch_number).on_dark)
        canvas.line((bare.x0, line_y, bare.x1, line_y), fill=colour, width=4)
        named = _within(side, start_s, stop_s)
        middles = [float(bare.x_of(at_s)) for _, at_s in named]
        widths = [font(_NAME_PX, True).getlength(name) + _BETWEEN_NAMES for name, _ in named]
        lefts = _fan_out(middles, widths, box.x, box.x + box.width)
        for (name, at_s), middle, left, width in zip(named, middles, lefts, widths, strict=True):
            tip = line_y + away * 14
            end = (left + width / 2 - _BETWEEN_NAMES / 2, name_y + (40 if away < 0 else 0))
            canvas.line((middle, tip, *end), fill=QUIET_INK, width=2)
            canvas.line((middle, line_y - 12, middle, line_y + 12), fill=colour, width=4)
            draw_text(canvas, (left, name_y), name, _NAME_PX, QUIET_INK)
            lit.append(Lit(at_s, round(left) // 2 * 2, name_y // 2 * 2, _bright(name, width, left)))
        image.paste(
            mark(side.batch_number, _MARK_PX), (box.x, line_y - _MARK_PX // 2), mark(side.batch_number, _MARK_PX)
        )
    return replace(bare, lit=tuple(lit))


def _within(side: ClipSide, start_s: float, stop_s: float) -> list[tuple[str, float]]:
    found = []
    for key_frame in side.key_frames:
        at_s = (key_frame.time_s - side.impact_s) * side.time_scale
        if start_s <= at_s <= stop_s:
            found += [(text, at_s) for text in fit(key_frame.name, 230, _NAME_PX, is_bold=True)]
    return sorted(found, key=lambda item: item[1])[:9]


def _bright(name: str, width: float, left: float) -> Patch:
    """Draw a name that has been reached: bold and light."""
    image = Image.new("RGBA", (round(width - _BETWEEN_NAMES) + 4, 40), (*GROUND, 255))
    draw_text(ImageDraw.Draw(image), (left - round(left) // 2 * 2, 0), name, _NAME_PX, INK, is_bold=True)
    return make_patch(image)


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
