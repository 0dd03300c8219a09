"""The flight of a batch or of two, from the side and from above, over one scale of distance."""

import math
from dataclasses import dataclass
from enum import Enum

import numpy as np

from review.charts.axis import Scale, choose_ticks
from review.charts.drawing import Drawing
from review.charts.looks import PHONE, Canvas, repeats_earlier
from review.charts.page import Page, is_wide, say_name
from review.errors import BadInputError
from review.lesson.swings import FloatArray

_MEAN_POINTS = 101


class DistanceUnit(Enum):
    """What distances are shown in: name, letters and metres to one."""

    YARDS = ("yards", "yd", 0.9144)
    METRES = ("metres", "m", 1.0)


@dataclass(frozen=True, eq=False)
class FlightBatch:
    """The flights of one batch: ``trajectories`` of shape (n, 3), n >= 2, in metres from ball to landing.

    x right of target, y toward the target, z up. ``number`` gives colour and mark; ``name`` 'Batch n' where empty.
    """

    number: int
    trajectories: tuple[FloatArray, ...]
    name: str = ""

    def __post_init__(self) -> None:
        for way in self.trajectories:
            if way.ndim != 2 or way.shape[1] != 3 or len(way) < 2 or not np.isfinite(way).all():
                raise ValueError(f"a trajectory needs finite numbers of shape (n, 3), n >= 2, got {way.shape}")


@dataclass(frozen=True, eq=False)
class FlightChart:
    """Flights of one batch or of several, with the distance of the target where it is known."""

    batches: tuple[FlightBatch, ...]
    unit: DistanceUnit = DistanceUnit.YARDS
    target_m: float | None = None
    title: str = "Flight"
    under: str = ""


def draw_flight_chart(chart: FlightChart, canvas: Canvas = PHONE) -> Drawing:
    """Draw height over distance, and beneath it the same flights seen from above, the target to the right.

    In the SVG the landings of the k-th batch (from 1) are the group ``landings-k``, its mean lines
    ``mean-side-k`` and ``mean-top-k``, the mean landing ``landing-mean-k``.

    Raises
    ------
    BadInputError
        No batch has a flight.
    """
    shown = [batch for batch in chart.batches if batch.trajectories]
    if not shown:
        raise BadInputError("no shot has a flight to draw; it needs ball speed and launch angle in the table")
    metres, em = chart.unit.value[2], canvas.letter_px
    extent = _Extent.of(np.concatenate([way for batch in shown for way in batch.trajectories]), chart.target_m, metres)
    panels, page = _lay_out(chart, shown, canvas, extent)
    page.draw_key([(batch.number, batch.name) for batch in shown], page.top + 1.3 * em)
    side, above = panels
    unit = chart.unit.value[0]
    for panel, ticks in ((side, _inside(0.0, extent.up, 2)), (above, _inside(-extent.side, extent.side, 4))):
        page.quiet(page.left if panel is side else panel.left - 2.6 * em, panel.top - 0.8 * em, f"↑ {panel.up}, {unit}")
        for tick in ticks:
            colour = canvas.quiet_ink if abs(tick) < 1e-9 else canvas.line
            page.drawing.line((panel.left, panel.right), (panel.y(tick),) * 2, colour, em / 13, zorder=1.5)
            page.quiet(panel.left - 0.4 * em, panel.y(tick) + 0.33 * em, f"{abs(tick):g}", "right")
        for tick in _inside(extent.back, extent.far, 5):
            page.drawing.line((panel.x(tick),) * 2, (panel.top, panel.bottom), canvas.line, em / 13, zorder=1.4)
            page.quiet(panel.x(tick), panel.bottom + 1.4 * em, f"{tick:g}", "center")
    page.quiet(above.left - 2.6 * em, above.bottom + 2.9 * em, "↓ right of target")  # the unit stands above
    page.quiet(above.right, above.bottom + 2.9 * em, f"distance, {unit} →", "right")
    if side.bottom == above.bottom:
        page.quiet(side.right, side.bottom + 2.9 * em, f"distance, {unit} →", "right")
    if chart.target_m is not None:
        _draw_target(page, above.x(chart.target_m / metres), above.y(0.0))
    for k, batch in enumerate(shown, 1):
        is_repeated = repeats_earlier([b.number for b in shown], k - 1)
        _draw_batch(page, batch, k, panels, metres, is_repeated)
    return page.drawing


@dataclass(frozen=True)
class _Extent:
    """What has to find room, in the unit shown: ``back``..``far`` along the target line, ``side`` to either side."""

    back: float
    far: float
    side: float
    up: float

    @classmethod
    def of(cls, points_m: FloatArray, target_m: float | None, metres: float) -> "_Extent":
        low, high = points_m.min(axis=0) / metres, points_m.max(axis=0) / metres
        far = max(float(high[1]), (target_m or 0.0) / metres, 1.0)
        side = max(2.0, 0.08 * far, float(high[0]), -float(low[0]))
        return cls(min(0.0, float(low[1])), 1.04 * far, 1.12 * side, 1.12 * max(1.0, float(high[2])))


@dataclass(frozen=True)
class _Panel:
    """One view: ``x`` distance, ``y`` height or sideways; ``up`` says what up means."""

    x: Scale
    y: Scale
    up: str

    left = property(lambda self: self.x.low_px)
    right = property(lambda self: self.x.high_px)
    top = property(lambda self: min(self.y.low_px, self.y.high_px))
    bottom = property(lambda self: max(self.y.low_px, self.y.high_px))


def _lay_out(
    chart: FlightChart, shown: list[FlightBatch], canvas: Canvas, extent: _Extent
) -> tuple[tuple[_Panel, _Panel], Page]:
    """Both views, side by side on a wide canvas, else the side view over the view from above."""
    em, notes, across = canvas.letter_px, _notes(shown, chart), is_wide(canvas)
    page = Page(canvas, chart.title, (chart.under,), notes, 22.0 if across else 35.0, notes_beside=False)
    left, right, top, bottom = page.left + 2.6 * em, page.right - 0.5 * em, page.top + 3.6 * em, page.bottom - 3.5 * em
    if across:
        half = (right - left - 4.6 * em) / 2
        places = (left, left + half, top, bottom), (right - half, right, top, bottom)
    else:
        high = 0.34 * (bottom - top - 4.0 * em)
        places = (left, right, top, top + high), (left, right, top + high + 4.0 * em, bottom)
    (l1, r1, t1, b1), (l2, r2, t2, b2) = places
    side = _Panel(Scale(extent.back, extent.far, l1, r1), Scale(0.0, extent.up, b1, t1), "height")
    # seen from above with the target to the right, right of target is down
    above = _Panel(Scale(extent.back, extent.far, l2, r2), Scale(-extent.side, extent.side, t2, b2), "left of target")
    return (side, above), page


def _inside(low: float, high: float, n_steps: int) -> list[float]:
    """Round numbers within a scale."""
    return [tick for tick in choose_ticks([low, high], n_steps=n_steps)[0] if low <= tick <= high]


def compute_mean_way(trajectories: tuple[FloatArray, ...]) -> FloatArray:
    """Average flights at equal parts of their way over the ground, so that the end is the mean landing; (101, 3) m."""
    parts = np.linspace(0.0, 1.0, _MEAN_POINTS)
    resampled = []
    for way in trajectories:
        steps = np.hypot(*np.diff(way[:, :2], axis=0).T)
        done = np.concatenate([[0.0], np.cumsum(steps)])
        # a ball that goes straight up has no way over the ground; then by the sample
        share = done / done[-1] if done[-1] > 0 else np.linspace(0.0, 1.0, len(way))
        resampled.append(np.column_stack([np.interp(parts, share, way[:, axis]) for axis in range(3)]))
    mean: FloatArray = np.mean(resampled, axis=0)
    return mean


def _draw_batch(
    page: Page, batch: FlightBatch, k: int, panels: tuple[_Panel, _Panel], metres: float, is_hollow: bool
) -> None:
    em, drawing = page.em, page.drawing
    colour, is_dashed = page.canvas.colour_of(batch.number), k > 1
    mean = compute_mean_way(batch.trajectories) / metres
    for panel, axis, view in zip(panels, (2, 0), ("side", "top"), strict=True):
        for way in batch.trajectories:
            along, ys = [panel.x(v) for v in way[:, 1] / metres], [panel.y(v) for v in way[:, axis] / metres]
            drawing.line(along, ys, colour, 0.08 * em, is_dashed, alpha=0.6)
        along, ys = [panel.x(v) for v in mean[:, 1]], [panel.y(v) for v in mean[:, axis]]
        drawing.line(along, ys, colour, 0.22 * em, gid=f"mean-{view}-{k}", zorder=3.0)
    above, ends = panels[1], np.array([way[-1] for way in batch.trajectories]) / metres
    at = [above.x(v) for v in ends[:, 1]], [above.y(v) for v in ends[:, 0]]
    drawing.marks(batch.number, *at, (0.4 if len(ends) <= 10 else 0.3) * em, is_hollow, gid=f"landings-{k}")
    if len(ends) > 1:
        middle = [above.x(float(mean[-1, 1]))], [above.y(float(mean[-1, 0]))]
        drawing.marks(batch.number, *middle, 0.85 * em, is_hollow=True, gid=f"landing-mean-{k}", zorder=5.0)


def _draw_target(page: Page, x: float, y: float) -> None:
    """A ring around a point at the target's distance."""
    turns = [2 * math.pi * n / 32 for n in range(33)]
    for radius in (0.55 * page.em, 0.12 * page.em):
        xs, ys = [x + radius * math.cos(a) for a in turns], [y + radius * math.sin(a) for a in turns]
        page.drawing.line(xs, ys, page.canvas.ink, page.em / 9, zorder=4.5)


def _notes(batches: list[FlightBatch], chart: FlightChart) -> list[str]:
    _, letters, metres = chart.unit.value
    notes = []
    for batch in batches:
        end = np.mean([way[-1] for way in batch.trajectories], axis=0) / metres
        offline = f"{abs(end[0]):.1f} {letters} {'right' if end[0] > 0 else 'left'} of target"
        if round(abs(float(end[0])), 1) == 0:
            offline = "on the target line"
        shots = len(batch.trajectories)
        name = say_name(batch.number, batch.name)
        count = f"mean of {shots} shots lands" if shots > 1 else "the shot lands"
        notes.append(f"{name}: {count} {end[1]:.1f} {letters} out, {offline}.")
    target = " Ring: target." if chart.target_m else ""
    notes.append(f"Marks: where balls landed; thick line, large mark: mean.{target}")
    notes.append("Height and sideways have scales of their own.")
    return notes
