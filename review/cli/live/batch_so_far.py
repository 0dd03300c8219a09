"""How the open batch stands, ball by ball: how many, the mean, the last few; no verdict while it is open."""

import math
import re
from collections.abc import Sequence
from statistics import fmean

from review.lesson import KINDS, Batch, Handedness, Lesson, Source, Swing, SwingKind, label
from review.lesson.words import count, say_value

_N_LAST = 3
_NUMBER = re.compile(r"\d+(?:\.\d+)?")


def say_batch_so_far(lesson: Lesson, batch: Batch, swings: Sequence[Swing], hand: Handedness) -> tuple[str, ...]:
    """Say it in parts: 'batch 2, 3 shots: club path mean 3.4° in-to-out', 'last 3.8, 2.9, 3.6°'; () without numbers.

    Practice swings, drills and demonstrations do not count, nor shots without that number.
    """
    name = _choose_measure(lesson)
    values = [
        swing.shot.values[name]
        for swing in swings
        if swing.batch_id == batch.id
        and swing.kind is SwingKind.SHOT
        and swing.shot is not None
        and math.isfinite(swing.shot.values.get(name, math.nan))
    ]
    if not values:
        return ()
    stands = f"batch {batch.number}, {count(len(values), 'shot')}"
    if len(values) == 1:
        return (stands,)
    mean = say_value(name, fmean(values), hand)
    return (f"{stands}: {label(name)} mean {mean}", f"last {_say_row([*values[-_N_LAST:]], name, mean, hand)}")


def _choose_measure(lesson: Lesson) -> str:
    """The first number of the device among the aim's, else the club path."""
    aims = (aim.name for aim in lesson.aim_measures if KINDS[aim.name].source is Source.DEVICE)
    return next(aims, "club_path_deg")


def _say_row(values: Sequence[float], name: str, mean: str, hand: Handedness) -> str:
    """Say values one after the other; the words once, or not at all, where they are the same as the mean's."""
    said = [say_value(name, value, hand) for value in values]
    if {_NUMBER.sub("", one) for one in said} != {_NUMBER.sub("", mean)}:
        return ", ".join(said)
    return ", ".join(found[0] for one in said if (found := _NUMBER.search(one))) + KINDS[name].unit
