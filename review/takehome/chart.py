"""The run chart of one measure: swings in order, batches as bands with their mean."""

import math
from collections.abc import Callable
from dataclasses import dataclass
from itertools import groupby

from review.charts.axis import choose_ticks
from review.charts.looks import look_of
from review.lesson.words import count
from review.takehome.contents import Chart, ChartPoint
from review.takehome.text import clean

WIDTH, HEIGHT = 480, 330
_LEFT, _RIGHT, _TOP, _BOTTOM = 58.0, 470.0, 66.0, 288.0
_MARK = 7.5
_MARK_ROOM, _LETTER = 30.0, 10.8
"""Room for the mark before a heading, and for a letter of the widest lettering a page may fall back on."""


@dataclass(frozen=True)
class DrawnPoint:
    """One mark: ``outline`` for a polygon, ``look`` the number of its colour, what it says when pointed at."""

    outline: str
    look: int
    left_out: bool
    words: str


@dataclass(frozen=True)
class Band:
    """One batch: its place, its heading and its mean line (``mean_y`` None when every swing is left out)."""

    x: float
    width: float
    is_shaded: bool
    heading: str
    mean_words: str
    mean_y: float | None
    look: int
    outline: str


@dataclass(frozen=True)
class Tick:
    """A mark on an axis."""

    at: float
    words: str


@dataclass(frozen=True)
class DrawnChart:
    """Everything of a chart in the units of a picture ``WIDTH`` x ``HEIGHT``; ``summary`` says it in words."""

    title: str
    up_words: str
    down_words: str
    summary: str
    points: tuple[DrawnPoint, ...]
    bands: tuple[Band, ...]
    y_ticks: tuple[Tick, ...]
    x_ticks: tuple[Tick, ...]
    zero_y: float | None
    left: float = _LEFT
    right: float = _RIGHT
    top: float = _TOP
    bottom: float = _BOTTOM


def draw_chart(chart: Chart) -> DrawnChart | None:
    """Return the geometry of a run chart, None when it has no swing."""
    points = sorted(chart.points, key=lambda point: point.order)
    if not points:
        return None
    steps, decimals = choose_ticks([point.value for point in points])
    low, high = steps[0], steps[-1]
    first, last = points[0].order - 0.5, points[-1].order + 0.5
    unit = _unit(chart.unit)

    def x_of(order: float) -> float:
        return round(_LEFT + (order - first) / (last - first) * (_RIGHT - _LEFT), 2)

    def y_of(value: float) -> float:
        return round(_BOTTOM - (value - low) / (high - low) * (_BOTTOM - _TOP), 2)

    def say(value: float) -> str:
        return f"{value:.{chart.decimals}f}".replace("-", "\u2212") + unit

    runs = [list(run) for _, run in groupby(points, key=lambda point: point.batch_number)]
    bands = []
    for n, run in enumerate(runs):
        number = run[0].batch_number
        x = x_of((runs[n - 1][-1].order + run[0].order) / 2 if n else first)
        end = x_of((run[-1].order + runs[n + 1][0].order) / 2 if n + 1 < len(runs) else last)
        counted = [point.value for point in run if not point.left_out]
        mean = math.fsum(counted) / len(counted) if counted else None
        letters = (end - x - _MARK_ROOM) / _LETTER
        heading = f"Batch {number}" if letters >= len(f"Batch {number}") else f"{number}"
        mean_words = "" if mean is None else f"mean {say(mean)}"
        if len(mean_words) > (end - x) / _LETTER:
            mean_words = mean_words.removeprefix("mean ")
        mean_y = None if mean is None else y_of(mean)
        mark = _outline(number, x + 14.0, 17.0)
        bands.append(Band(x, round(end - x, 2), n % 2 == 0, heading, mean_words, mean_y, _look(number), mark))
    return DrawnChart(
        title=clean(chart.title),
        up_words=clean(chart.up_words),
        down_words=clean(chart.down_words),
        summary=_summarize(runs, say),
        points=tuple(
            DrawnPoint(
                _outline(point.batch_number, x_of(point.order), y_of(point.value)),
                _look(point.batch_number),
                point.left_out,
                f"Swing {point.order}, batch {point.batch_number}: {say(point.value)}"
                + (", left out" if point.left_out else ""),
            )
            for point in points
        ),
        bands=tuple(bands),
        y_ticks=tuple(
            Tick(y_of(value), f"{value:.{decimals}f}".replace("-", "\u2212") + (unit if unit in ("°", "%") else ""))
            for value in steps
        ),
        x_ticks=_order_ticks(points, x_of),
        zero_y=y_of(0.0) if low < 0.0 < high else None,
    )


def _unit(unit: str) -> str:
    unit = clean(unit)
    return unit if unit in ("", "°", "%") else f"\u00a0{unit}"


def _look(batch_number: int) -> int:
    return (batch_number - 1) % 5


def _outline(batch_number: int, x: float, y: float) -> str:
    return " ".join(f"{x + a * _MARK:.1f},{y + b * _MARK:.1f}" for a, b in look_of(batch_number).corners)


def _summarize(runs: list[list[ChartPoint]], say: Callable[[float], str]) -> str:
    parts = []
    for run in runs:
        counted = [point.value for point in run if not point.left_out]
        mean = f"mean {say(math.fsum(counted) / len(counted))}" if counted else "all left out"
        parts.append(f"Batch {run[0].batch_number}: {count(len(run), 'swing')}, {mean}")
    return ". ".join(parts) + "."


def _order_ticks(points: list[ChartPoint], x_of: Callable[[float], float]) -> tuple[Tick, ...]:
    first, last = points[0].order, points[-1].order
    every = max(1, math.ceil((last - first + 1) / 10))
    return tuple(Tick(x_of(order), str(order)) for order in range(first, last + 1, every))
