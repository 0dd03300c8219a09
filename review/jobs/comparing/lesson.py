"""First batch of a lesson against the last."""

from dataclasses import dataclass

from review.compare import Comparison, compare_batches, measures_of_shot
from review.errors import BadInputError
from review.lesson import Batch, Lesson, Measure, Pupil, Swing
from review.library import Library


@dataclass(frozen=True)
class LessonComparison:
    """Two batches of a lesson side by side, the aim's measures first."""

    pupil: Pupil
    lesson: Lesson
    first: Batch
    last: Batch
    first_swings: tuple[Swing, ...]
    last_swings: tuple[Swing, ...]
    measures: dict[str, tuple[Measure, ...]]
    comparisons: tuple[Comparison, ...]


def compare_lesson(
    library: Library, lesson: Lesson, first: int | None = None, last: int | None = None
) -> LessonComparison:
    """Compare two batches by number; by default the first and the last that hold swings.

    Raises
    ------
    BadInputError
        When there are not two batches with swings, or a number is not one of this lesson's.
    """
    pupil = library.pupil(lesson.pupil_id)
    swings = library.swings(lesson.id)
    by_batch = {batch.number: tuple(s for s in swings if s.batch_id == batch.id) for batch in lesson.batches}
    filled = [batch for batch in lesson.batches if by_batch[batch.number]]
    if first is None or last is None:
        if len(filled) < 2:
            raise BadInputError(
                f"A comparison needs two batches with swings; this lesson has {len(filled)}. "
                "Give the batches and their start times when adding the lesson."
            )
        first = filled[0].number if first is None else first
        last = filled[-1].number if last is None else last
    chosen = {batch.number: batch for batch in lesson.batches}
    for number in (first, last):
        if number not in chosen:
            raise BadInputError(f"There is no batch {number}; this lesson has {', '.join(map(str, sorted(chosen)))}.")
        if not by_batch[number]:
            raise BadInputError(f"Batch {number} holds no swing.")
    if first == last:
        raise BadInputError(f"Batch {first} cannot be compared with itself; name two batches.")
    body = library.measures(lesson.id)
    measures = {s.id: (*(measures_of_shot(s.shot) if s.shot is not None else ()), *body.get(s.id, ())) for s in swings}
    comparisons = compare_batches(by_batch[first], by_batch[last], body, lesson, pupil.handedness)
    return LessonComparison(
        pupil, lesson, chosen[first], chosen[last], by_batch[first], by_batch[last], measures, comparisons
    )
