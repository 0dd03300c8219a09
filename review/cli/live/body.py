"""The body's numbers of one swing in a live lesson: the aim's, in few words."""

from collections.abc import Sequence

from review.lesson import AimMeasure, Handedness, KeyFrameName, Lesson, Measure
from review.lesson.words import say_measure
from review.pose import Effort

_DEFAULT = tuple(AimMeasure(name, KeyFrameName.IMPACT.value) for name in ("hip_turn_deg", "shoulder_turn_deg"))
_SHORT = {"hip_turn_deg": "hips", "shoulder_turn_deg": "shoulders", "trail_heel_lift_cm": "trail heel"}


def say_body(
    lesson: Lesson, measures: Sequence[Measure], effort: Effort, hand: Handedness, told: set[tuple[str, str, str]]
) -> tuple[str, ...]:
    """Say the aim's body numbers, else the turns at impact: 'hips at impact open 31° (24 to 38)'.

    Why a number is missing is said once in a lesson and run; ``told`` remembers what was said.
    """
    by_name = {(measure.name, measure.key_frame): measure for measure in measures}
    aims = [aim for aim in lesson.aim_measures if (aim.name, aim.key_frame) in by_name] or list(_DEFAULT)
    parts = []
    for aim in aims:
        measure = by_name.get((aim.name, aim.key_frame))
        if measure is None:
            continue
        if measure.why_missing:
            reason = (measure.label, measure.why_missing, effort.value)
            if reason in told:
                continue
            told.add(reason)
        parts.append(f"{_name(measure)} {say_measure(measure, hand)}")
    return tuple(parts)


def _name(measure: Measure) -> str:
    if measure.name not in _SHORT:
        return measure.label
    return f"{_SHORT[measure.name]} at {measure.key_frame}" if measure.key_frame else _SHORT[measure.name]
