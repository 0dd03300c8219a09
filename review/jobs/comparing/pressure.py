"""Where the pressure goes in two batches that are compared: in words, and as a picture."""

from review.charts import PressurePicture
from review.compare.samples import counted
from review.jobs.comparing.lesson import LessonComparison
from review.jobs.pressure.measuring import read_lesson_pressure
from review.jobs.pressure.report import picture_pressure
from review.library import Library
from review.pressure import say_patterns, tell_pattern


def tell_pressure(compared: LessonComparison) -> tuple[str, str]:
    """What the pressure does before impact in the first batch and in the last; '' where it is not known."""
    first, last = (
        say_patterns([tell_pattern(compared.measures[swing.id]) for swing in counted(swings)])
        for swings in (compared.first_swings, compared.last_swings)
    )
    return first, last


def picture_ways(library: Library, compared: LessonComparison) -> PressurePicture | None:
    """Both batches' ways over the feet; None where not both have some, or where each was on a mat of its own."""
    swings = [*compared.first_swings, *compared.last_swings]
    ids = {swing.id for swing in swings if swing.trace is not None}
    if not ids or compared.lesson.id != compared.last_lesson.id:
        return None
    read = read_lesson_pressure(library, compared.lesson, ids)
    picture = picture_pressure(compared.lesson, compared.pupil, read, compared.measures)
    return picture if len(picture.batches) > 1 else None
