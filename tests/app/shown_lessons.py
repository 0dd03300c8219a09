"""Lessons made up for the chart: a few swings of every sort, their numbers known."""

import math
from datetime import date

from review.jobs.showing.lesson import LessonShown
from review.lesson import Batch, Bound, Handedness, Lesson, Measure, Pupil, Swing, SwingKind

PATH = ("club_path_deg", "")
TURN = ("hip_turn_deg", "impact")


def path(value: float) -> Measure:
    return Measure("club_path_deg", value)


def make_lesson(
    measures: list[Measure | None],
    batch_of: list[int | None],
    *,
    kinds: dict[int, SwingKind] | None = None,
    left_out: dict[int, str] | None = None,
    doubts: dict[int, str] | None = None,
    open_batches: tuple[int, ...] = (),
    n_batches: int = 2,
    handedness: Handedness = Handedness.RIGHT,
) -> LessonShown:
    """A lesson of one number a swing; swings count from 1, ``batch_of`` holds batch numbers."""
    batches = tuple(Batch(f"b{n}", n, cue=f"cue {n}", is_closed=n not in open_batches) for n in range(1, n_batches + 1))
    swings = tuple(
        Swing(
            f"s{n}",
            n,
            kind=(kinds or {}).get(n, SwingKind.SHOT),
            batch_id=None if number is None else f"b{number}",
            left_out=(left_out or {}).get(n, ""),
        )
        for n, number in enumerate(batch_of, start=1)
    )
    found = {
        swing.id: {} if measure is None else {(measure.name, measure.key_frame): measure}
        for swing, measure in zip(swings, measures, strict=True)
    }
    keys = tuple(dict.fromkeys(key for own in found.values() for key in own if math.isfinite(own[key].value)))
    return LessonShown(
        Pupil("p", "Pat Example", handedness),
        Lesson("l", "p", date(2026, 3, 14), batches=batches),
        swings,
        found,
        keys,
        0,
        {f"s{n}": (why,) for n, why in (doubts or {}).items()},
    )


def at_least(value: float) -> Measure:
    return Measure("shoulder_turn_deg", value, "top", bound=Bound.AT_LEAST)
