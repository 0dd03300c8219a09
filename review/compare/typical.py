"""The swing of a batch to show: the one nearest to its middle."""

import math
from collections.abc import Mapping, Sequence

import numpy as np

from review.compare.keys import keys_in_order
from review.compare.samples import counted, measures_of_swing
from review.compare.spread import compute_robust_sd
from review.lesson import Lesson, Measure, Swing


def choose_typical(
    swings: Sequence[Swing],
    body_measures: Mapping[str, Sequence[Measure]],
    lesson: Lesson,
    needs_clip: bool = True,
) -> Swing | None:
    """Choose the swing nearest to the middle of its batch over the aim's measures.

    The middle is the median of each measure over all swings that count; distances are scaled by the
    median absolute deviation, at least by the error of one reading, and averaged as squares over the
    measures a swing has. Swings that have more of the aim's measures go first; without any, the middle
    swing in order is chosen.

    Parameters
    ----------
    swings : of one batch; ``needs_clip`` keeps only those with a clip among the choices.

    Returns
    -------
    Swing or None
        None when there is nothing to choose from.
    """
    all_counted = counted(swings)
    choices = [s for s in all_counted if s.clips or not needs_clip]
    if not choices:
        return None
    by_swing = {swing.id: measures_of_swing(swing, body_measures) for swing in all_counted}
    keys = keys_in_order(by_swing.values(), lesson.aim_measures)[0]
    values = {
        swing.id: {
            key: measure.value
            for key in keys
            if (measure := by_swing[swing.id].get(key)) is not None and not measure.why_missing
        }
        for swing in all_counted
    }
    repeatability = dict(lesson.repeatability)
    centres = {}
    for key in keys:
        found = [values[swing.id][key] for swing in all_counted if key in values[swing.id]]
        if found:
            errors = [by_swing[swing.id][key].own_sd for swing in all_counted if key in values[swing.id]]
            centre, scale = _centre_and_scale(found)
            # values alike by chance must not make the next one look far away
            centres[key] = centre, max(scale, repeatability.get(key[0], 0.0), float(np.median(errors)))
    if not any(values[swing.id] for swing in choices):
        return choices[(len(choices) - 1) // 2]

    def far(swing: Swing) -> tuple[int, float, int]:
        own = values[swing.id]
        squares = [((own[key] - centres[key][0]) / centres[key][1]) ** 2 for key in own]
        return -len(own), sum(squares) / len(squares) if squares else math.inf, swing.order

    return min(choices, key=far)


def _centre_and_scale(found: Sequence[float]) -> tuple[float, float]:
    centre = float(np.median(found))
    # more than half of the values alike leave no median deviation; all alike leave none at all
    scale = compute_robust_sd(found) or float(np.mean(np.abs(np.asarray(found) - centre))) or 1.0
    return centre, scale
