"""The pressure of first and last batch for the take-home: the mean ways over the feet, and what each does in words."""

from collections.abc import Collection
from dataclasses import replace

from review.charts import PHONE, draw_pressure_picture
from review.jobs.pressure.measuring import read_lesson_pressure
from review.jobs.pressure.report import picture_pressure
from review.lesson import Lesson, Pupil
from review.library import Library
from review.takehome import Picture


def draw_pressure_for_page(
    library: Library, lesson: Lesson, pupil: Pupil, numbers: Collection[int]
) -> tuple[Picture, ...]:
    """Draw the batches with these numbers, without a name or a date on it; nothing unless two of them have traces.

    Nothing either where it is in doubt how the mat lies: a pupil could not tell what is wrong in it.
    """
    ids = {batch.id for batch in lesson.batches if batch.number in numbers}
    swings = {swing.id for swing in library.swings(lesson.id) if swing.trace is not None and swing.batch_id in ids}
    if not swings:
        return ()
    read = read_lesson_pressure(library, lesson, swings)
    if read.doubt:
        return ()
    picture = replace(picture_pressure(lesson, pupil, read, library.measures(lesson.id)), under="")
    if len(picture.batches) < 2:
        return ()
    svg, dark = (draw_pressure_picture(picture, canvas).to_svg() for canvas in (PHONE, replace(PHONE, is_dark=True)))
    return (Picture("Pressure under the feet", svg, " ".join(picture.said), dark),)
