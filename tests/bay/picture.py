"""A small picture of lines over a few levels, drawn with Pillow alone."""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from PIL import Image, ImageDraw, ImageFont

# Okabe & Ito (2008), colour-blind safe; dashes say the rest.
_COLOURS = ("#0072B2", "#D55E00", "#009E73", "#CC79A7")
_WIDTH, _HEIGHT, _LEFT, _RIGHT, _TOP, _BOTTOM = 880, 420, 80, 250, 30, 70


@dataclass(frozen=True)
class Line:
    """``values`` in percent, one a level."""

    name: str
    values: Sequence[float]
    is_dashed: bool


def draw_lines(path: Path, levels: Sequence[float], lines: Sequence[Line], across: str, up: str) -> None:
    """Draw 0-100 % upward over evenly spaced levels, names at the right."""
    image = Image.new("RGB", (_WIDTH, _HEIGHT), "white")
    pen, font = ImageDraw.Draw(image), ImageFont.load_default(15)
    step = (_WIDTH - _LEFT - _RIGHT) / (len(levels) - 1)
    high = _HEIGHT - _TOP - _BOTTOM
    for percent in range(0, 101, 20):
        y = _TOP + high * (1 - percent / 100)
        pen.line([(_LEFT, y), (_WIDTH - _RIGHT, y)], fill="#DDDDDD")
        pen.text((_LEFT - 10, y), str(percent), fill="black", font=font, anchor="rm")
    for i, level in enumerate(levels):
        pen.text((_LEFT + i * step, _HEIGHT - _BOTTOM + 12), f"{level:+g}", fill="black", font=font, anchor="ma")
    pen.text((_LEFT + step * (len(levels) - 1) / 2, _HEIGHT - 30), across, fill="black", font=font, anchor="ma")
    pen.text((_LEFT, 6), up, fill="black", font=font, anchor="la")
    names = list(dict.fromkeys(line.name.split(",")[0] for line in lines))
    for row, line in enumerate(lines):
        colour = _COLOURS[names.index(line.name.split(",")[0]) % len(_COLOURS)]
        points = [(_LEFT + i * step, _TOP + high * (1 - v / 100)) for i, v in enumerate(line.values)]
        for a, b in zip(points, points[1:], strict=False):
            _stroke(pen, a, b, colour, line.is_dashed)
        for x, y in points:
            pen.ellipse((x - 3, y - 3, x + 3, y + 3), fill=colour)
        y = _TOP + 20 + 24 * row
        begin = _WIDTH - _RIGHT + 20
        _stroke(pen, (begin, y), (begin + 40, y), colour, line.is_dashed)
        pen.text((begin + 50, y), line.name, fill="black", font=font, anchor="lm")
    path.parent.mkdir(parents=True, exist_ok=True)
    image.save(path, optimize=True)


def _stroke(
    pen: ImageDraw.ImageDraw, a: tuple[float, float], b: tuple[float, float], colour: str, is_dashed: bool
) -> None:
    n = 12 if is_dashed else 1
    for i in range(n):
        p, q = i / n, (i + (0.55 if is_dashed else 1.0)) / n
        ends = [(a[0] + f * (b[0] - a[0]), a[1] + f * (b[1] - a[1])) for f in (p, q)]
        pen.line(ends, fill=colour, width=3)
