"""The way of the pressure over drawn feet: the mean of each batch with its spread, key frames as shapes."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from scipy.spatial import ConvexHull

from review.charts.drawing import Drawing
from review.charts.feet import place_feet
from review.charts.looks import PHONE, Canvas
from review.charts.page import Page, say_name
from review.charts.pressure_legend import LINES, SHAPES, draw_keys, draw_shape, sign_batch, sign_line, sign_shape
from review.errors import BadInputError
from review.lesson import FloatArray, Handedness

_LEAST_SPREAD_CM = 0.2
"""A band is drawn at least so wide to either side."""
_BAND_STEP, _BAND_CORNERS = 3, 16
_ARROWS_AT = (0.4, 0.7)
"""How far along from top to arm level, and from there to impact, an arrow says whereto it goes."""
_LEAST_WAY_CM = 3.0
"""A shorter stretch has no arrow."""


@dataclass(frozen=True, eq=False)
class PressureBatch:
    """The mean way of a batch in the player's frame.

    ``way_cm`` (3 n + 1, 2): n points each from address to top, to arm level, to impact; ``spread_cm`` their standard
    deviations along x and y; ``n_between`` is n; ``key_cm`` the places of key frames by name, those that are known;
    ``n_swings`` averaged. ``after_cm`` (m, 2) goes on from impact to the finish, None where the
    traces end before. ``has_impact``: impact is known well enough to be drawn; else the way is drawn from the top on
    in one, without a band. ``name`` is what else the batch is called, said in the place of how many.
    """

    number: int
    way_cm: FloatArray
    spread_cm: FloatArray
    n_between: int
    key_cm: Mapping[str, tuple[float, ...]]
    n_swings: int
    after_cm: FloatArray | None = None
    has_impact: bool = True
    name: str = ""

    @property
    def label_cm(self) -> FloatArray:
        """Where the batch's number stands: at impact, else at the end of the way."""
        way = self.way_cm if self.has_impact or self.after_cm is None else self.after_cm
        end: FloatArray = way[-1]
        return end


@dataclass(frozen=True)
class PressurePicture:
    """Batches to be drawn, the feet under them, and the words around, ``said`` of the batches first.

    ``is_placed``: how the mat lies is known.
    """

    batches: tuple[PressureBatch, ...]
    handedness: Handedness
    stance_cm: float | None = None
    lead_flare_deg: float | None = None
    trail_flare_deg: float | None = None
    stature_m: float | None = None
    title: str = "Pressure under the feet"
    under: str = ""
    said: Sequence[str] = ()
    notes: Sequence[str] = ()
    is_placed: bool = True


def draw_pressure_picture(picture: PressurePicture, canvas: Canvas = PHONE) -> Drawing:
    """Draw the ways of the batches as seen from above, from where a face-on camera stands: toes toward the reader.

    In the SVG a batch's ways are the groups ``back-1`` and ``down-1``, its key frames ``impact-1`` and so on.

    Raises
    ------
    BadInputError
        There is no batch with a way.
    """
    if not picture.batches:
        raise BadInputError("no swing has a pressure trace from address to impact to draw; measure the lesson first")
    has_bands = any(b.n_swings > 1 and b.has_impact for b in picture.batches)
    notes = [
        *picture.said,
        *(("Seen from above, toes down.",) if picture.is_placed else ()),
        *(("Shaded: where about two of three shots run.",) if has_bands else ()),
        *picture.notes,
    ]
    page = Page(canvas, picture.title, (picture.under,), notes, 24.5, notes_beside=bool(picture.title))
    em, drawing = page.em, page.drawing
    batches = [(sign_batch(page, b.number), _name(b, canvas)) for b in picture.batches]
    shapes = [(sign_shape(page, name), name) for name in SHAPES if any(name in b.key_cm for b in picture.batches)]
    lines = [(sign_line(page, name), name) for name in _list_lines(picture.batches)]
    end = draw_keys(page, (("", batches), ("Key frames:", shapes), ("", lines)), page.top)
    side = -1.0 if picture.is_placed and picture.handedness is Handedness.LEFT else 1.0
    feet = _place_feet(picture)
    place = _fit(picture, feet, (page.left, end + 1.8 * em, page.right, page.bottom - 1.6 * em), side)
    if picture.is_placed:
        toward = "target →" if side > 0 else "← target"
        page.quiet(page.right if side > 0 else page.left, end + 1.6 * em, toward, "right" if side > 0 else "left")
    for foot, name in zip(feet, ("lead foot", "trail foot"), strict=False):
        xs, ys = place(foot)
        drawing.area(xs, ys, canvas.shade, canvas.quiet_ink)
        page.quiet((min(xs) + max(xs)) / 2, max(ys) + 1.3 * em, name, "center")
    for batch in picture.batches:
        _draw_ways(page, batch, place)
    highest = min(picture.batches, key=lambda b: place(b.label_cm)[1])
    for batch in picture.batches:
        for name, at in batch.key_cm.items():
            (x,), (y,) = place(np.array(at))
            draw_shape(page, name, x, y, canvas.colour_of(batch.number), f"{name.replace(' ', '-')}-{batch.number}")
        (x,), (y,) = place(batch.label_cm)
        drawing.words(x, y - 0.8 * em if batch is highest else y + 1.5 * em, str(batch.number), em, "", "center", True)
    return drawing


def _name(batch: PressureBatch, canvas: Canvas) -> str:
    shots = "1 shot" if batch.n_swings == 1 else f"{batch.n_swings} shots"
    more = f", {say_name(batch.number, batch.name)}" if batch.name else f" ({canvas.say(shots)})"
    return f"{canvas.say(f'Batch {batch.number}')}{more}"


def _list_lines(batches: Sequence[PressureBatch]) -> list[str]:
    """Names of the lines that are drawn."""
    with_impact = [b for b in batches if b.has_impact]
    names = ["backswing", *(["top to impact"] if with_impact else [])]
    names += ["after impact"] if any(b.after_cm is not None for b in with_impact) else []
    return names + (["from the top on"] if len(with_impact) < len(batches) else [])


Place = Callable[[FloatArray], tuple[list[float], list[float]]]
"""From places (n, 2) in the player's frame to the picture."""


def _fit(
    picture: PressurePicture, feet: Sequence[FloatArray], box: tuple[float, float, float, float], side: float
) -> Place:
    """Fit everything into a box (left, top, right, bottom)."""
    ways = [b.way_cm for b in picture.batches] + [b.after_cm for b in picture.batches if b.after_cm is not None]
    everything = np.vstack([*feet, *ways])
    low, high = everything.min(axis=0) - 1.0, everything.max(axis=0) + 1.0
    left, top, right, bottom = box
    scale = max(min((right - left) / (high[0] - low[0]), (bottom - top) / (high[1] - low[1])), 0.1)
    middle, down = (low + high) / 2, 1.0 if picture.is_placed else -1.0  # a mat's own y is drawn upward

    def place(xy: FloatArray) -> tuple[list[float], list[float]]:
        x, y = (np.atleast_2d(xy) - middle).T * scale
        return [(left + right) / 2 + side * float(v) for v in x], [(top + bottom) / 2 + down * float(v) for v in y]

    return place


def _place_feet(picture: PressurePicture) -> tuple[FloatArray, ...]:
    if picture.stance_cm is None:
        return ()
    return place_feet(picture.stance_cm, picture.lead_flare_deg, picture.trail_flare_deg, picture.stature_m)


def _draw_ways(page: Page, batch: PressureBatch, place: Place) -> None:
    """Draw a batch's band, its way in three kinds of line, and arrows that say whereto it goes."""
    colour, n, em, drawing = page.canvas.colour_of(batch.number), batch.n_between, page.em, page.drawing
    if batch.n_swings > 1 and batch.has_impact:
        outlines = [place(hull) for hull in _outline_band(batch.way_cm[n:], batch.spread_cm[n:])]
        drawing.union(outlines, colour, alpha=0.18, zorder=1.5, gid=f"spread-{batch.number}")
    down, after = batch.way_cm[n:], batch.after_cm
    if not batch.has_impact and after is not None:
        down, after = np.vstack([down, after]), None
    for part, name, way in (
        ("back", "backswing", batch.way_cm[: n + 1]),
        ("down", "top to impact", down),
        ("after", "after impact", after),
    ):
        if way is not None:
            width, dash = LINES[name]
            drawing.line(*place(way), colour, width * em, dash=dash, gid=f"{part}-{batch.number}")
    for first, along in zip((n, 2 * n), _ARROWS_AT, strict=True):
        _draw_arrow(page, batch.way_cm[first : first + n + 1], along, place, colour)


def _draw_arrow(page: Page, way: FloatArray, along: float, place: Place, colour: str) -> None:
    """Draw an open arrow head on a stretch of a way, so far along it."""
    gone = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(way, axis=0).T))])
    if gone[-1] < _LEAST_WAY_CM:
        return
    i = int(np.clip(np.searchsorted(gone, along * gone[-1]), 1, len(way) - 1))
    xs, ys = place(way[i - 1 : i + 1])
    ahead = np.array([xs[1] - xs[0], ys[1] - ys[0]])
    length = float(np.hypot(*ahead))
    if length == 0:
        return
    ahead = ahead / length * 0.5 * page.em
    across = np.array([-ahead[1], ahead[0]])
    tip = np.array([xs[1], ys[1]])
    corners = np.stack([tip - ahead + across, tip, tip - ahead - across])
    page.drawing.line(list(corners[:, 0]), list(corners[:, 1]), colour, page.em / 6, zorder=3.0)


def _outline_band(way: FloatArray, spread: FloatArray) -> list[FloatArray]:
    """Outlines that together cover one standard deviation around a way: ellipses, joined from each to the next."""
    angle = 2 * np.pi * np.arange(_BAND_CORNERS) / _BAND_CORNERS
    round_cm = np.column_stack([np.cos(angle), np.sin(angle)])
    which = np.unique([*range(0, len(way), _BAND_STEP), len(way) - 1])
    ellipses = [way[i] + round_cm * np.maximum(spread[i], _LEAST_SPREAD_CM) for i in which]
    pairs = [np.vstack(two) for two in zip(ellipses[:-1], ellipses[1:], strict=True)]
    return [np.asarray(both[ConvexHull(both).vertices]) for both in pairs]
