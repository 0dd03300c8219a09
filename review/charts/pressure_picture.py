"""The way of the pressure over drawn feet: the mean of each batch with its spread, key frames as shapes."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np
from scipy.interpolate import PchipInterpolator

from review.charts.drawing import Drawing
from review.charts.looks import PHONE, Canvas
from review.charts.page import Page
from review.errors import BadInputError
from review.lesson import FloatArray, Handedness
from review.pressure import STANDS_BEFORE_ANKLES_CM

_FOOT_PART = 0.152
"""Length of a foot as part of the stature: D. A. Winter after Drillis and Contini 1966 (from memory)."""
USUAL_STATURE_M = 1.74
_ANKLE_FROM_HEEL = 0.25
_HALF_WIDTHS = (
    *((0.0, 0.0), (0.02, 0.07), (0.08, 0.115), (0.18, 0.125), (0.35, 0.115), (0.5, 0.125), (0.65, 0.17), (0.75, 0.19)),
    *((0.86, 0.175), (0.94, 0.125), (0.98, 0.07), (1.0, 0.0)),
)
"""Along a foot from heel to toe, half its width, in lengths of the foot: an outline of our own."""
SHAPES: dict[str, tuple[str, int, float]] = {
    "address": ("circle", 20, 0.0),
    "top": ("triangle", 3, -90.0),
    "arm level": ("square", 4, 45.0),
    "impact": ("diamond", 4, 0.0),
}


@dataclass(frozen=True, eq=False)
class PressureBatch:
    """The mean way of a batch in the player's frame.

    ``way_cm`` (3 n + 1, 2): n points each from address to top, to arm level, to impact; ``spread_cm`` their standard
    deviations along x and y; ``n_between`` is n; ``key_cm`` the places of key frames by name; ``n_swings`` averaged.
    ``after_cm`` (m, 2) goes on from impact to the finish, None where the traces end before.
    """

    number: int
    way_cm: FloatArray
    spread_cm: FloatArray
    n_between: int
    key_cm: Mapping[str, tuple[float, ...]]
    n_swings: int
    after_cm: FloatArray | None = None


@dataclass(frozen=True)
class PressurePicture:
    """Batches to be drawn, the feet under them, and the words around; ``is_placed``: how the mat lies is known."""

    batches: tuple[PressureBatch, ...]
    handedness: Handedness
    stance_cm: float | None = None
    lead_flare_deg: float | None = None
    trail_flare_deg: float | None = None
    stature_m: float | None = None
    under: str = ""
    notes: Sequence[str] = field(default_factory=tuple)
    is_placed: bool = True


def outline_foot(length_cm: float, ankle_cm: tuple[float, float], flare_deg: float, is_lead: bool) -> FloatArray:
    """The outline (n, 2) of a foot in the player's frame, its toe turned out by ``flare_deg`` from straight ahead."""
    given = np.array(_HALF_WIDTHS)
    # closer at both ends, where the outline bends
    one_side = (1 - np.cos(np.linspace(0, np.pi, 40))) / 2
    half = PchipInterpolator(given[:, 0], given[:, 1])(one_side)
    along = np.concatenate([one_side, one_side[::-1]]) - _ANKLE_FROM_HEEL
    wide = np.concatenate([half, -half[::-1]])
    # the ball of the foot lies a little to the inside
    inward = -1.0 if is_lead else 1.0
    wide = wide + inward * 0.03 * np.clip((along - 0.2) / 0.5, 0, 1)
    turn = np.deg2rad(flare_deg) * (1.0 if is_lead else -1.0)
    x = wide * np.cos(turn) + along * np.sin(turn)
    y = -wide * np.sin(turn) + along * np.cos(turn)
    return np.column_stack([x, y]) * length_cm + ankle_cm


def draw_pressure_picture(picture: PressurePicture, canvas: Canvas = PHONE) -> Drawing:
    """Draw the ways of the batches as seen from above, from where a face-on camera stands: toes toward the reader.

    In the SVG a batch's ways are the groups ``back-1`` and ``down-1``, its key frames ``impact-1`` and so on.

    Raises
    ------
    BadInputError
        There is no batch with a way.
    """
    if not picture.batches:
        raise BadInputError("no swing has a pressure trace between top and impact; measure the lesson first")
    notes = [
        *(("Seen from above, toes down.",) if picture.is_placed else ()),
        "Broken line: backswing; full line: from the top to impact; thin dotted line: after impact.",
        "Shaded: how far the shots lie apart (one standard deviation).",
        *picture.notes,
    ]
    page = Page(canvas, "Pressure under the feet", (picture.under,), notes, 24.0)
    em, drawing = page.em, page.drawing
    _draw_batches_key(page, picture.batches, page.top + 1.2 * em)
    _draw_shapes_key(page, page.top + 2.9 * em)
    top, bottom = page.top + 4.9 * em, page.bottom - 0.6 * em
    side = 1.0 if picture.handedness is Handedness.RIGHT else -1.0
    feet = _place_feet(picture)
    everything = np.vstack(
        [*feet, *(b.way_cm for b in picture.batches), *(b.after_cm for b in picture.batches if b.after_cm is not None)]
    )
    low, high = everything.min(axis=0) - 2.0, everything.max(axis=0) + 2.0
    scale = min((page.right - page.left) / (high[0] - low[0]), (bottom - top) / (high[1] - low[1]))
    middle, centre = (low + high) / 2, ((page.left + page.right) / 2, (top + bottom) / 2)

    def place(xy: FloatArray) -> tuple[list[float], list[float]]:
        x, y = (np.atleast_2d(xy) - middle).T * scale
        return [centre[0] + side * float(v) for v in x], [centre[1] + float(v) for v in y]

    for foot in feet:
        xs, ys = place(foot)
        drawing.area(xs, ys, canvas.shade, canvas.quiet_ink)
    if picture.is_placed:
        toward = "target →" if side > 0 else "← target"
        page.quiet(page.right if side > 0 else page.left, top - 0.5 * em, toward, "right" if side > 0 else "left")
    for batch in picture.batches:
        colour, n = canvas.colour_of(batch.number), batch.n_between
        band = _outline_band(batch.way_cm[n:], batch.spread_cm[n:])
        xs, ys = place(band)
        drawing.area(xs, ys, colour, alpha=0.18, zorder=1.5, gid=f"spread-{batch.number}")
        xs, ys = place(batch.way_cm[: n + 1])
        drawing.line(xs, ys, colour, em / 8, dash=True, gid=f"back-{batch.number}")
        xs, ys = place(batch.way_cm[n:])
        drawing.line(xs, ys, colour, em / 4, gid=f"down-{batch.number}")
        if batch.after_cm is not None:
            xs, ys = place(batch.after_cm)
            drawing.line(xs, ys, colour, em / 8, dash=(1.0, 2.5), gid=f"after-{batch.number}")
    for batch in picture.batches:
        for name, at in batch.key_cm.items():
            (x,), (y,) = place(np.array(at))
            _draw_shape(page, name, x, y, canvas.colour_of(batch.number), f"{name.replace(' ', '-')}-{batch.number}")
        (x,), (y,) = place(np.array(batch.key_cm["impact"]))
        drawing.words(x, y - 0.8 * em, str(batch.number), em, align="center", is_bold=True)
    return drawing


def place_feet(
    stance_cm: float, lead_flare_deg: float | None, trail_flare_deg: float | None, stature_m: float | None
) -> tuple[FloatArray, FloatArray]:
    """Outlines of lead and trail foot in the player's frame, whose origin is where the player stands still."""
    length = 100 * _FOOT_PART * (stature_m or USUAL_STATURE_M)
    ankle = stance_cm / 2, -STANDS_BEFORE_ANKLES_CM
    return (
        outline_foot(length, ankle, lead_flare_deg or 0.0, True),
        outline_foot(length, (-ankle[0], ankle[1]), trail_flare_deg or 0.0, False),
    )


def _place_feet(picture: PressurePicture) -> tuple[FloatArray, ...]:
    if picture.stance_cm is None:
        return ()
    return place_feet(picture.stance_cm, picture.lead_flare_deg, picture.trail_flare_deg, picture.stature_m)


def _outline_band(way: FloatArray, spread: FloatArray) -> FloatArray:
    """A closed outline one standard deviation to either side of a way, across its direction."""
    ahead = np.gradient(way, axis=0)
    length = np.maximum(np.hypot(*ahead.T), 1e-9)
    across = np.column_stack([-ahead[:, 1], ahead[:, 0]]) / length[:, None]
    wide = np.hypot(across[:, 0] * spread[:, 0], across[:, 1] * spread[:, 1])[:, None]
    return np.vstack([way + across * wide, (way - across * wide)[::-1]])


def _draw_batches_key(page: Page, batches: Sequence[PressureBatch], baseline: float) -> None:
    """A stroke of each batch's colour; its number stands beside its impact too. Shapes are the key frames' here."""
    em, width = page.em, (page.right - page.left) / len(batches)
    for n, batch in enumerate(batches):
        left = page.left + n * width
        y = baseline - 0.35 * em
        page.drawing.line([left, left + 1.4 * em], [y, y], page.canvas.colour_of(batch.number), em / 4)
        shots = "1 shot" if batch.n_swings == 1 else f"{batch.n_swings} shots"
        words = page.cut(page.canvas.say(f"Batch {batch.number}") + f" ({page.canvas.say(shots)})", width - 2 * em)
        page.drawing.words(left + 1.8 * em, baseline, words, page.small)


def _draw_shapes_key(page: Page, baseline: float) -> None:
    width = (page.right - page.left) / len(SHAPES)
    for n, name in enumerate(SHAPES):
        left = page.left + n * width
        _draw_shape(page, name, left + 0.6 * page.em, baseline - 0.35 * page.em, page.canvas.quiet_ink, f"key-{n}")
        page.quiet(left + 1.4 * page.em, baseline, name)


def _draw_shape(page: Page, name: str, x: float, y: float, colour: str, gid: str) -> None:
    _, n, start_deg = SHAPES[name]
    angle = np.radians(start_deg + 360.0 * np.arange(n) / n)
    radius = 0.5 * page.em
    xs, ys = x + radius * np.cos(angle), y + radius * np.sin(angle)
    page.drawing.area(list(xs), list(ys), colour, page.canvas.ground, zorder=4.0, gid=gid)
