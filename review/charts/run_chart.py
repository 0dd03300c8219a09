"""The run chart: swings in order along the lesson, one measure up, batches as bands with their mean."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import groupby

from review.charts.axis import Scale, choose_ticks, least_span, say_heading, say_short, say_tick
from review.charts.drawing import Drawing
from review.charts.looks import PHONE, Canvas
from review.charts.page import Page, say_window
from review.compare.window import Window
from review.errors import BadInputError
from review.lesson import KINDS, Bound, Handedness
from review.lesson.changes import say_directions
from review.lesson.words import say_value


@dataclass(frozen=True)
class RunPoint:
    """One swing: ``order`` along the lesson, ``value`` in the measure's unit and sign.

    One left out, or of which only a bound is known, is drawn but counts in no mean.
    """

    order: int
    value: float
    batch_number: int
    left_out: bool = False
    bound: Bound = Bound.NONE

    def __post_init__(self) -> None:
        if not math.isfinite(self.value):
            raise ValueError(f"a swing without a value has no place in a chart, got {self.value}")

    @property
    def is_counted(self) -> bool:
        """Whether it counts in its batch's mean."""
        return not self.left_out and self.bound is Bound.NONE


@dataclass(frozen=True)
class RunChart:
    """One measure over a lesson; ``under`` is a line below the title (pupil, day), ``window`` what the coach set.

    ``counted_as`` says what the points' order counts.
    """

    name: str
    handedness: Handedness
    points: tuple[RunPoint, ...]
    key_frame: str = ""
    under: str = ""
    window: Window | None = None
    counted_as: str = "swing of the lesson"


@dataclass(frozen=True)
class _Run:
    number: int
    points: list[RunPoint] = field(default_factory=list)

    @property
    def values(self) -> list[float]:
        return [point.value for point in self.points if point.is_counted]

    @property
    def mean(self) -> float | None:
        return math.fsum(self.values) / len(self.values) if self.values else None


def draw_run_chart(chart: RunChart, canvas: Canvas = PHONE) -> Drawing:
    """Draw a run chart.

    In the SVG the marks of batch n are the group ``batch-n``, those left out ``batch-n-left-out``,
    those only known as a bound ``batch-n-bound``, its mean line is ``mean-n``; the window is ``window``.

    Raises
    ------
    BadInputError
        No swing has the measure.
    """
    points = sorted(chart.points, key=lambda point: point.order)
    if not points:
        raise BadInputError(f"no swing has a {KINDS[chart.name].label} to draw; choose a measure that was measured")
    runs = [_Run(number, list(run)) for number, run in groupby(points, key=lambda point: point.batch_number)]
    ends = [] if chart.window is None else [e for e in (chart.window.low, chart.window.high) if math.isfinite(e)]
    ticks, decimals = choose_ticks([*(point.value for point in points), *ends], least_span(chart.name))
    page = Page(canvas, say_heading(chart.name, chart.key_frame), (chart.under,), _notes(chart, runs), 23.0)
    em, drawing = page.em, page.drawing
    left = page.left + page.room_for_ticks([say_tick(chart.name, tick, decimals) for tick in ticks])
    right = page.right
    first, last = points[0].order - 0.5, points[-1].order + 0.5
    x = Scale(first, last, left, right)
    edges = [first, *((a.points[-1].order + b.points[0].order) / 2 for a, b in zip(runs, runs[1:], strict=False)), last]
    means = [_mean_lines(page, chart, run, x(edges[n + 1]) - x(edges[n])) for n, run in enumerate(runs)]
    band_top, bottom = page.top + 1.9 * em, page.bottom - 3.0 * em
    top = band_top + (2.0 + 1.2 * max(len(lines) for lines in means)) * em
    y = Scale(ticks[0], ticks[-1], bottom - 0.4 * em, top + 0.4 * em)
    up, down = say_directions(chart.name, ticks[0], ticks[-1], chart.handedness)
    page.quiet(page.left, page.top + 1.2 * em, f"↑ {up}")
    for start, end in list(zip(edges, edges[1:], strict=False))[::2]:
        drawing.box(x(start), band_top, x(end), bottom, canvas.shade, zorder=0.5)
    page.draw_grid(chart.name, y, ticks, decimals, left, right)
    if chart.window is not None:
        page.draw_window(chart.window, y, left, right)
    radius = max(2.2, min(0.5 * em, 0.42 * (right - left) / (last - first)))
    for n, run in enumerate(runs):
        sides = x(edges[n]), x(edges[n + 1])
        _draw_heading(page, run, sides, band_top, means[n])
        _draw_swings(page, run, sides, (x, y), radius)
    every = max(1, math.ceil((last - first) * 1.9 * em / (right - left)))
    for order in range(points[0].order, points[-1].order + 1, every):
        page.quiet(x(order), bottom + 1.2 * em, str(order), "center")
    page.quiet(page.left, bottom + 2.5 * em, f"↓ {down}")
    page.quiet(right, bottom + 2.5 * em, f"{chart.counted_as} →", "right")
    return drawing


def _mean_lines(page: Page, chart: RunChart, run: _Run, width: float) -> tuple[str, ...]:
    """The mean in as many words as the band has room for."""
    if run.mean is None:
        return ()
    long = say_value(chart.name, run.mean, chart.handedness)
    short = say_short(chart.name, run.mean)
    return page.first_that_fits((f"mean {long}", long, short), width - 0.3 * page.em, 2)


def _draw_heading(page: Page, run: _Run, sides: tuple[float, float], top: float, mean_lines: tuple[str, ...]) -> None:
    (start, end), em = sides, page.em
    words = page.first_that_fits((f"Batch {run.number}", str(run.number)), end - start - 1.7 * em, 1)
    if words:
        page.drawing.marks(run.number, [start + 0.9 * em], [top + 0.85 * em], 0.42 * em, gid=f"key-{run.number}")
        page.drawing.words(start + 1.6 * em, top + 1.2 * em, words[0], page.small)
    else:
        page.drawing.words((start + end) / 2, top + 1.2 * em, str(run.number), page.small, align="center")
    for n, line in enumerate(mean_lines):
        page.quiet(start + min(0.4 * em, 0.15 * (end - start)), top + (2.5 + 1.2 * n) * em, line)


def _draw_swings(page: Page, run: _Run, sides: tuple[float, float], scales: tuple[Scale, Scale], radius: float) -> None:
    (start, end), (x, y), em, drawing, mean = sides, scales, page.em, page.drawing, run.mean
    if mean is not None:
        inset = min(0.3 * em, 0.1 * (end - start))
        ends = (start + inset, end - inset)
        colour = page.canvas.colour_of(run.number)
        drawing.line(ends, (y(mean),) * 2, colour, 0.16 * em, gid=f"mean-{run.number}", zorder=3.0)
    for suffix, is_hollow, chosen in (
        ("", False, [p for p in run.points if p.is_counted]),
        ("-left-out", True, [p for p in run.points if p.left_out]),
        ("-bound", False, [p for p in run.points if p.bound and not p.left_out]),
    ):
        if chosen:
            at = [x(p.order) for p in chosen], [y(p.value) for p in chosen]
            drawing.marks(run.number, *at, radius, is_hollow, gid=f"batch-{run.number}{suffix}")
    for point in run.points:
        if point.bound:
            away = math.copysign(1.0, point.value) * (1 if point.bound is Bound.AT_LEAST else -1)
            _draw_arrow(page, x(point.order), y(point.value), away, radius, run.number)


def _draw_arrow(page: Page, x: float, y: float, away: float, radius: float, number: int) -> None:
    """An arrow from the mark the way on which the true value lies; ``away`` 1 is up."""
    tip, colour = y - away * 2.6 * radius, page.canvas.colour_of(number)
    page.drawing.line((x, x), (y, tip), colour, 0.14 * page.em)
    barb = 0.7 * radius
    page.drawing.line((x - barb, x, x + barb), (tip + away * barb, tip, tip + away * barb), colour, 0.14 * page.em)


def _notes(chart: RunChart, runs: Sequence[_Run]) -> list[str]:
    notes = []
    if chart.window is not None:
        counts = ", ".join(f"batch {r.number}: {chart.window.count(r.values)} of {len(r.values)}" for r in runs)
        notes.append(f"{say_window(chart.name, chart.window, chart.handedness)} Inside: {counts}.")
    if any(point.left_out for run in runs for point in run.points):
        notes.append("Hollow: left out, counts in no mean.")
    if any(point.bound for run in runs for point in run.points):
        notes.append("Arrow: it lies there or farther, counts in no mean.")
    return notes
