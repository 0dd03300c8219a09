"""One measure over the years: every visit's batches in order, first and last of each joined, what held in between."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from review.charts.axis import Scale, choose_ticks, least_span, say_heading, say_tick
from review.charts.drawing import Drawing
from review.charts.looks import PHONE, Canvas
from review.charts.page import Page
from review.errors import BadInputError
from review.lesson import KINDS, Handedness
from review.lesson.changes import say_directions

_GAP = 0.8
"""Between two visits, in batches."""
_STEPS = 6


@dataclass(frozen=True)
class HistoryBatch:
    """One batch: ``number`` in its lesson, its values, their mean with its interval; ``joint`` numbers what was said.

    ``joint`` is 0 where nothing was said before it.
    """

    number: int
    values: tuple[float, ...]
    mean: float
    low: float = math.nan
    high: float = math.nan
    joint: int = 0


@dataclass(frozen=True)
class HistoryVisit:
    """One visit: how its day is written (in full, short), what held since ('' = not known), the long run's value."""

    days: tuple[str, ...]
    batches: tuple[HistoryBatch, ...]
    held: str = ""
    long_run: float = math.nan


@dataclass(frozen=True)
class HistoryChart:
    """One measure over all visits; ``joints`` are the words of the numbered joints, in order.

    ``title`` stands in the place of the measure's name and unit in English, ``marks_note`` tells what the marks are.
    """

    name: str
    handedness: Handedness
    visits: tuple[HistoryVisit, ...]
    key_frame: str = ""
    under: str = ""
    joints: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    title: str = ""
    marks_note: str = "Small marks: swings. Large marks: means of batches, upright lines: where they may lie (95%)."


def draw_history_chart(chart: HistoryChart, canvas: Canvas = PHONE) -> Drawing:
    """Draw a history.

    In the SVG the swings of batch n of the k-th visit (from 1) are the group ``swings-k-n``, its mean ``mean-k-n``, the
    line from the visit's first to its last batch ``joined-k``; the long run is ``long-run``.

    Raises
    ------
    BadInputError
        No visit has the measure.
    """
    values = [v for visit in chart.visits for batch in visit.batches for v in batch.values]
    if not values:
        raise BadInputError(f"no visit has a {KINDS[chart.name].label} to draw; choose a measure that was measured")
    ends = [e for visit in chart.visits for b in visit.batches if len(b.values) > 2 for e in (b.low, b.high)]
    known = [*values, *(end for end in ends if math.isfinite(end))]
    ticks, decimals = choose_ticks(known, least_span(chart.name), _STEPS)
    title = chart.title or say_heading(chart.name, chart.key_frame)
    page = Page(canvas, title, (chart.under,), _notes(chart), 24.0)
    em, drawing = page.em, page.drawing
    left = page.left + page.room_for_ticks([say_tick(chart.name, tick, decimals) for tick in ticks])
    band_top, bottom = page.top + 1.9 * em, page.bottom - 1.9 * em
    any_joint = any(batch.joint for visit in chart.visits for batch in visit.batches)
    starts = [0.0]
    for visit in chart.visits:
        starts.append(starts[-1] + len(visit.batches) + _GAP)
    x = Scale(-0.5 - _GAP / 2, starts[-1] - 0.5 - _GAP / 2, left, page.right)
    y = Scale(ticks[0], ticks[-1], bottom - 0.4 * em, band_top + (4.3 if any_joint else 3.0) * em)
    up, down = (canvas.say(words) for words in say_directions(chart.name, ticks[0], ticks[-1], chart.handedness))
    page.drawing.words(page.left, page.top + 1.2 * em, f"↑ {up}", page.small, canvas.quiet_ink)
    page.drawing.words(page.left, bottom + 1.5 * em, f"↓ {down}", page.small, canvas.quiet_ink)
    step = x(1) - x(0)
    days = _choose_days(page, chart, [step * (len(visit.batches) + _GAP) for visit in chart.visits])
    for n, visit in enumerate(chart.visits):
        sides = x(starts[n] - 0.5 - _GAP / 2), x(starts[n + 1] - 0.5 - _GAP / 2)
        if n % 2 == 0:
            drawing.box(sides[0], band_top, sides[1], bottom, canvas.shade, zorder=0.5)
        _draw_heading(page, (days[n], canvas.say(visit.held)), sides, band_top)
        _draw_visit(page, n + 1, visit, [x(starts[n] + k) for k in range(len(visit.batches))], y, step)
    page.draw_grid(chart.name, y, ticks, decimals, left, page.right)
    run = [
        (x(starts[n] + (len(visit.batches) - 1) / 2), y(visit.long_run))
        for n, visit in enumerate(chart.visits)
        if math.isfinite(visit.long_run)
    ]
    if run:
        xs, ys = zip(*run, strict=True)
        drawing.line(xs, ys, canvas.quiet_ink, 0.12 * em, dash=True, gid="long-run", zorder=2.5)
    return drawing


def _choose_days(page: Page, chart: HistoryChart, widths: Sequence[float]) -> tuple[str, ...]:
    """The days, all of them written the longest way that has room at every visit; '' where none has."""
    ways = zip(*(visit.days for visit in chart.visits), strict=True)
    for way in ways:
        if all(page.first_that_fits((day,), w - 0.3 * page.em, 1) for day, w in zip(way, widths, strict=True)):
            return way
    return ("",) * len(chart.visits)


def _draw_heading(page: Page, rows: tuple[str, str], sides: tuple[float, float], top: float) -> None:
    """The day, and beneath it what held where there is room."""
    em, room = page.em, sides[1] - sides[0] - 0.3 * page.em
    for row, words, ink in zip((1.2, 2.5), rows, (page.canvas.ink, page.canvas.quiet_ink), strict=True):
        if words and page.first_that_fits((words,), room, 1):
            page.drawing.words((sides[0] + sides[1]) / 2, top + row * em, words, page.small, ink, "center")


def _draw_visit(page: Page, number: int, visit: HistoryVisit, xs: Sequence[float], y: Scale, step: float) -> None:
    em, drawing, canvas = page.em, page.drawing, page.canvas
    radius = max(1.2, min(0.42 * em, 0.3 * step))
    dot = max(0.8, min(0.2 * em, 0.12 * step))
    means = [(at, batch) for at, batch in zip(xs, visit.batches, strict=True) if math.isfinite(batch.mean)]
    for at, batch in means:
        # beside each other in the order they were struck, so that many are not one heap
        width = min(0.6 * step, 1.6 * em)
        n = len(batch.values)
        spots = [at + width * ((k + 0.5) / n - 0.5) for k in range(n)]
        drawing.marks(
            batch.number,
            spots,
            [y(v) for v in batch.values],
            dot,
            alpha=0.45,
            gid=f"swings-{number}-{batch.number}",
            zorder=2.0,
        )
        colour = canvas.colour_of(batch.number)
        if math.isfinite(batch.low):
            shown = y(max(batch.low, y.low)), y(min(batch.high, y.high))
            drawing.line((at, at), shown, colour, 0.16 * em, gid=f"interval-{number}-{batch.number}", zorder=3.0)
        drawing.marks(batch.number, [at], [y(batch.mean)], radius, gid=f"mean-{number}-{batch.number}")
    if len(means) > 1:
        (start, first), (end, last) = means[0], means[-1]
        drawing.line(
            (start, end), (y(first.mean), y(last.mean)), canvas.ink, 0.1 * em, gid=f"joined-{number}", zorder=2.8
        )
    for before, (at, batch) in zip(means, means[1:], strict=False):
        if batch.joint and step > 1.3 * em:
            words_px = y.high_px - 0.35 * em
            drawing.words((before[0] + at) / 2, words_px, str(batch.joint), page.small, canvas.quiet_ink, "center")


def _notes(chart: HistoryChart) -> list[str]:
    notes = [f"{n} {words}" for n, words in enumerate(chart.joints, start=1)]
    notes.append(chart.marks_note)
    if any(math.isfinite(visit.long_run) for visit in chart.visits):
        notes.append("Broken line: what visits began with, the later ones counting more.")
    return [*notes, *chart.notes]
