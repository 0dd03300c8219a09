"""First batch against last: every shot, both means, and the difference with its interval on a scale of its own.

The difference's scale has its zero at the first batch's mean, so that it stands level with the last batch's mean
(M. J. Gardner, D. G. Altman 1986, Confidence intervals rather than P values, BMJ 292:746-750).
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from review.charts.axis import Scale, choose_ticks, least_span, say_heading, say_short, say_tick
from review.charts.drawing import Drawing
from review.charts.looks import PHONE, Canvas
from review.charts.means import compute_mean_interval
from review.charts.page import Page, say_name
from review.compare.comparison import Comparison
from review.compare.samples import Sample
from review.errors import BadInputError
from review.lesson import KINDS, Handedness
from review.lesson.changes import say_change, say_change_directions, say_change_interval, say_directions
from review.lesson.words import say_value
from review.lettering import capitalise


@dataclass(frozen=True)
class StripPlot:
    """One measure of two batches: the shots that counted, and what was found of them.

    ``numbers`` are the batches' numbers, which give colour and mark; ``names`` what they are called,
    'Batch 1' where empty (for two lessons: 'March, batch 2'). ``is_bare`` leaves out verdict and notes, for a page that
    says them itself.
    """

    comparison: Comparison
    first: Sample
    last: Sample
    handedness: Handedness
    numbers: tuple[int, int] = (1, 2)
    names: tuple[str, str] = ("", "")
    under: str = ""
    is_bare: bool = False


def draw_strip_plot(plot: StripPlot, canvas: Canvas = PHONE) -> Drawing:
    """Draw two batches side by side with their difference.

    In the SVG the marks are the groups ``first`` and ``last``, in the order they were struck; ``first-mean``,
    ``last-mean``, ``difference`` are the means, ``first-interval``, ``last-interval``,
    ``difference-interval`` the upright lines of their 95 % intervals.

    Raises
    ------
    BadInputError
        Neither batch has the measure.
    """
    c, hand = plot.comparison, plot.handedness
    means = [compute_mean_interval(sample.values) for sample in (plot.first, plot.last)]
    known = [v for v in (*plot.first.values, *plot.last.values, *means[0], *means[1]) if math.isfinite(v)]
    if not known:
        raise BadInputError(f"no shot of the two batches has a {KINDS[c.name].label}; choose another measure")
    has_difference = math.isfinite(c.difference)
    difference_ends = [c.mean_first + v for v in (c.difference, c.low, c.high, 0.0) if math.isfinite(v)]
    ticks, decimals = choose_ticks([*known, *(difference_ends if has_difference else [])], least_span(c.name))
    under, notes = ((plot.under,), []) if plot.is_bare else ((plot.under, say_verdict(c, hand)), _notes(plot))
    page = Page(canvas, say_heading(c.name, c.key_frame), under, notes, 22.0)
    em, right = page.em, page.right
    left = page.left + page.room_for_ticks([say_tick(c.name, tick, decimals) for tick in ticks])
    top, bottom = page.top + 2.0 * em, page.bottom - 4.5 * em
    y = Scale(ticks[0], ticks[-1], bottom - 0.5 * em, top + 0.5 * em)
    end = left + (0.64 if has_difference else 1.0) * (right - left)
    up, down = say_directions(c.name, ticks[0], ticks[-1], hand)
    page.quiet(page.left, page.top + 1.2 * em, f"↑ {up}")
    page.quiet(page.left, bottom + 4.0 * em, f"↓ {down}")
    page.draw_grid(c.name, y, ticks, decimals, left, end)
    half = (end - left) / 4
    for n, (sample, which) in enumerate(((plot.first, "first"), (plot.last, "last"))):
        _draw_column(page, plot, sample, n, which, (left + half * (1 + 2 * n), half, bottom), y)
    if has_difference:
        _draw_difference(page, plot, y, (end + 0.8 * em, right, bottom), (ticks[1] - ticks[0], decimals))
    return page.drawing


def say_verdict(c: Comparison, handedness: Handedness) -> str:
    """Say what was found: 'Clear: 3.6° less in-to-out'."""
    verdict = capitalise(c.verdict.value)
    if not math.isfinite(c.difference):
        return f"{verdict}: {c.why}" if c.why else verdict
    return f"{verdict}: {say_change(c.name, c.mean_first, c.mean_last, handedness)}"


def _notes(plot: StripPlot) -> list[str]:
    c, hand = plot.comparison, plot.handedness
    interval = say_change_interval(c.name, c.mean_first, c.mean_last, c.low, c.high, hand)
    notes = [f"The change lies within {interval} (95%)." if interval else ""]
    if c.why and math.isfinite(c.difference):
        notes.append(capitalise(f"{c.why}."))
    notes.append("Dots left to right as struck; beside them the mean and where it may lie (95%).")
    for sample, n in ((plot.first, 0), (plot.last, 1)):
        if sample.n_bounded:
            notes.append(
                f"{say_name(plot.numbers[n], plot.names[n])}: {sample.n_bounded} not counted, {sample.bounded_as}."
            )
    return [note for note in notes if note]


def _draw_column(
    page: Page, plot: StripPlot, sample: Sample, n: int, which: str, place: tuple[float, float, float], y: Scale
) -> None:
    (middle, half, bottom), em, drawing, number = place, page.em, page.drawing, plot.numbers[n]
    name = page.cut(plot.names[n] or f"Batch {number}", 2 * half - 2.0 * em)
    page.drawing.marks(number, [middle - half + 0.9 * em], [bottom + 0.85 * em], 0.42 * em)
    page.drawing.words(middle - half + 1.6 * em, bottom + 1.2 * em, name, page.small)
    mean, low, high = compute_mean_interval(sample.values)
    if not sample.values:
        page.quiet(middle, (y.low_px + y.high_px) / 2, "not measured", "center")
        return
    words = say_value(plot.comparison.name, mean, plot.handedness)
    for line in page.first_that_fits((words, say_short(plot.comparison.name, mean)), 2 * half - 0.4 * em, 1):
        page.quiet(middle - half + 0.5 * em, bottom + 2.4 * em, line)
    n_shots = len(sample.values)
    offsets = np.linspace(-0.72, 0.32, n_shots) if n_shots > 1 else np.asarray([-0.2])
    radius = max(2.2, min(0.45 * em, 0.6 * half / max(n_shots, 2)))
    xs = [round(float(middle + half * offset), 3) for offset in offsets]
    drawing.marks(number, xs, [y(v) for v in sample.values], radius, gid=which)
    _draw_mean(page, middle + 0.66 * half, [y(v) for v in (mean, low, high)], page.canvas.colour_of(number), which)


def _draw_difference(
    page: Page, plot: StripPlot, y: Scale, place: tuple[float, float, float], steps: tuple[float, int]
) -> None:
    (left, right, bottom), (step, decimals), em, c = place, steps, page.em, plot.comparison
    up, down = say_change_directions(c.name, c.mean_first, plot.handedness)
    page.quiet(right, page.top + 1.2 * em, f"{up} ↑", "right")
    page.quiet(right, bottom + 4.0 * em, f"{down} ↓", "right")
    page.drawing.words(right, bottom + 1.2 * em, "change", page.small, align="right")
    scale = Scale(y.low - c.mean_first, y.high - c.mean_first, y.low_px, y.high_px)
    ticks = [n * step for n in range(math.ceil(scale.low / step), math.floor(scale.high / step) + 1)]
    labels = [f"{abs(tick):.{decimals}f}{KINDS[c.name].unit if KINDS[c.name].unit == '°' else ''}" for tick in ticks]
    edge = right - page.room_for_ticks(labels)
    for tick, label in zip(ticks, labels, strict=True):
        is_zero = abs(tick) < 1e-9
        colour = page.canvas.quiet_ink if is_zero else page.canvas.line
        page.drawing.line((left, edge), (scale(tick),) * 2, colour, em / 13, dash=is_zero, zorder=1.5)
        page.quiet(right, scale(tick) + 0.33 * em, label, "right")
    ys = [scale(v) for v in (c.difference, c.low, c.high)]
    _draw_mean(page, (left + edge) / 2, ys, page.canvas.ink, "difference")


def _draw_mean(page: Page, x: float, ys: Sequence[float], colour: str, which: str) -> None:
    """A bar across at the mean and, where there is one, its interval upright."""
    em, (mean, low, high) = page.em, ys
    gid = which if which == "difference" else f"{which}-mean"
    page.drawing.line((x - 0.55 * em, x + 0.55 * em), (mean, mean), colour, 0.26 * em, gid=gid, zorder=5.0)
    if math.isfinite(low) and math.isfinite(high):
        page.drawing.line((x, x), (low, high), colour, 0.14 * em, gid=f"{which}-interval", zorder=4.5)
        for end in (low, high):
            page.drawing.line((x - 0.25 * em, x + 0.25 * em), (end, end), colour, 0.1 * em, zorder=4.5)
