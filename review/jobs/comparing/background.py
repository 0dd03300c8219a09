"""What stands behind the numbers of two batches: how the balls flew, rows that may be misread, what moved along."""

import math
from collections import Counter
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from review.compare import Companion, Comparison, choose_typical, find_companions
from review.compare.samples import counted
from review.compare.verdict import say_size
from review.lesson import Handedness, Lesson, Measure, Shot, Swing
from review.lesson.words import say_value
from review.shots.flight import compute_flight, find_club_kind, find_shape, make_launch, say_why
from review.shots.plausibility import Doubt, Means, compute_means, find_doubts
from review.shots.terms import MEASURES

_MOST_ROWS_FLOWN = 500
"""A launch takes about 1.5 ms to be flown beside the row's carry; the other checks 0.1 ms."""
_MOST_ROWS = 5000


@dataclass(frozen=True)
class Flights:
    """How the balls of one batch flew: ``shapes`` from the most frequent on, and why the typical one did so.

    ``carry_yd`` and ``height_yd`` are means worked out from the launches where the device gives no carry, else NaN.
    """

    shapes: tuple[tuple[str, int], ...]
    typical: int | None
    why: str
    carry_yd: float = math.nan
    height_yd: float = math.nan


@dataclass(frozen=True)
class Background:
    """What a coach should know beside a comparison.

    ``doubts`` are (number of the swing, doubt). ``means`` are those of the aim's device measures, and of those that a
    doubt names, in the first and the last batch, with and without doubtful rows. ``companions`` are the body's
    measures that moved together with the aim over the whole lesson. ``counted_as`` says what the numbers count,
    ``n_rows`` how many rows were looked at.
    """

    flights: tuple[Flights, Flights]
    doubts: tuple[tuple[int, Doubt], ...]
    means: tuple[tuple[str, Means], ...]
    companions: tuple[Companion, ...]
    counted_as: str = "swing"
    n_rows: int = 0


def find_background(
    first_swings: Sequence[Swing],
    last_swings: Sequence[Swing],
    all_swings: Sequence[Swing],
    body: Mapping[str, Sequence[Measure]],
    lesson: Lesson,
    handedness: Handedness,
    counted_as: str = "swing",
) -> Background:
    """Find what stands behind two batches; ``all_swings`` are those over which measures may move together.

    Batches of more than 5000 rows together are no lesson: their rows are not looked at one by one.
    """
    if len(first_swings) + len(last_swings) > _MOST_ROWS:
        return Background((Flights((), None, ""), Flights((), None, "")), (), (), (), counted_as)
    sides = tuple(counted(swings) for swings in (first_swings, last_swings))
    doubts: list[tuple[int, Doubt]] = []
    means: list[tuple[str, Means]] = []
    for which, swings in zip(("first", "last"), sides, strict=True):
        numbers = {swing.shot.id: swing.order for swing in swings if swing.shot is not None}
        found = find_doubts(_shots(swings), handedness, is_carry_checked=len(swings) <= _MOST_ROWS_FLOWN)
        doubts += [(numbers[doubt.shot_id], doubt) for doubt in found]
        doubted = [name for doubt in found for name in doubt.measures if name in MEASURES]
        for name in dict.fromkeys((*(aim.name for aim in lesson.aim_measures), *doubted)):
            both = compute_means(name, _shots(swings), found)
            said = [say_value(name, mean, handedness) for mean in (both.mean, both.mean_without)]
            if 0 < both.n_without < both.n and said[0] != said[1]:
                means.append((which, both))
    odd = {doubt.shot_id for _, doubt in doubts}
    n_rows = sum(len(_shots(swings)) for swings in sides)
    flights = [_flights(swings, body, lesson, handedness, odd) for swings in sides]
    companions = find_companions(all_swings, body, lesson)
    return Background((flights[0], flights[1]), tuple(doubts), tuple(means), companions, counted_as, n_rows)


def mark_doubted(
    comparisons: Sequence[Comparison], background: Background, sides: tuple[Sequence[Swing], Sequence[Swing]]
) -> tuple[Comparison, ...]:
    """Say at a measure of the aim which doubted rows count in it, and what the difference is without them.

    How many more shots would make it clear is then not said: a misread row decides it.
    """
    marked = []
    for c in comparisons:
        odd = {doubt.shot_id: order for order, doubt in background.doubts if c.name in doubt.measures}
        orders = sorted(odd.values())
        if not c.in_aim or c.key_frame or not orders or not c.n_first or not c.n_last:
            marked.append(c)
            continue
        first, last = (
            [s.values[c.name] for s in _shots(counted(swings)) if c.name in s.values and s.id not in odd]
            for swings in sides
        )
        if not first or not last:
            marked.append(c)
            continue
        difference = math.fsum(last) / len(last) - math.fsum(first) / len(first)
        rows = f"{background.counted_as}{'s' if len(orders) > 1 else ''} {', '.join(map(str, orders))}"
        other_way = " the other way" if difference * c.difference < 0 else ""
        remark = f"{rows} may be misread: without, the difference is {say_size(c.name, difference)}{other_way}"
        marked.append(replace(c, remarks=(remark, *c.remarks), more_shots=None, more_shots_words=""))
    return tuple(marked)


def _shots(swings: Sequence[Swing]) -> list[Shot]:
    return [swing.shot for swing in swings if swing.shot is not None]


def _flights(
    swings: Sequence[Swing],
    body: Mapping[str, Sequence[Measure]],
    lesson: Lesson,
    handedness: Handedness,
    odd: Collection[str],
) -> Flights:
    shapes = [find_shape(shot.values, handedness, find_club_kind(shot.club)) for shot in _shots(swings)]
    counts = Counter(shape.words for shape in shapes if shape.start is not None or shape.curve is not None)
    with_row = [swing for swing in swings if swing.shot is not None]
    sound = [swing for swing in with_row if swing.shot is not None and swing.shot.id not in odd]
    typical = choose_typical(sound or with_row, body, lesson, needs_clip=False)
    carry_yd, height_yd = _fly([swing.shot for swing in sound or with_row if swing.shot is not None])
    if typical is None or typical.shot is None:
        return Flights(tuple(counts.most_common()), None, "")
    shot = typical.shot
    return Flights(
        tuple(counts.most_common()),
        typical.order,
        say_why(shot.values, handedness, find_club_kind(shot.club)),
        carry_yd,
        height_yd,
    )


def _fly(shots: Sequence[Shot]) -> tuple[float, float]:
    """Mean carry and height that the launches give, yards; NaN where the device has carries or none can be flown."""
    if len(shots) > _MOST_ROWS_FLOWN or any("carry_yd" in shot.values for shot in shots):
        return math.nan, math.nan
    launch = make_launch(shots)
    if not np.isfinite(launch.ball_speed_mph).any():
        return math.nan, math.nan
    flown = compute_flight(launch)
    flies = np.isfinite(flown.carry_yd)
    if not flies.any():
        return math.nan, math.nan
    return float(np.mean(flown.carry_yd[flies])), float(np.mean(flown.height_yd[flies]))
