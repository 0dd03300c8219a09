"""Batch against batch: the first of a lesson against its last, or any two batches of a pupil's lessons."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from review.compare import (
    Comparison,
    Course,
    MeasureKey,
    Window,
    compare_all_batches,
    compare_batches,
    measures_of_shot,
)
from review.errors import BadInputError
from review.jobs.comparing.background import Background, find_background, mark_doubted
from review.jobs.comparing.pictures import Pictured
from review.jobs.pressure.mats import find_pressure_doubts
from review.lesson import Batch, Lesson, Measure, Pupil, Swing
from review.library import Library


@dataclass(frozen=True)
class LessonComparison:
    """Two batches side by side, the aim's measures first.

    ``lesson`` holds the first batch, ``last_lesson`` the last (the same one, mostly). ``measures`` are those of all
    swings of both lessons, by swing id. ``courses`` are the aim's measures over all batches of a lesson that has three
    or more. ``pressure_doubts`` say why no pressure toward the target is judged.
    """

    pupil: Pupil
    lesson: Lesson
    last_lesson: Lesson
    first: Batch
    last: Batch
    first_swings: tuple[Swing, ...]
    last_swings: tuple[Swing, ...]
    measures: dict[str, tuple[Measure, ...]]
    comparisons: tuple[Comparison, ...]
    background: Background
    courses: tuple[Course, ...]
    pictured: Pictured
    pressure_doubts: tuple[str, ...] = ()


def compare_lesson(
    library: Library,
    lesson: Lesson,
    first: int | None = None,
    last: int | None = None,
    *,
    last_lesson: Lesson | None = None,
    repeatability: Mapping[str, float] | None = None,
    windows: Mapping[MeasureKey, Window] | None = None,
    accept_different: bool = False,
) -> LessonComparison:
    """Compare two batches by number; by default the first and the last that hold swings.

    Parameters
    ----------
    last_lesson : the lesson of the last batch where it is another one of the same pupil.
    repeatability : typical errors (one standard deviation) by measure; they go before those kept with the lessons.
    windows, accept_different : as in :func:`review.compare.compare_batches`.

    Raises
    ------
    BadInputError
        When there are not two batches with swings, a number is not one of its lesson's, or the lessons are of two
        pupils.
    """
    last_lesson = lesson if last_lesson is None else last_lesson
    if lesson.pupil_id != last_lesson.pupil_id:
        names = [library.pupil(held.pupil_id).name for held in (lesson, last_lesson)]
        raise BadInputError(f"The lessons are of two pupils, {names[0]} and {names[1]}; compare lessons of one pupil.")
    pupil = library.pupil(lesson.pupil_id)
    is_one = lesson.id == last_lesson.id
    swings = {held.id: library.swings(held.id) for held in ((lesson,) if is_one else (lesson, last_lesson))}
    filled = _fill(lesson, swings[lesson.id])
    if is_one and len(filled) < 2 and (first is None or last is None):
        raise BadInputError(
            f"A comparison needs two batches with swings; this lesson has {len(filled)}. "
            "Give the batches and their start times when adding the lesson."
        )
    first_batch, first_swings = _choose(lesson, filled, first, 0)
    last_batch, last_swings = _choose(last_lesson, _fill(last_lesson, swings[last_lesson.id]), last, -1)
    if first_batch.id == last_batch.id:
        raise BadInputError(f"Batch {first_batch.number} cannot be compared with itself; name two batches.")
    measures: dict[str, tuple[Measure, ...]] = {}
    body: dict[str, tuple[Measure, ...]] = {}
    for lesson_id, held_swings in swings.items():
        body |= library.measures(lesson_id)
        for swing in held_swings:
            device = measures_of_shot(swing.shot) if swing.shot is not None else ()
            measures[swing.id] = (*device, *body.get(swing.id, ()))
    stated = [replace(held, repeatability=_with(held, repeatability)) for held in (lesson, last_lesson)]
    comparisons = compare_batches(
        first_swings,
        last_swings,
        body,
        stated[0],
        pupil.handedness,
        last_lesson=None if is_one else stated[1],
        accept_different=accept_different,
        windows=windows,
    )
    background = find_background(first_swings, last_swings, swings[last_lesson.id], body, last_lesson, pupil.handedness)
    comparisons = mark_doubted(comparisons, background, (first_swings, last_swings))
    shown = filled if is_one else ((first_batch, first_swings), (last_batch, last_swings))
    courses = (
        compare_all_batches(
            [held_swings for _, held_swings in shown],
            body,
            [stated[0] for _ in shown],
            pupil.handedness,
            accept_different=accept_different,
            windows=windows,
        )
        if is_one and len(shown) > 2
        else ()
    )
    in_aim = {(c.name, c.key_frame) for c in comparisons if c.in_aim}
    pictured = Pictured(
        shown,
        first_batch.id,
        last_batch.id,
        body,
        comparisons,
        pupil.handedness,
        f"{pupil.name}, {lesson.held_on}" + ("" if is_one else f" and {last_lesson.held_on}"),
        windows or {},
    )
    return LessonComparison(
        pupil,
        lesson,
        last_lesson,
        first_batch,
        last_batch,
        first_swings,
        last_swings,
        measures,
        comparisons,
        background,
        tuple(course for course in courses if (course.name, course.key_frame) in in_aim),
        pictured,
        find_pressure_doubts(library, (lesson,) if is_one else (lesson, last_lesson)),
    )


def _fill(lesson: Lesson, swings: Sequence[Swing]) -> tuple[tuple[Batch, tuple[Swing, ...]], ...]:
    """The lesson's batches that hold swings, each with them."""
    with_swings = ((batch, tuple(s for s in swings if s.batch_id == batch.id)) for batch in lesson.batches)
    return tuple((batch, held) for batch, held in with_swings if held)


def _choose(
    lesson: Lesson, filled: Sequence[tuple[Batch, tuple[Swing, ...]]], number: int | None, place: int
) -> tuple[Batch, tuple[Swing, ...]]:
    """The batch of this number, or the one at ``place`` among those with swings, and its swings."""
    if number is None:
        if not filled:
            raise BadInputError(f"The lesson of {lesson.held_on} holds no swing in a batch.")
        return filled[place]
    numbers = sorted(batch.number for batch in lesson.batches)
    if number not in numbers:
        raise BadInputError(f"There is no batch {number}; this lesson has {', '.join(map(str, numbers))}.")
    found = next((one for one in filled if one[0].number == number), None)
    if found is None:
        raise BadInputError(f"Batch {number} holds no swing.")
    return found


def _with(lesson: Lesson, repeatability: Mapping[str, float] | None) -> tuple[tuple[str, float], ...]:
    return tuple({**dict(lesson.repeatability), **(repeatability or {})}.items())
