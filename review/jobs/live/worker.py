"""What runs in the processes that measure while a lesson goes on: each keeps the pose library loaded."""

import os
from dataclasses import dataclass
from functools import partial
from multiprocessing.queues import Queue
from multiprocessing.synchronize import Event
from pathlib import Path

import numpy as np

from review.errors import BadInputError, Cancelled, MachineError
from review.jobs.measuring.kept_landmarks import find_landmarks
from review.jobs.measuring.whole_lesson import measure_lesson
from review.jobs.processes import end_with_parent
from review.jobs.review_copies import make_copy
from review.library import Library
from review.pose import Effort, MediaPipeEstimator

_REPORT_EVERY = 5
_NICE = 5


@dataclass(frozen=True)
class Order:
    """Look at one clip, then measure the swing it hangs on from all its clips looked at so far.

    ``clip_id`` '' = measure the whole lesson from the views that its swings have in common, so that they compare.
    ``is_copy``: make the clip's review copy instead.
    """

    library: Path
    lesson_id: str
    clip_id: str
    effort: Effort
    is_copy: bool = False


@dataclass(frozen=True)
class Outcome:
    """What came of an order: the swing measured ('' = none), why not, and notes on what was measured."""

    swing_id: str = ""
    problem: str = ""
    notes: tuple[str, ...] = ()


@dataclass(frozen=True)
class Report:
    """Pictures looked at for an order, and in all."""

    order: Order
    done: int
    total: int


@dataclass(frozen=True)
class _Signals:
    stop: Event
    make_way: Event
    reports: "Queue[Report]"


_signals: _Signals | None = None


def begin(stop: Event, make_way: Event, reports: "Queue[Report]") -> None:
    """Make a process ready: ends with its parent, leaves the machine to what the coach is looking at."""
    global _signals
    _signals = _Signals(stop, make_way, reports)
    end_with_parent()
    if hasattr(os, "nice"):
        os.nice(_NICE)


def warm_up() -> None:
    """Load the pose library and its quick model before the first ball."""
    MediaPipeEstimator(Effort.QUICK).track([(0.0, np.zeros((64, 64, 3), np.uint8))])


def carry_out(order: Order) -> Outcome:
    """Find the landmarks of a clip and measure its swing; what is kept already is used.

    Raises
    ------
    Cancelled
        When the queue is stopped, or thorough work makes way for a new ball.
    MachineError
        When the disk is full or the library is busy: it may work later.
    """
    with Library.open(order.library, create=False) as library:
        if order.is_copy:
            return _copy_clip(library, order)
        try:
            return _measure_all(library, order) if not order.clip_id else _measure_clip(library, order)
        except BadInputError as error:
            return Outcome(problem=str(error))


def _copy_clip(library: Library, order: Order) -> Outcome:
    clip = next((c for c in library.clips(order.lesson_id) if c.id == order.clip_id), None)
    if clip is not None:
        try:
            make_copy(library, clip, partial(_report, order))
        except (BadInputError, MachineError) as error:  # not tried again: the clip can be looked at without
            return Outcome(problem=f"No review copy of {clip.original_name}, so stepping through it is slow: {error}")
    return Outcome()


def _measure_all(library: Library, order: Order) -> Outcome:
    lesson = library.lesson(order.lesson_id)
    measured = measure_lesson(library, lesson, Effort.QUICK, partial(_report, order))
    problems = "; ".join(f"swing {n}: {problem}" for n, problem in sorted(measured.problems.items()))
    return Outcome(problem=problems, notes=measured.notes)


def _measure_clip(library: Library, order: Order) -> Outcome:
    lesson = library.lesson(order.lesson_id)
    clip = next((c for c in library.clips(lesson.id) if c.id == order.clip_id), None)
    if clip is None:
        return Outcome()
    try:
        pupil = library.pupil(lesson.pupil_id)
        find_landmarks(library, clip, pupil.handedness, order.effort, partial(_report, order))
        swing = next((s for s in library.swings(lesson.id) if any(c.id == clip.id for c in s.clips)), None)
        if swing is None:
            return Outcome()
        # QUICK: from whatever landmarks are kept, thorough ones where they are
        measured = measure_lesson(library, lesson, Effort.QUICK, only={swing.id})
    except BadInputError as error:
        return Outcome(problem=f"{clip.original_name}: {error}")
    problem = measured.problems.get(swing.order, "")
    return Outcome("" if problem else swing.id, problem, measured.notes)


def _report(order: Order, done: int, total: int) -> None:
    if _signals is None:
        return
    if _signals.stop.is_set() or (order.effort is Effort.THOROUGH and _signals.make_way.is_set()):
        raise Cancelled("Stopped.")
    if done % _REPORT_EVERY == 0 or done == total:
        _signals.reports.put(Report(order, done, total))
