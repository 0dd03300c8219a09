"""The pressure of a lesson for a window: the picture of first and last batch, what each does, its trail foot."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path

from review.charts import Canvas, PressurePicture, draw_pressure_picture
from review.jobs.pressure.batch_means import PressureMean, average_pressure
from review.jobs.pressure.measuring import LessonPressure, read_lesson_pressure
from review.jobs.pressure.report import (
    NOT_PLACED,
    average_feet,
    find_missing_feet,
    group_by_batch,
    is_told,
    picture_pressure,
    tell_batch,
    tell_mat,
)
from review.jobs.pressure.trail_foot import FootMean
from review.lesson import Handedness
from review.library import Library
from review.progress import Progress, silent


@dataclass(frozen=True)
class BatchFeet:
    """A batch: what its pressure does, in English, its means, and what the pictures say of its trail foot."""

    number: int
    n_swings: int
    pattern: str
    foot: tuple[FootMean, ...]
    means: tuple[PressureMean, ...] = ()


@dataclass(frozen=True, eq=False)
class GroundShown:
    """First and last batch with a trace, their picture (None = nothing to draw), what else is to say.

    ``doubt`` stands before everything else: why nothing is told toward the target, and what to do. ``is_told``:
    of a batch it is told which way the pressure goes before impact.
    ``foot_missing``: numbers of the trail foot that no swing of theirs has, and the reason most of them give.
    """

    batches: tuple[BatchFeet, ...]
    handedness: Handedness
    picture: PressurePicture | None
    note: str = ""
    foot_missing: tuple[tuple[str, str], ...] = ()
    doubt: str = ""
    is_told: bool = False

    def draw(
        self,
        place_px: tuple[float, float | None],
        letter_px: float,
        is_dark: bool,
        fineness: float = 1.0,
        say: Callable[[str], str] = str,
    ) -> bytes:
        """Draw the picture as PNG; sizes and ``say`` as in ``draw_balls_for_screen``."""
        if self.picture is None:
            return b""
        canvas = Canvas.on_page(place_px, letter_px, is_dark, say)
        return draw_pressure_picture(self.picture, canvas).to_png(fineness)


def show_ground(folder: Path, lesson_id: str, progress: Progress = silent) -> GroundShown:
    """Read a lesson's traces for the window; the picture bears no title, the page has one.

    Raises
    ------
    BadInputError
        The library or the lesson is not there.
    """
    with Library.open(folder, create=False) as library:
        lesson = library.lesson(lesson_id)
        pupil = library.pupil(lesson.pupil_id)
        progress(0, 2)
        read = read_lesson_pressure(library, lesson)
        body = library.measures(lesson_id)
    progress(1, 2)
    grouped = group_by_batch(lesson, read)
    shown = grouped if len(grouped) < 2 else [grouped[0], grouped[-1]]
    picture = picture_pressure(lesson, pupil, read)
    picture = replace(picture, title="", under="", notes=[note for note in picture.notes if note != NOT_PLACED])
    return GroundShown(
        tuple(
            BatchFeet(
                batch.number, len(swings), tell_batch(swings), average_feet(swings, body), average_pressure(swings)
            )
            for batch, swings in shown
        ),
        pupil.handedness,
        picture if picture.batches else None,
        tell_mat(read) or _why_nothing(read),
        find_missing_feet([one for _, swings in shown for one in swings], body),
        read.doubt or _why_not_placed(read),
        any(is_told(swings) for _, swings in shown),
    )


def _why_not_placed(read: LessonPressure) -> str:
    if not read.swings or (read.mat is not None and read.mat.placement.has_angle):
        return ""
    return f"{NOT_PLACED} Let the player do the three steps on it and name their table: M."


def _why_nothing(read: LessonPressure) -> str:
    if read.swings:
        return ""
    return "No pressure trace could be laid over a swing. Add the mat's table and measure the lesson."
