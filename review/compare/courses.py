"""All batches of a lesson, or of several lessons, in order: every measure along the way."""

from collections.abc import Mapping, Sequence

from review.compare.batches import aim_of, batch_of, closed, repeatability_of, warn_of_visit
from review.compare.conditions import Conditions, conditions_of, find_differences
from review.compare.keys import keys_in_order
from review.compare.samples import MeasureKey, counted, make_sample, measures_of_swing
from review.compare.several import Course, compare_course
from review.compare.window import Window
from review.lesson import Handedness, Lesson, Measure, Swing


def compare_all_batches(
    batches: Sequence[Sequence[Swing]],
    body_measures: Mapping[str, Sequence[Measure]],
    lessons: Sequence[Lesson],
    handedness: Handedness,
    *,
    conditions: Sequence[Conditions] | None = None,
    accept_different: bool = False,
    windows: Mapping[MeasureKey, Window] | None = None,
) -> tuple[Course, ...]:
    """Compare every measure over all batches in order, the aim first.

    Each measure is judged over its batches (Holm over the later ones against the first), not over the aim.

    Parameters
    ----------
    batches : swings of two batches or more, in order.
    lessons : the lesson of each batch, one a batch.
    conditions : one a batch; by default the clubs of shots and batches.
    body_measures, handedness, accept_different, windows : as for :func:`compare_batches`.

    Raises
    ------
    ValueError
        When there are fewer than two batches, or the counts do not agree.
    """
    if len(batches) < 2 or len(lessons) != len(batches) or (conditions is not None and len(conditions) != len(batches)):
        raise ValueError("expected two batches or more, and one lesson (and one entry of conditions) a batch")
    shots = [counted(batch) for batch in batches]
    visits = list(dict.fromkeys(held.id for held in lessons))
    by_swing = {s.id: measures_of_swing(s, body_measures) for batch in shots for s in batch}
    aim, others = keys_in_order(by_swing.values(), aim_of(lessons))
    if conditions is None:
        conditions = [conditions_of(batch, batch_of(batch, held)) for batch, held in zip(shots, lessons, strict=True)]
    differ = [find_differences(conditions[0], each) if i else () for i, each in enumerate(conditions)]
    repeatability = repeatability_of(lessons)

    def course(key: MeasureKey) -> Course:
        samples = [
            make_sample(
                [by_swing[s.id].get(key) for s in batch],
                handedness,
                [s.order for s in batch],
                held.id if len(visits) > 1 else "",
            )
            for batch, held in zip(shots, lessons, strict=True)
        ]
        return compare_course(
            key[0],
            samples,
            key_frame=key[1],
            repeatability=repeatability.get(key[0]),
            batches_closed=[closed(batch, held) for batch, held in zip(shots, lessons, strict=True)],
            in_aim=key in aim,
            window=(windows or {}).get(key),
            warnings=[
                (*said, *warn_of_visit(key[0], 1 if held.id == lessons[0].id else 2))
                for said, held in zip(differ, lessons, strict=True)
            ],
            accept_different=accept_different,
        )

    return tuple(course(key) for key in (*aim, *others))
