"""Two batches of a lesson: which numbers there are, how each compares, and the swing to show."""

import math
from collections import Counter
from collections.abc import Mapping, Sequence

import numpy as np

from review.compare.comparison import Comparison, Sample, compare_samples
from review.lesson import KINDS, Bound, Handedness, KeyFrameName, Lesson, Measure, Shot, Swing, SwingKind
from review.lesson.words import say_measure

MeasureKey = tuple[str, str]
"""Name and key frame of a measure."""

_KEY_FRAMES = [k.value for k in KeyFrameName]
_MAD_TO_SD = 1.4826022185056018
"""Standard deviations of a normal distribution in one median absolute deviation, 1 / Phi^-1(3/4)."""


def measures_of_shot(shot: Shot) -> tuple[Measure, ...]:
    """Turn a row of the device's table into measures, in the catalogue's order; unknown names stay out."""
    return tuple(
        Measure(name, shot.values[name]) for name in KINDS if name in shot.values and math.isfinite(shot.values[name])
    )


def compare_batches(
    first_swings: Sequence[Swing],
    last_swings: Sequence[Swing],
    body_measures: Mapping[str, Sequence[Measure]],
    lesson: Lesson,
    handedness: Handedness,
) -> tuple[Comparison, ...]:
    """Compare every measure that either batch has, the lesson's aim first.

    Swings that were left out or are no shots do not count.

    Parameters
    ----------
    body_measures : measures of the body by swing id.
    lesson : gives the aim, the repeatability and whether the swings' batches are closed.
    handedness : the player's, for the words of values that are only bounds.

    Returns
    -------
    tuple of Comparison
        The aim in its own order (also what was not measured), then the rest in the catalogue's
        order. An aim measure without a key frame takes in all key frames at which it was measured.
    """
    first, last = _counted(first_swings), _counted(last_swings)
    by_swing = {swing.id: _measures_of(swing, body_measures) for swing in (*first, *last)}
    aim, others = _keys_in_order(by_swing, lesson)
    closed = {batch.id for batch in lesson.batches if batch.is_closed}
    are_closed = all(swing.batch_id in closed for swing in (*first, *last))
    # a typical error of zero would let every difference count; it is as good as none
    repeatability = {name: sd for name, sd in lesson.repeatability if 0 < sd < math.inf}
    return tuple(
        compare_samples(
            name,
            _sample([by_swing[s.id].get((name, key_frame)) for s in first], handedness),
            _sample([by_swing[s.id].get((name, key_frame)) for s in last], handedness),
            key_frame=key_frame,
            repeatability=repeatability.get(name),
            batches_closed=are_closed,
            in_aim=(name, key_frame) in aim,
        )
        for name, key_frame in (*aim, *others)
    )


def choose_typical(
    swings: Sequence[Swing],
    body_measures: Mapping[str, Sequence[Measure]],
    lesson: Lesson,
    needs_clip: bool = True,
) -> Swing | None:
    """Choose the swing nearest to the middle of its batch over the aim's measures.

    The middle is the median of each measure over all swings that count; distances are scaled by the
    median absolute deviation and averaged as squares over the measures a swing has. Swings that
    have more of the aim's measures go first; without any, the middle swing in order is chosen.

    Parameters
    ----------
    swings : of one batch; ``needs_clip`` keeps only those with a clip among the choices.

    Returns
    -------
    Swing or None
        None when there is nothing to choose from.
    """
    counted = _counted(swings)
    choices = sorted((s for s in counted if s.clips or not needs_clip), key=lambda swing: swing.order)
    if not choices:
        return None
    by_swing = {swing.id: _measures_of(swing, body_measures) for swing in counted}
    keys = _keys_in_order(by_swing, lesson)[0]
    values = {
        swing.id: {
            key: measure.value
            for key in keys
            if (measure := by_swing[swing.id].get(key)) is not None and not measure.why_missing
        }
        for swing in counted
    }
    centres = {}
    for key in keys:
        found = [values[swing.id][key] for swing in counted if key in values[swing.id]]
        if found:
            centres[key] = _centre_and_scale(found)
    if not any(values[swing.id] for swing in choices):
        return choices[(len(choices) - 1) // 2]

    def far(swing: Swing) -> tuple[int, float, int]:
        own = values[swing.id]
        squares = [((own[key] - centres[key][0]) / centres[key][1]) ** 2 for key in own]
        return -len(own), sum(squares) / len(squares) if squares else math.inf, swing.order

    return min(choices, key=far)


def _counted(swings: Sequence[Swing]) -> list[Swing]:
    return [swing for swing in swings if swing.kind is SwingKind.SHOT and not swing.left_out]


def _measures_of(swing: Swing, body_measures: Mapping[str, Sequence[Measure]]) -> dict[MeasureKey, Measure]:
    device = measures_of_shot(swing.shot) if swing.shot is not None else ()
    found: dict[MeasureKey, Measure] = {}
    for measure in (*device, *body_measures.get(swing.id, ())):
        key = (measure.name, measure.key_frame)
        if key not in found or found[key].why_missing:
            found[key] = measure
    return found


def _keys_in_order(
    by_swing: Mapping[str, Mapping[MeasureKey, Measure]], lesson: Lesson
) -> tuple[list[MeasureKey], list[MeasureKey]]:
    """Keys of the aim in its order, and all others in the catalogue's."""
    names = list(KINDS)
    seen = {key for measures in by_swing.values() for key in measures}
    in_catalogue = sorted(seen, key=lambda key: (names.index(key[0]), _place(key[1]), key[1]))
    aim: list[MeasureKey] = []
    for wanted in lesson.aim_measures:
        key = (wanted.name, wanted.key_frame)
        if key in seen or wanted.key_frame:
            expanded = [key]
        else:
            expanded = [other for other in in_catalogue if other[0] == wanted.name] or [key]
        aim.extend(k for k in expanded if k not in aim)
    return aim, [key for key in in_catalogue if key not in aim]


def _place(key_frame: str) -> int:
    return _KEY_FRAMES.index(key_frame) if key_frame in _KEY_FRAMES else -1


def _sample(measures: Sequence[Measure | None], handedness: Handedness) -> Sample:
    there = [m for m in measures if m is not None and not m.why_missing]
    exact = [m for m in there if m.bound is Bound.NONE]
    bounded = [m for m in there if m.bound is not Bound.NONE]
    reasons = Counter(m.why_missing for m in measures if m is not None and m.why_missing)
    setups = {m.setup for m in exact}
    shared = math.sqrt(sum(m.shared_sd**2 for m in exact) / len(exact)) if exact else 0.0
    return Sample(
        values=tuple(m.value for m in exact),
        own_sds=tuple(m.own_sd for m in exact),
        shared_sd=shared,
        setup=setups.pop() if len(setups) == 1 else "",
        n_bounded=len(bounded),
        bounded_as=say_measure(min(bounded, key=lambda m: abs(m.value)), handedness) if bounded else "",
        bounded_side=_side_of_bounds(exact, bounded),
        why_missing=reasons.most_common(1)[0][0] if reasons else "",
    )


def _side_of_bounds(exact: Sequence[Measure], bounded: Sequence[Measure]) -> int:
    """Side of the exact values' mean on which all true values behind the bounds must lie; 0 where not known."""
    if not exact or any(m.bound is not Bound.AT_LEAST for m in bounded):
        return 0
    mean = sum(m.value for m in exact) / len(exact)
    # "at least" holds for the size of a number on its own side of zero
    if all(m.value > max(mean, 0.0) for m in bounded):
        return 1
    return -1 if all(m.value < min(mean, 0.0) for m in bounded) else 0


def _centre_and_scale(found: Sequence[float]) -> tuple[float, float]:
    centre = float(np.median(found))
    deviations = np.abs(np.asarray(found) - centre)
    # more than half of the values alike leave no median deviation; all alike leave none at all
    scale = _MAD_TO_SD * float(np.median(deviations)) or float(np.mean(deviations)) or 1.0
    return centre, scale
