"""The pressure of a lesson for a window: the picture of first and last batch, what each does, its trail foot."""

from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from review.charts import Canvas, PressurePicture, draw_pressure_picture
from review.jobs.pressure.mats import load_mat
from review.jobs.pressure.measuring import LessonPressure, read_lesson_pressure
from review.jobs.pressure.report import group_by_batch, picture_pressure, tell_batch
from review.jobs.pressure.swapped import tell_swapped
from review.jobs.showing.pressure import FOOT, show_feet
from review.lesson import Bound, FloatArray, Handedness, Measure
from review.library import Library
from review.pressure import MatPlacement
from review.progress import Progress, silent


@dataclass(frozen=True)
class BatchFeet:
    """A batch: what its pressure does, in English, and means of its trail foot: name, mean, of how many swings."""

    number: int
    n_swings: int
    pattern: str
    foot: tuple[tuple[str, float, int], ...]


@dataclass(frozen=True, eq=False)
class GroundShown:
    """First and last batch with a trace, their picture as PNG (None = nothing to draw), what else is to say.

    ``foot_missing``: numbers of the trail foot that no swing of theirs has, and the reason most of them give.
    """

    batches: tuple[BatchFeet, ...]
    handedness: Handedness
    picture_png: bytes | None
    note: str = ""
    foot_missing: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, eq=False)
class LiveMat:
    """What the live view needs of a lesson: the mat, the feet on it, the player's hand."""

    placement: MatPlacement | None
    feet_cm: tuple[FloatArray, ...]
    handedness: Handedness


def show_ground(
    folder: Path,
    lesson_id: str,
    place_px: tuple[float, float | None],
    letter_px: float,
    is_dark: bool,
    fineness: float = 1.0,
    say: Callable[[str], str] = str,
    progress: Progress = silent,
) -> GroundShown:
    """Read a lesson's traces and draw them; sizes and ``say`` as in ``draw_balls_for_screen``.

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
    batches = tuple(
        BatchFeet(
            batch.number, len(swings), tell_batch(swings), average_foot([body.get(one.swing.id, ()) for one in swings])
        )
        for batch, swings in shown
    )
    return GroundShown(
        batches,
        pupil.handedness,
        _draw(
            picture_pressure(lesson, pupil, read), Canvas(place_px[0], letter_px, place_px[1], is_dark, say), fineness
        ),
        tell_swapped(read) or _why_nothing(read),
        find_missing([body.get(one.swing.id, ()) for _, swings in shown for one in swings]),
    )


def find_live_mat(folder: Path, lesson_id: str) -> LiveMat:
    """The mat of a lesson for the live view; without one the places are in the mat's own axes."""
    with Library.open(folder, create=False) as library:
        lesson = library.lesson(lesson_id)
        pupil, mat = library.pupil(lesson.pupil_id), load_mat(library, lesson_id)
    if mat is None or not mat.placement.has_angle:
        return LiveMat(None, (), pupil.handedness)
    return LiveMat(mat.placement, show_feet(mat, pupil.handedness, pupil.stature_m), pupil.handedness)


def average_foot(of_swings: list[tuple[Measure, ...]]) -> tuple[tuple[str, float, int], ...]:
    """Means of what the trail foot does, over the swings that have it; values only known as a bound are left out."""
    found = []
    for name in FOOT:
        values = [
            m.value
            for measures in of_swings
            for m in measures
            if m.name == name and not m.why_missing and m.bound is Bound.NONE
        ]
        if values:
            found.append((name, float(np.mean(values)), len(values)))
    return tuple(found)


def find_missing(of_swings: list[tuple[Measure, ...]]) -> tuple[tuple[str, str], ...]:
    """Which numbers of the trail foot no swing has, and the reason most swings give."""
    found = []
    for name in FOOT:
        named = [m for measures in of_swings for m in measures if m.name == name]
        reasons = Counter(m.why_missing for m in named if m.why_missing)
        if reasons and not any(not m.why_missing for m in named):
            found.append((name, reasons.most_common(1)[0][0]))
    return tuple(found)


def _draw(picture: PressurePicture, canvas: Canvas, fineness: float) -> bytes | None:
    return draw_pressure_picture(picture, canvas).to_png(fineness) if picture.batches else None


def _why_nothing(read: LessonPressure) -> str:
    if read.swings:
        return ""
    return "No pressure trace could be laid over a swing. Add the mat's table and measure the lesson."
