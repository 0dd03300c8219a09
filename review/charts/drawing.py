"""Lines, marks and words on a canvas, in CSS pixels from the upper left corner; matplotlib makes SVG or PNG of it."""

import io
import logging
import math
import os
import warnings
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np

from review.charts.looks import Canvas, look_of
from review.errors import BadInputError, MachineError
from review.lettering import clean

_PX_PER_INCH, _PT_PER_PX = 96, 0.75
_FONTS = ["DejaVu Sans", "sans-serif"]
_PNG_SCALE = 2.0
"""Picture pixels per CSS pixel, so that a phone shows sharp letters."""


class Drawing:
    """A picture being drawn: x to the right, y down, in CSS pixels."""

    def __init__(self, canvas: Canvas, height_px: float, title: str, description: str) -> None:
        self.canvas, self.height_px = canvas, height_px
        self._metadata = {"Title": clean(title), "Description": clean(description)}
        with _settings():
            from matplotlib.figure import Figure

            size = (canvas.width_px / _PX_PER_INCH, height_px / _PX_PER_INCH)
            self._figure = Figure(figsize=size, dpi=_PX_PER_INCH)
            self._axes = self._figure.add_axes((0.0, 0.0, 1.0, 1.0))
            self._axes.set_axis_off()
            self._axes.set_xlim(0.0, canvas.width_px)
            self._axes.set_ylim(height_px, 0.0)

    def line(
        self,
        xs: Sequence[float],
        ys: Sequence[float],
        colour: str,
        width_px: float = 1.0,
        dash: bool | tuple[float, float] = False,
        **more: Any,
    ) -> None:
        """Draw a line, broken where ``dash`` (or its stroke and gap, in widths of the line).

        ``more`` may give ``gid`` (its id in the SVG), ``alpha`` and ``zorder``.
        """
        style = (0, (4.0, 3.0) if dash is True else dash) if dash else "solid"
        self._axes.plot(xs, ys, color=colour, lw=width_px * _PT_PER_PX, ls=style, **_default(more, 2.0))

    def area(self, xs: Sequence[float], ys: Sequence[float], fill: str, edge: str = "none", **more: Any) -> None:
        """Fill a closed outline."""
        self._axes.fill(xs, ys, facecolor=fill, edgecolor=edge, lw=_PT_PER_PX, **_default(more, 1.0))

    def union(self, outlines: Sequence[tuple[Sequence[float], Sequence[float]]], fill: str, **more: Any) -> None:
        """Fill what any of the closed outlines covers, once; all must run the same way round."""
        from matplotlib.patches import PathPatch
        from matplotlib.path import Path as Outline

        whole = Outline.make_compound_path(*(Outline([*zip(*xy, strict=True), (0, 0)], closed=True) for xy in outlines))
        self._axes.add_patch(PathPatch(whole, facecolor=fill, edgecolor="none", **_default(more, 1.0)))

    def box(self, left: float, top: float, right: float, bottom: float, fill: str, **more: Any) -> None:
        """Fill a rectangle."""
        self.area((left, right, right, left), (top, top, bottom, bottom), fill, **more)

    def marks(
        self,
        batch_number: int,
        xs: Sequence[float],
        ys: Sequence[float],
        radius_px: float,
        is_hollow: bool = False,
        **more: Any,
    ) -> None:
        """Draw a batch's marks; hollow ones did not count."""
        corners = np.asarray(look_of(batch_number).corners) * (1.0, -1.0)
        colour = self.canvas.colour_of(batch_number)
        # matplotlib scales every outline to the same extent
        size_pt = 2 * radius_px * float(np.abs(corners).max()) * _PT_PER_PX
        self._axes.plot(
            xs,
            ys,
            ls="none",
            marker=np.vstack([corners, corners[:1]]),
            markersize=size_pt,
            markerfacecolor="none" if is_hollow else colour,
            markeredgecolor=colour if is_hollow else self.canvas.ground,
            markeredgewidth=(0.16 if is_hollow else 0.1) * radius_px,
            **_default(more, 4.0),
        )

    def words(
        self,
        x: float,
        baseline: float,
        text: str,
        size_px: float,
        colour: str = "",
        align: str = "left",
        is_bold: bool = False,
    ) -> None:
        """Write one line; ``align`` is left, center or right of ``x``."""
        self._axes.text(
            x,
            baseline,
            clean(text),
            color=colour or self.canvas.ink,
            fontsize=size_px * _PT_PER_PX,
            fontfamily=_FONTS,
            fontweight="bold" if is_bold else "normal",
            ha=align,
            va="baseline",
            parse_math=False,
            zorder=6.0,
        )

    def to_svg(self) -> bytes:
        """Return the picture as SVG: words stay words, the same bytes every time."""
        return self._save("svg", _PX_PER_INCH)

    def to_png(self, scale: float = _PNG_SCALE) -> bytes:
        """Return the picture as PNG, ``scale`` picture pixels to a CSS pixel."""
        return self._save("png", _PX_PER_INCH * scale)

    def _save(self, kind: str, dpi: float) -> bytes:
        metadata: dict[str, str | None] = dict(self._metadata)
        metadata |= {"Date": None, "Creator": None} if kind == "svg" else {"Software": None}
        ground = "none" if self.canvas.is_clear else self.canvas.ground
        written = io.BytesIO()
        with _settings(), warnings.catch_warnings():
            warnings.filterwarnings("ignore", message="Glyph .* missing")  # a box is drawn in its place
            self._figure.savefig(written, format=kind, dpi=dpi, metadata=metadata, facecolor=ground)
        return written.getvalue()


def write_drawing(drawing: Drawing, to: str | os.PathLike[str]) -> Path:
    """Write a picture as SVG or PNG, by the ending of the name; an earlier file is replaced in one step.

    Raises
    ------
    BadInputError
        The name ends otherwise.
    MachineError
        The folder is missing or may not be written to, or the disk is full; an earlier file stays as it was.
    """
    path = Path(to).expanduser()
    kind = path.suffix.lower()
    if kind not in (".svg", ".png"):
        raise BadInputError(f"{path.name}: a picture is written as .svg or .png; end the name with one of these")
    data = drawing.to_svg() if kind == ".svg" else drawing.to_png()
    beside = path.with_name(f".{path.name}.{os.getpid()}.part")
    try:
        try:
            beside.write_bytes(data)
            os.replace(beside, path)
        finally:
            beside.unlink(missing_ok=True)
    except OSError as error:
        raise MachineError(f"{path.name}: the picture could not be written ({error.strerror})") from error
    return path


@cache
def measure_px(text: str, size_px: float, is_bold: bool = False) -> float:
    """Width of a text in CSS pixels."""
    with _settings():
        from matplotlib.font_manager import FontProperties
        from matplotlib.textpath import text_to_path

        font = FontProperties(family=_FONTS, weight="bold" if is_bold else "normal", size=size_px)
        with warnings.catch_warnings():
            warnings.filterwarnings("ignore", message="Glyph .* missing")
            return float(text_to_path.get_text_width_height_descent(text, font, ismath=False)[0])


def _default(more: dict[str, Any], zorder: float) -> dict[str, Any]:
    return {"zorder": zorder, "clip_on": False} | more


@contextmanager
def _settings() -> Iterator[None]:
    """Settings of our own, whatever the computer's user has set for matplotlib; loads it."""
    logging.getLogger("matplotlib").setLevel(logging.ERROR)
    import matplotlib

    with matplotlib.rc_context():
        matplotlib.rcdefaults()
        matplotlib.rcParams.update(
            {"svg.hashsalt": "lesson-review", "svg.fonttype": "none", "path.simplify": False, "agg.path.chunksize": 0}
        )
        yield


def rounded_outline(
    left: float, top: float, right: float, bottom: float, radius: float
) -> tuple[list[float], list[float]]:
    """Corners of a rectangle with round corners."""
    xs, ys = [], []
    for x, y, start in (
        (right - radius, top + radius, -90),
        (right - radius, bottom - radius, 0),
        (left + radius, bottom - radius, 90),
        (left + radius, top + radius, 180),
    ):
        for step in range(9):
            angle = math.radians(start + 90 * step / 8)
            xs.append(x + radius * math.cos(angle))
            ys.append(y + radius * math.sin(angle))
    return xs, ys
