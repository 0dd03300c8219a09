"""The pressure of first and last batch for the take-home: the mean ways over the feet, and what each does in words."""

from collections.abc import Collection
from dataclasses import replace

from review.charts import PHONE, draw_pressure_picture
from review.jobs.pressure.measuring import read_lesson_pressure
from review.jobs.pressure.report import group_by_batch, picture_pressure, tell_batch
from review.lesson import Lesson, Pupil
from review.library import Library
from review.takehome import Picture


def draw_pressure_for_page(
    library: Library, lesson: Lesson, pupil: Pupil, numbers: Collection[int]
) -> tuple[Picture, ...]:
    """Draw the batches with these numbers, without a name or a date on it; nothing unless two of them have traces."""
    ids = {batch.id for batch in lesson.batches if batch.number in numbers}
    swings = {swing.id for swing in library.swings(lesson.id) if swing.trace is not None and swing.batch_id in ids}
    if not swings:
        return ()
    read = read_lesson_pressure(library, lesson, swings)
    picture = replace(picture_pressure(lesson, pupil, read, library.measures(lesson.id)), under="")
    if len(picture.batches) < 2:
        return ()
    said = [(batch.number, tell_batch(of_batch)) for batch, of_batch in group_by_batch(lesson, read)]
    words = "; ".join(f"batch {number}: {what}" for number, what in said if what)
    svg, dark = (draw_pressure_picture(picture, canvas).to_svg() for canvas in (PHONE, replace(PHONE, is_dark=True)))
    return (Picture("Pressure under the feet", svg, words or "mean ways of both batches over the feet", dark),)
