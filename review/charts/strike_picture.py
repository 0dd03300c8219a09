"""Where on the face the ball was struck, looking at the face: toe to the left for a right-hander."""

import math
from dataclasses import dataclass

import numpy as np

from review.charts.axis import Scale
from review.charts.drawing import Drawing, rounded_outline
from review.charts.looks import PHONE, Canvas, repeats_earlier
from review.charts.page import Page, is_wide, say_name
from review.errors import BadInputError
from review.lesson import Handedness
from review.lesson.swings import FloatArray
from review.lesson.words import say_value
from review.shots.flight.strike_pattern import ELLIPSE_SHARES, compute_strike_pattern

FACE_ACROSS_MM, FACE_UP_MM = 80.0, 50.0
"""A plain outline about as large as a face; common practice, no source."""


@dataclass(frozen=True, eq=False)
class StrikeBatch:
    """Where a batch's shots were struck.

    ``points_mm`` (n, 2): across, + toward the toe, and up, + high, from the middle of the face. ``number``
    gives colour and mark.
    """

    number: int
    points_mm: FloatArray
    name: str = ""

    def __post_init__(self) -> None:
        if self.points_mm.ndim != 2 or self.points_mm.shape[1] != 2 or not np.isfinite(self.points_mm).all():
            raise ValueError(f"strikes need finite numbers of shape (n, 2), got {self.points_mm.shape}")


@dataclass(frozen=True, eq=False)
class StrikePicture:
    """Strikes of one batch or of several on the face of one player's club."""

    batches: tuple[StrikeBatch, ...]
    handedness: Handedness
    title: str = "Strike on the face"
    under: str = ""


def draw_strike_picture(picture: StrikePicture, canvas: Canvas = PHONE) -> Drawing:
    """Draw strikes on a plain outline of the face, with the middle, each batch's mean and its spread.

    In the SVG the strikes of the k-th batch (from 1) are the group ``strikes-k``, its mean ``mean-k``, its
    ellipse ``spread-k`` (from three shots on); ``middle`` is the middle of the face.

    Raises
    ------
    BadInputError
        No shot has a strike.
    """
    shown = [batch for batch in picture.batches if len(batch.points_mm)]
    if not shown:
        raise BadInputError("no shot has a strike on the face; the table needs strike across and strike up")
    rings = [_spread_of(batch.points_mm) for batch in shown]
    every = np.concatenate([*(batch.points_mm for batch in shown), *(ring for ring in rings if ring is not None)])
    half_across, half_up = (
        10.0 * math.ceil((max(half, float(np.abs(every[:, axis]).max())) + 4.0) / 10.0)
        for axis, half in ((0, FACE_ACROSS_MM / 2), (1, FACE_UP_MM / 2))
    )
    em = canvas.letter_px
    wide_px = canvas.width_px - 1.8 * em - 3.4 * em
    letters = 7.0 + (wide_px * half_up / half_across) / em
    page = Page(
        canvas, picture.title, (picture.under,), _notes(picture, shown, rings), 12.0 if is_wide(canvas) else letters
    )
    top, bottom = page.top + 3.8 * em, page.bottom - 3.2 * em
    px_per_mm = min((page.right - page.left - 3.4 * em) / (2 * half_across), (bottom - top) / (2 * half_up))
    middle_x, middle_y = (page.left + page.right + 2.0 * em) / 2, (top + bottom) / 2
    to_toe = -1.0 if picture.handedness is Handedness.RIGHT else 1.0
    x = Scale(0.0, 1.0, middle_x, middle_x + to_toe * px_per_mm)
    y = Scale(0.0, 1.0, middle_y, middle_y - px_per_mm)
    _draw_face(page, x, y, half_across, half_up)
    page.draw_key([(batch.number, batch.name) for batch in shown], page.top + 1.3 * em)
    for k, (batch, ring) in enumerate(zip(shown, rings, strict=True), 1):
        colour = canvas.colour_of(batch.number)
        across, up = ([scale(float(v)) for v in batch.points_mm[:, axis]] for scale, axis in ((x, 0), (y, 1)))
        if ring is not None:
            xs, ys = [x(float(v)) for v in ring[:, 0]], [y(float(v)) for v in ring[:, 1]]
            page.drawing.area(xs, ys, colour, alpha=0.14)
            page.drawing.line(xs, ys, colour, 0.11 * em, dash=k > 1, gid=f"spread-{k}", zorder=2.5)
        is_hollow = repeats_earlier([b.number for b in shown], k - 1)
        page.drawing.marks(batch.number, across, up, 0.36 * em, is_hollow, gid=f"strikes-{k}")
        mean = batch.points_mm.mean(axis=0)
        if len(batch.points_mm) > 1:
            at = [x(float(mean[0]))], [y(float(mean[1]))]
            page.drawing.marks(batch.number, *at, 0.8 * em, is_hollow=True, gid=f"mean-{k}", zorder=5.0)
    return page.drawing


def _spread_of(points_mm: FloatArray) -> FloatArray | None:
    """Outline (61, 2) of the inner spread ellipse in mm, None with too few shots for one."""
    pattern = compute_strike_pattern(points_mm)
    if pattern is None or not pattern.ellipses:
        return None
    ellipse = pattern.ellipses[0]
    turns, tilt = np.linspace(0.0, 2 * np.pi, 61), math.radians(ellipse.angle_deg)
    axes = np.array([[math.cos(tilt), math.sin(tilt)], [-math.sin(tilt), math.cos(tilt)]])
    circle = np.column_stack([ellipse.half_long_mm * np.cos(turns), ellipse.half_short_mm * np.sin(turns)])
    ring: FloatArray = points_mm.mean(axis=0) + circle @ axes
    return ring


def _draw_face(page: Page, x: Scale, y: Scale, half_across: float, half_up: float) -> None:
    em, drawing, canvas = page.em, page.drawing, page.canvas
    sides = sorted((x(-FACE_ACROSS_MM / 2), x(FACE_ACROSS_MM / 2)))
    radius = 14.0 * abs(x(1.0) - x(0.0))
    outline = rounded_outline(sides[0], y(FACE_UP_MM / 2), sides[1], y(-FACE_UP_MM / 2), radius)
    drawing.area(*outline, canvas.shade, edge=canvas.quiet_ink, zorder=0.5)
    drawing.line((x(-half_across), x(half_across)), (y(0.0),) * 2, canvas.line, em / 13, zorder=1.0)
    drawing.line((x(0.0),) * 2, (y(-half_up), y(half_up)), canvas.line, em / 13, zorder=1.0)
    arm = 0.7 * em
    drawing.line((x(0.0) - arm, x(0.0) + arm), (y(0.0),) * 2, canvas.ink, em / 8, zorder=4.6)
    drawing.line((x(0.0),) * 2, (y(0.0) - arm, y(0.0) + arm), canvas.ink, em / 8, gid="middle", zorder=4.6)
    foot = y(-half_up) + 1.2 * em
    for mm in range(-int(half_across) // 20 * 20, int(half_across) + 1, 20):
        if abs(mm) <= half_across:
            page.quiet(x(mm), foot, str(abs(mm)), "center")
    for mm in range(-int(half_up) // 10 * 10, int(half_up) + 1, 10):
        if abs(mm) <= half_up:
            page.quiet(min(x(-half_across), x(half_across)) - 0.4 * em, y(mm) + 0.33 * em, str(abs(mm)), "right")
    page.quiet(page.left, y(half_up) - 0.9 * em, "↑ high, mm (low ↓)")
    toe_is_left = x(1.0) < x(0.0)
    page.quiet(page.left, foot + 1.4 * em, f"← {'toe' if toe_is_left else 'heel'}, mm")
    page.quiet(page.right, foot + 1.4 * em, f"{'heel' if toe_is_left else 'toe'}, mm →", "right")


def _notes(picture: StrikePicture, batches: list[StrikeBatch], rings: list[FloatArray | None]) -> list[str]:
    notes = []
    for batch in batches:
        across, up = (float(v) for v in batch.points_mm.mean(axis=0))
        words = [
            say_value(name, value, picture.handedness)
            for name, value in (("strike_across_mm", across), ("strike_up_mm", up))
        ]
        shots = len(batch.points_mm)
        of_what = "1 shot" if shots == 1 else f"mean of {shots} shots"
        distance = f"{math.hypot(across, up):.0f} mm from the middle"
        notes.append(f"{say_name(batch.number, batch.name)}, {of_what}: {', '.join(words)}; {distance}.")
    notes.append("Looking at the face; a plain outline, not your club's. Large hollow mark: mean.")
    if any(ring is not None for ring in rings):
        notes.append(f"Ellipse: about {ELLIPSE_SHARES[0]:.0%} of such shots lie inside.")
    return notes
