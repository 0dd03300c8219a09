"""Measures the library again by a newer method: beside the numbers in use, until the coach accepts or drops them."""

import hashlib
import json
from collections.abc import Callable, Sequence
from concurrent.futures import Future
from dataclasses import dataclass
from functools import partial
from pathlib import Path

from review.errors import BadInputError
from review.jobs.measuring.kept_landmarks import find_landmarks, load_landmarks
from review.jobs.measuring.whole_lesson import Result, measure_lesson, name_method
from review.jobs.pressure.measuring import keep_pressure
from review.jobs.processes import run_apart
from review.jobs.records import allows_now
from review.lesson import Clip, KeyFrame, Lesson, Purpose, Swing
from review.library import Library, MeasuredAgain
from review.pose import Effort
from review.progress import Progress, silent

_BODY = "body "
_CLIP_COSTS = 100
"""About how much longer finding the landmarks of a clip takes than measuring a swing whose landmarks are kept."""


@dataclass(frozen=True)
class Again:
    """How many swings were measured again, and what could not be, in words."""

    n_measured: int
    problems: tuple[str, ...]


@dataclass(frozen=True)
class Accepted:
    """For how many swings newer numbers took the place of older, and how many were dropped: they had changed since."""

    n_accepted: int
    n_changed_since: int


def measure_again(folder: Path, progress: Progress = silent) -> Again:
    """Measure every swing that has body numbers of an older method, each clip once, on all cores.

    A stopped run keeps the landmarks of every finished clip and the numbers of every finished lesson; the next goes on
    from there. Numbers in use, marks and drawings stay as they are.

    Raises
    ------
    BadInputError
        When there is no library.
    Cancelled
        By ``progress``.
    """
    problems: list[str] = []
    lessons: list[Lesson] = []
    clips: dict[str, tuple[str, str]] = {}
    with Library.open(folder, create=False) as library:
        for lesson in library.lessons():
            if not list_old(library, lesson):
                continue
            pupil = library.pupil(lesson.pupil_id)
            if not allows_now(pupil, Purpose.MEASURE, lesson.held_on):
                problems.append(f"{pupil.name}, {lesson.held_on}: no consent to measure; the numbers stay as they are")
                continue
            lessons.append(lesson)
            gone = library.clips_let_go(lesson.id)
            for clip in (clip for swing in library.swings(lesson.id) for clip in swing.clips if clip.id not in gone):
                kept = load_landmarks(library, clip, pupil.handedness)
                if kept is None or kept[1] is not Effort.THOROUGH:
                    clips.setdefault(f"{clip.content} {pupil.handedness}", (lesson.id, clip.id))
    n_clips, n_lessons = _CLIP_COSTS * len(clips), len(lessons)
    total = max(1, n_clips + n_lessons)

    def find_all(done: int, _: int) -> None:
        progress(done, total)

    def measure_all(done: int, _: int) -> None:
        progress(n_clips + done, total)

    if clips:
        tasks = {key: partial(_find_landmarks, folder, *where) for key, where in clips.items()}
        run_apart(tasks, dict.fromkeys(tasks, _CLIP_COSTS), find_all, _note(problems))
    n_measured = 0
    if lessons:
        counted: list[int] = []
        measuring = {lesson.id: partial(measure_one_again, folder, lesson.id) for lesson in lessons}
        run_apart(measuring, dict.fromkeys(measuring, 1), measure_all, _note(problems, counted))
        n_measured = sum(counted)
    return Again(n_measured, tuple(problems))


def list_old(library: Library, lesson: Lesson) -> list[str]:
    """Ids of swings whose body numbers are of an older method, and for which no newer ones wait."""
    today = name_method(Effort.THOROUGH)
    waiting = library.waiting(lesson.id)
    methods = library.measure_methods(lesson.id)
    old = [id for id, made in methods.items() if any(m.startswith(_BODY) and m != today for m in made)]
    made_from = describe_inputs(library, lesson) if old and waiting else {}
    return [id for id in old if id not in waiting or waiting[id].made_from != made_from.get(id)]


def measure_one_again(folder: Path, lesson_id: str, progress: Progress = silent) -> int:
    """Measure one lesson again and put the numbers aside; return for how many swings."""
    with Library.open(folder, create=False) as library:
        lesson = library.lesson(lesson_id)
        made_from = describe_inputs(library, lesson)
        old = set(list_old(library, lesson))
        found: list[MeasuredAgain] = []

        def put_aside(_: Library, __: Lesson, results: Sequence[Result]) -> int:
            for swing, measured, measures, made_with in results:
                if swing.id in old:
                    of_clips = {
                        clip.id: tuple(seen.seen.key_frames)
                        for seen in (*measured.clips, *measured.beside)
                        for clip in swing.clips
                        if library.footage_of(clip) == seen.path
                    }
                    method = name_method(made_with)
                    found.append(MeasuredAgain(swing.id, method, made_from[swing.id], measures, of_clips))
            return 0

        done = measure_lesson(library, lesson, Effort.THOROUGH, progress, keep=put_aside)
        n, got = len(found), {one.swing_id for one in found}
        for swing in library.swings(lesson.id):
            if swing.id in old - got:
                why = done.problems.get(swing.order, "it was not measured")
                found.append(MeasuredAgain(swing.id, name_method(Effort.THOROUGH), made_from[swing.id], trouble=why))
        library.put_aside(found)
        return n


def accept(library: Library, progress: Progress = silent) -> Accepted:
    """Put what waits in the place of the numbers in use, a lesson in one step; the coach's own marks stay and win.

    What was made from marks, set-ups or clips that are others by now is dropped; it is measured again by the next run.
    """
    n_accepted = n_changed = 0
    lessons = library.lessons()
    for n, lesson in enumerate(lessons):
        progress(n, len(lessons))
        if not library.waiting(lesson.id):
            continue
        with library.transaction():
            made_from = describe_inputs(library, lesson)
            for one in library.waiting(lesson.id).values():
                library.drop_waiting(one.swing_id)
                if one.made_from != made_from.get(one.swing_id):
                    n_changed += 1
                elif not one.trouble:
                    library.set_measures(one.swing_id, one.measures, one.method)
                    for clip_id, key_frames in (one.key_frames or {}).items():
                        library.set_key_frames(clip_id, key_frames)
                    n_accepted += 1
            keep_pressure(library, lesson)
    return Accepted(n_accepted, n_changed)


def drop(library: Library) -> int:
    """Let go of everything that waits; the numbers in use stay. Returns for how many swings."""
    n = 0
    with library.transaction():
        for lesson in library.lessons():
            for swing_id in library.waiting(lesson.id):
                library.drop_waiting(swing_id)
                n += 1
    return n


def describe_inputs(library: Library, lesson: Lesson) -> dict[str, str]:
    """What the numbers of each swing of a lesson are made from, as a digest by swing id."""
    pupil = library.pupil(lesson.pupil_id)
    shared = [
        name_method(Effort.THOROUGH),
        pupil.handedness.value,
        pupil.stature_m,
        sorted(library.camera_setups(lesson.id).items()),
        sorted(library.player_setups(lesson.id)),
    ]
    return {
        swing.id: hashlib.sha256(json.dumps([shared, _describe(library, swing)]).encode()).hexdigest()
        for swing in library.swings(lesson.id)
    }


def _describe(library: Library, swing: Swing) -> list[object]:
    def marks(clip: Clip) -> list[KeyFrame]:
        return [key for key in library.key_frames(clip.id) if key.source == "coach"]

    return [
        [clip.id, clip.content, clip.view, clip.time_scale, [(key.name, key.time_s) for key in marks(clip)]]
        for clip in sorted(swing.clips, key=lambda clip: clip.id)
    ]


def _find_landmarks(folder: Path, lesson_id: str, clip_id: str, progress: Progress) -> int:
    with Library.open(folder, create=False) as library:
        handedness = library.pupil(library.lesson(lesson_id).pupil_id).handedness
        clip = next(clip for clip in library.clips(lesson_id) if clip.id == clip_id)
        find_landmarks(library, clip, handedness, Effort.THOROUGH, progress)
    return 1


def _note(problems: list[str], counted: list[int] | None = None) -> "Callable[[str, Future[int]], None]":
    """Take in what a task gave; one that could not be done is told, the others go on."""

    def ended(key: str, future: "Future[int]") -> None:
        try:
            n = future.result()
        except BadInputError as error:
            problems.append(str(error))
        else:
            if counted is not None:
                counted.append(n)

    return ended
