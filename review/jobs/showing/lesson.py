"""One lesson with all its numbers, its batches numbered, its first batch against its last."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np

from review.compare import MeasureKey, make_sample
from review.compare.keys import keys_in_order
from review.compare.samples import counted, measures_of_swing
from review.jobs.comparing import LessonComparison, compare_lesson
from review.lesson import Batch, Lesson, Measure, Pupil, Swing, Voice, VoiceOf
from review.library import Library
from review.progress import Progress, silent
from review.shots.plausibility import find_doubts

_MOST_ROWS_FLOWN = 500
"""A launch takes about 1.5 ms to be flown beside the row's carry."""


@dataclass(frozen=True)
class LessonShown:
    """A lesson with everything a chart of it needs.

    ``measures`` are those of every swing by swing id and key; ``keys`` those of which a swing has a value, the aim's
    (``n_aim`` of them) first. ``doubts`` are sentences on rows the device may have misread, by swing id;
    ``voices`` what was spoken of batches, by batch id; ``kept`` are ids of swings whose clips the coach chose to keep
    for good.
    """

    pupil: Pupil
    lesson: Lesson
    swings: tuple[Swing, ...]
    measures: dict[str, dict[MeasureKey, Measure]]
    keys: tuple[MeasureKey, ...]
    n_aim: int
    doubts: dict[str, tuple[str, ...]] = field(default_factory=dict)
    voices: dict[tuple[str, VoiceOf], Voice] = field(default_factory=dict)
    kept: frozenset[str] = frozenset()

    def swing(self, swing_id: str) -> Swing | None:
        """The swing of this id, None where it is not of this lesson."""
        return next((swing for swing in self.swings if swing.id == swing_id), None)


@dataclass(frozen=True)
class BatchNumbers:
    """One measure of one batch: how many swings count in it, their mean and scatter (SD), NaN where too few."""

    batch: Batch
    n: int
    mean: float
    sd: float


def show_lesson(folder: Path, lesson_id: str, progress: Progress = silent) -> LessonShown:
    """Gather one lesson.

    Raises
    ------
    BadInputError
        When the library or the lesson is not there.
    """
    with Library.open(folder, create=False) as library:
        lesson = library.lesson(lesson_id)
        pupil, swings = library.pupil(lesson.pupil_id), library.swings(lesson_id)
        progress(1, 3)
        body, voices = library.measures(lesson_id), library.voices(lesson_id)
        kept = library.kept_swings(lesson_id)
    measures = {swing.id: measures_of_swing(swing, body) for swing in swings}
    valued = [
        [key for key, measure in of_swing.items() if math.isfinite(measure.value)] for of_swing in measures.values()
    ]
    progress(2, 3)
    aim, others = keys_in_order(valued, lesson.aim_measures)
    seen = {key for keys in valued for key in keys}
    aim = [key for key in aim if key in seen]
    swing_of = {swing.shot.id: swing.id for swing in swings if swing.shot is not None}
    doubts: dict[str, list[str]] = {}
    shots = [swing.shot for swing in swings if swing.shot is not None]
    for doubt in find_doubts(shots, pupil.handedness, is_carry_checked=len(shots) <= _MOST_ROWS_FLOWN):
        doubts.setdefault(swing_of[doubt.shot_id], []).append(doubt.reason)
    return LessonShown(
        pupil,
        lesson,
        swings,
        measures,
        (*aim, *others),
        len(aim),
        {swing_id: tuple(reasons) for swing_id, reasons in doubts.items()},
        voices,
        kept,
    )


def compare_first_and_last(folder: Path, lesson_id: str, progress: Progress = silent) -> LessonComparison:
    """Compare a lesson's first batch with its last.

    Raises
    ------
    BadInputError
        When there are not two batches with swings.
    """
    with Library.open(folder, create=False) as library:
        progress(0, 1)
        return compare_lesson(library, library.lesson(lesson_id))


def number_batches(shown: LessonShown, key: MeasureKey) -> tuple[BatchNumbers, ...]:
    """Number every batch of a lesson in one measure; swings left out, of another kind, or bounds only do not count."""
    return tuple(_number(shown, key, batch) for batch in shown.lesson.batches)


def _number(shown: LessonShown, key: MeasureKey, batch: Batch) -> BatchNumbers:
    swings: Sequence[Swing] = counted([swing for swing in shown.swings if swing.batch_id == batch.id])
    values = make_sample([shown.measures[swing.id].get(key) for swing in swings], shown.pupil.handedness).values
    x = np.asarray(values, dtype=np.float64)
    return BatchNumbers(
        batch,
        len(x),
        float(x.mean()) if len(x) else math.nan,
        float(x.std(ddof=1)) if len(x) > 1 else math.nan,
    )
