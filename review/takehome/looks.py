"""Marks and lettering drawn onto clips and stills; colours and shapes are those of ``review/charts/looks.py``."""

from collections.abc import Sequence
from functools import cache
from importlib import resources

import numpy as np
from fpdf.bidi import BidiParagraph
from numpy.typing import NDArray
from PIL import Image, ImageDraw, ImageFont, features

from review.charts.looks import GROUND, INK, Rgb, look_of, rgb
from review.takehome.text import drawable, wrap

Picture = NDArray[np.uint8]

_FINER = 4
"""Marks are drawn this much larger and reduced, which smooths their edges."""


@cache
def font(size_px: int, is_bold: bool = False) -> ImageFont.FreeTypeFont:
    """Return the lettering that comes with the package."""
    name = "DejaVuSans-Bold.ttf" if is_bold else "DejaVuSans.ttf"
    with resources.as_file(resources.files("review.takehome") / "fonts" / name) as path:
        return ImageFont.truetype(str(path), size_px)


def visual(text: str) -> str:
    """Return the text in the order in which it is drawn from left to right."""
    return BidiParagraph(text).get_reordered_string() if not text.isascii() else text


def fit(text: str, width_px: float, size_px: int, is_bold: bool = False, n_lines: int = 1) -> tuple[str, ...]:
    """Break and shorten a text to its place on a picture."""
    return wrap(drawable(text), width_px, n_lines, font(size_px, is_bold).getlength)


def draw_text(
    canvas: ImageDraw.ImageDraw, xy: tuple[float, float], text: str, size_px: int, fill: Rgb, is_bold: bool = False
) -> None:
    """Draw one line, ``xy`` its upper left corner."""
    shown = text if features.check("raqm") else visual(text)
    canvas.text(xy, shown, fill=fill, font=font(size_px, is_bold))


def mark(batch_number: int, size_px: int) -> Image.Image:
    """Return the batch's mark (size_px, size_px) on nothing."""
    look, big = look_of(batch_number), size_px * _FINER
    image = Image.new("RGBA", (big, big), (*rgb(look.on_dark), 0))
    points = [(big / 2 + x * big * 0.4, big / 2 + y * big * 0.4) for x, y in look.corners]
    ImageDraw.Draw(image).polygon(points, fill=(*rgb(look.on_dark), 255))
    return image.resize((size_px, size_px), Image.Resampling.LANCZOS)


def chip(text: str, size_px: int, batch_number: int | None = None, below: Sequence[str] = ()) -> Image.Image:
    """Return a label on a dark ground, led by the batch's mark; with lines ``below`` it is only their heading."""
    lead = 0 if batch_number is None else round(1.15 * size_px)
    pad = round(0.4 * size_px)
    widths = [font(size_px, not below).getlength(text) + lead, *(font(size_px, True).getlength(t) for t in below)]
    width = round(max(widths)) + 2 * pad
    image = Image.new("RGBA", (width, round((1.7 + 1.3 * len(below)) * size_px)), (0, 0, 0, 0))
    canvas = ImageDraw.Draw(image)
    canvas.rounded_rectangle((0, 0, width - 1, image.height - 1), radius=pad, fill=(*GROUND, 225))
    if batch_number is not None:
        image.alpha_composite(mark(batch_number, size_px), (pad, round(0.35 * size_px)))
    draw_text(canvas, (pad + lead, 0.25 * size_px), text, size_px, INK, is_bold=not below)
    for n, line in enumerate(below, start=1):
        draw_text(canvas, (pad, (0.25 + 1.3 * n) * size_px), line, size_px, INK, is_bold=True)
    return image


def paste(picture: Picture, patch: Picture, x: int, y: int) -> None:
    """Lay an RGBA patch (h, w, 4) over an RGB picture, in place; what sticks out is cut."""
    place = picture[y : y + patch.shape[0], x : x + patch.shape[1]]
    part = patch[: place.shape[0], : place.shape[1]]
    alpha = part[..., 3:].astype(np.uint16)
    place[:] = ((place * (255 - alpha) + part[..., :3] * alpha + 127) // 255).astype(np.uint8)
