"""Two batches, of one lesson or of two: which numbers there are and how each compares."""

import math
from collections.abc import Mapping, Sequence

from review.compare.comparing import compare_samples
from review.compare.comparison import Comparison
from review.compare.conditions import Conditions, Difference, conditions_of, find_differences
from review.compare.judging import judge_together
from review.compare.keys import keys_in_order
from review.compare.samples import MeasureKey, Sample, counted, make_sample, measures_of_swing, sample_rows
from review.compare.window import Window
from review.lesson import KINDS, AimMeasure, Batch, Handedness, Lesson, Measure, Source, Swing

_ANOTHER_VISIT = "another visit, and the device may not have stood the same way"
_HANGS_ON_THE_DEVICE = frozenset(
    {"club_path_deg", "face_angle_deg", "launch_direction_deg", "offline_yd", "attack_angle_deg", "launch_angle_deg"}
)
"""Measures that turn with the device when it is set down another way."""


def compare_batches(
    first_swings: Sequence[Swing],
    last_swings: Sequence[Swing],
    body_measures: Mapping[str, Sequence[Measure]],
    lesson: Lesson,
    handedness: Handedness,
    *,
    last_lesson: Lesson | None = None,
    conditions: tuple[Conditions, Conditions] | None = None,
    accept_different: bool = False,
    windows: Mapping[MeasureKey, Window] | None = None,
    counted_as: str = "swing",
) -> tuple[Comparison, ...]:
    """Compare every measure that either batch has, the lesson's aim first and judged together.

    Swings that were left out or are no shots do not count.

    Parameters
    ----------
    body_measures : measures of the body (and of pressure) by swing id, of both lessons.
    lesson : gives the aim, the repeatability and whether the swings' batches are closed.
    handedness : the player's, for the words of values that are only bounds.
    last_lesson : the lesson of the last batch where it is another one. Then the aims of both count, the larger of two
        repeatabilities, and errors of a camera set-up never cancel.
    conditions : clubs, targets and balls of both batches; by default the clubs of shots and batches.
    accept_different : judge although they differ.
    windows : what the coach wants to see, by name and key frame; ('club_path_deg', '').
    counted_as : what the swings' order counts, for remarks: 'swing' of a lesson or 'row' of a table.

    Returns
    -------
    tuple of Comparison
        The aim in its own order (also what was not measured), then the rest in the catalogue's
        order. An aim measure without a key frame takes in all key frames at which it was measured.
    """
    first, last = counted(first_swings), counted(last_swings)
    lessons = (lesson,) if last_lesson is None or last_lesson.id == lesson.id else (lesson, last_lesson)
    both = (*first, *last)
    # a long table has rows alone: a measure object for every cell would take most of the time
    are_rows = not any(body_measures.get(swing.id) for swing in both) if body_measures else True
    there = set().union(*(swing.shot.values for swing in both if swing.shot is not None))
    names = [name for name in KINDS if name in there]
    rows = [sample_rows(swings, names) if are_rows else {} for swings in (first, last)]
    by_swing = {} if are_rows else {swing.id: measures_of_swing(swing, body_measures) for swing in both}
    seen = [[(name, "") for name in names]] if are_rows else by_swing.values()
    aim, others = keys_in_order(seen, aim_of(lessons))
    if conditions is None:
        conditions = (
            conditions_of(first, batch_of(first, lessons[0])),
            conditions_of(last, batch_of(last, lessons[-1])),
        )
    warnings = find_differences(*conditions)
    are_closed = all(closed(swings, held) for swings, held in ((first, lessons[0]), (last, lessons[-1])))
    repeatability = repeatability_of(lessons)
    visits = tuple(held.id for held in lessons) if len(lessons) > 1 else ("", "")

    def sample(side: int, key: MeasureKey) -> Sample:
        if are_rows:
            return (rows[side].get(key[0]) if not key[1] else None) or Sample(())
        swings = (first, last)[side]
        return make_sample(
            [by_swing[s.id].get(key) for s in swings], handedness, [s.order for s in swings], visits[side]
        )

    def compare(key: MeasureKey) -> Comparison:
        return compare_samples(
            key[0],
            sample(0, key),
            sample(1, key),
            key_frame=key[1],
            repeatability=repeatability.get(key[0]),
            batches_closed=are_closed,
            in_aim=key in aim,
            window=(windows or {}).get(key),
            warnings=(*warnings, *warn_of_visit(key[0], len(lessons))),
            accept_different=accept_different,
            counted_as=counted_as,
        )

    return (*judge_together([compare(key) for key in aim]), *(compare(key) for key in others))


def aim_of(lessons: Sequence[Lesson]) -> tuple[AimMeasure, ...]:
    """The aims of the lessons, the earlier's first, each measure once."""
    return tuple(dict.fromkeys(measure for held in lessons for measure in held.aim_measures))


def repeatability_of(lessons: Sequence[Lesson]) -> dict[str, float]:
    """Typical error by measure: the larger one where two lessons state different ones."""
    found: dict[str, float] = {}
    for name, sd in (pair for held in lessons for pair in held.repeatability):
        # a typical error of zero would let every difference count; it is as good as none
        if 0 < sd < math.inf:
            found[name] = max(sd, found.get(name, 0.0))
    return found


def closed(swings: Sequence[Swing], lesson: Lesson) -> bool:
    """Whether all batches of the swings are closed."""
    done = {batch.id for batch in lesson.batches if batch.is_closed}
    return all(swing.batch_id in done for swing in swings)


def batch_of(swings: Sequence[Swing], lesson: Lesson) -> Batch | None:
    """The batch that all swings are of, None where they are of several."""
    ids = {swing.batch_id for swing in swings}
    found = [batch for batch in lesson.batches if batch.id in ids]
    return found[0] if len(found) == 1 else None


def warn_of_visit(name: str, n_lessons: int) -> tuple[Difference, ...]:
    """Warn of a measure that turns with the device, where the batches are of two visits."""
    is_device = KINDS[name].source is Source.DEVICE
    return (Difference("", _ANOTHER_VISIT),) if n_lessons > 1 and is_device and name in _HANGS_ON_THE_DEVICE else ()
