"""The pressure of first and last batch for the take-home: the mean ways over the feet, and what each does in words."""

from collections.abc import Collection
from dataclasses import replace

from review.charts import Canvas, draw_pressure_picture
from review.jobs.pressure.measuring import read_lesson_pressure
from review.jobs.pressure.report import picture_pressure
from review.lesson import Lesson, Pupil
from review.library import Library
from review.pressure import BOTH_WAYS
from review.takehome import Ground, Picture

_CANVAS = Canvas(358, 16.0)
"""The page on a phone of 390 px has so much beside its margins; small letters are 14.7 px there."""


def draw_pressure_for_page(library: Library, lesson: Lesson, pupil: Pupil, numbers: Collection[int]) -> Ground | None:
    """Draw the batches with these numbers, without a name or a date on it; nothing unless two of them have traces.

    Nothing either where it is in doubt how the mat lies: a pupil could not tell what is wrong in it.
    """
    ids = {batch.id for batch in lesson.batches if batch.number in numbers}
    swings = {swing.id for swing in library.swings(lesson.id) if swing.trace is not None and swing.batch_id in ids}
    if not swings:
        return None
    read = read_lesson_pressure(library, lesson, swings)
    if read.doubt:
        return None
    body = library.measures(lesson.id)
    picture = picture_pressure(lesson, pupil, read, body)
    if len(picture.batches) < 2:
        return None
    said = (*picture.said, *(note for note in picture.notes if note == BOTH_WAYS))
    cues = {batch.number: batch.cue for batch in lesson.batches}
    bare = replace(
        picture,
        batches=tuple(replace(batch, name=cues[batch.number]) for batch in picture.batches),
        title="",
        under="",
        said=(),
        notes=[note for note in picture.notes if note != BOTH_WAYS],
    )
    svg, dark = (draw_pressure_picture(bare, replace(_CANVAS, is_dark=is_dark)).to_svg() for is_dark in (False, True))
    return Ground(Picture("Pressure under the feet", svg, " ".join(picture.said), dark), said)
