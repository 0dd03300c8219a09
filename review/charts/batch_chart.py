"""One measure over many batches: each batch's mean with its interval, in order."""

import math
from dataclasses import dataclass

from review.charts.axis import Scale, choose_ticks, least_span, say_heading, say_tick
from review.charts.drawing import Drawing
from review.charts.looks import PHONE, Canvas
from review.charts.means import compute_mean_interval
from review.charts.page import Page, say_window
from review.compare.samples import Sample
from review.compare.window import Window
from review.errors import BadInputError
from review.lesson import KINDS, Handedness
from review.lesson.changes import say_directions


@dataclass(frozen=True)
class BatchPoint:
    """One batch: its number (colour and mark), the values that counted, and a short name ('March')."""

    number: int
    sample: Sample
    name: str = ""


@dataclass(frozen=True)
class BatchChart:
    """One measure of batches in order, of one lesson or of several."""

    name: str
    handedness: Handedness
    batches: tuple[BatchPoint, ...]
    key_frame: str = ""
    under: str = ""
    window: Window | None = None


def draw_batch_chart(chart: BatchChart, canvas: Canvas = PHONE) -> Drawing:
    """Draw means with intervals over batches.

    In the SVG the mark of the k-th batch (from 1) is the group ``mean-k``, its interval ``interval-k``.

    Raises
    ------
    BadInputError
        No batch has the measure.
    """
    found = [compute_mean_interval(batch.sample.values) for batch in chart.batches]
    known = _choose_extent(chart, found)
    if not known:
        raise BadInputError(f"no batch has a {KINDS[chart.name].label} to draw; choose a measure that was measured")
    if chart.window is not None:
        known += [end for end in (chart.window.low, chart.window.high) if math.isfinite(end)]
    ticks, decimals = choose_ticks(known, least_span(chart.name))
    notes = [] if chart.window is None else [say_window(chart.name, chart.window, chart.handedness)]
    notes.append("Mark: the mean of a batch. Upright line: where it may lie (95%); none for a single shot.")
    if any(low < ticks[0] or high > ticks[-1] for _, low, high in found):
        notes.append("A line without an end runs on beyond the picture.")
    page = Page(canvas, say_heading(chart.name, chart.key_frame), (chart.under,), notes, 23.0)
    em, drawing, right = page.em, page.drawing, page.right
    left = page.left + page.room_for_ticks([say_tick(chart.name, tick, decimals) for tick in ticks])
    top, bottom = page.top + 1.9 * em, page.bottom - 4.4 * em
    x = Scale(-0.5, len(chart.batches) - 0.5, left, right)
    y = Scale(ticks[0], ticks[-1], bottom - 0.5 * em, top + 0.5 * em)
    up, down = say_directions(chart.name, ticks[0], ticks[-1], chart.handedness)
    page.quiet(page.left, page.top + 1.2 * em, f"↑ {up}")
    page.draw_grid(chart.name, y, ticks, decimals, left, right)
    if chart.window is not None:
        page.draw_window(chart.window, y, left, right)
    slot = x(1) - x(0)
    for n, (batch, (mean, low, high)) in enumerate(zip(chart.batches, found, strict=True)):
        colour = canvas.colour_of(batch.number)
        if math.isfinite(low):
            shown = y(max(low, ticks[0])), y(min(high, ticks[-1]))
            drawing.line((x(n), x(n)), shown, colour, 0.16 * em, gid=f"interval-{n + 1}", zorder=3.0)
            for end in (end for end in (low, high) if ticks[0] <= end <= ticks[-1]):
                drawing.line((x(n) - 0.25 * em, x(n) + 0.25 * em), (y(end), y(end)), colour, 0.12 * em, zorder=3.0)
        if math.isfinite(mean):
            drawing.marks(batch.number, [x(n)], [y(mean)], min(0.5 * em, 0.35 * slot), gid=f"mean-{n + 1}")
    _draw_names(page, chart, x, bottom)
    page.quiet(page.left, bottom + 3.9 * em, f"↓ {down}")
    page.quiet(right, bottom + 3.9 * em, "batch, and how many shots", "right")
    return drawing


def _draw_names(page: Page, chart: BatchChart, x: Scale, bottom: float) -> None:
    """Name and number of shots of each batch, in full where that fits for all of them."""
    slot = x(1) - x(0) - 0.3 * page.em
    counts = [len(batch.sample.values) for batch in chart.batches]
    in_full = [batch.name or f"Batch {batch.number}" for batch in chart.batches]
    shots = ["1 shot" if count == 1 else f"{count} shots" for count in counts]
    for row, full, short in (
        (1.2, in_full, [str(batch.number) for batch in chart.batches]),
        (2.5, shots, [str(count) for count in counts]),
    ):
        fit_all = all(page.first_that_fits((words,), slot, 1) for words in full)
        for n, words in enumerate(full if fit_all else short):
            colour = page.canvas.ink if row < 2 else page.canvas.quiet_ink
            page.drawing.words(x(n), bottom + row * page.em, words, page.small, colour, "center")


def _choose_extent(chart: BatchChart, found: list[tuple[float, float, float]]) -> list[float]:
    """Values the scale must take in; the interval of two shots is so wide that it would hide all others."""
    of_three = [ends for ends, batch in zip(found, chart.batches, strict=True) if len(batch.sample.values) > 2]
    means = [mean for mean, _, _ in found]
    return [v for v in (*means, *(end for ends in of_three or found for end in ends)) if math.isfinite(v)]
