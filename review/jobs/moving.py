"""Moves swings to another pupil: the next one was on the mat already, or a walk-in had a few balls."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, time, timedelta
from statistics import median

from review.errors import BadInputError
from review.jobs.lesson_file import LessonPlan, PupilPlan
from review.jobs.lesson_measuring import measure_lesson
from review.jobs.recording_store import cut_recordings
from review.jobs.records import find_or_make_lesson, find_or_make_pupil, keep_records, note_missing_consent
from review.lesson import Batch, Clip, Lesson, Pupil, Purpose, Said, Swing
from review.library import Library
from review.pose import Effort
from review.shots import row_key


@dataclass(frozen=True)
class Moved:
    """What was moved, and what the coach should know."""

    lesson: Lesson
    pupil: Pupil
    n_swings: int
    n_clips: int
    n_rows: int
    n_measured: int
    notes: tuple[str, ...]


def move_swings(library: Library, lesson: Lesson, orders: Collection[int], to: PupilPlan) -> Moved:
    """Move swings, by their number, into the other pupil's lesson of that day, which is made where there is none.

    Clips, rows, traces and the coach's marks go with them, and nothing of them stays with the first pupil. Body numbers
    are found anew from the landmarks that are kept, since they hang on the player's hand and height. A batch that goes
    whole takes its cue and feel along; of another one they stay.

    Raises
    ------
    BadInputError
        When there is no such swing, or it is the same pupil; nothing is then changed.
    """
    swings = library.swings(lesson.id)
    moved = [swing for swing in swings if swing.order in set(orders)]
    unknown = sorted(set(orders) - {swing.order for swing in swings})
    if unknown or not moved:
        which = f"no swing {unknown[0]}" if unknown else "no swing to move"
        raise BadInputError(f"There is {which}; this lesson has swings 1 to {len(swings)}. Nothing was moved.")
    pupil, is_new_pupil = find_or_make_pupil(library, to)
    if pupil.id == lesson.pupil_id:
        raise BadInputError(f"These swings are {pupil.name}'s already. Nothing was moved.")
    target, made_batches = find_or_make_lesson(library, LessonPlan(to, lesson.held_on, (), place=lesson.place), pupil)
    is_new_lesson = all(known.id != target.id for known in library.lessons(pupil.id))
    kept, added, batch_of = _share_batches(lesson, target.id, () if is_new_lesson else made_batches, swings, moved)
    cut_recordings(library, [clip for swing in moved for clip in swing.clips])
    with library.transaction():
        keep_records(
            library, pupil, is_new_pupil, replace(target, batches=() if is_new_lesson else made_batches), is_new_lesson
        )
        library.set_batches(target.id, [*(() if is_new_lesson else made_batches), *added])
        _keep_out(library, lesson, moved)
        library.say(lesson.id, _sure_pairs(swings))
        library.move_swings(lesson.id, moved, target.id, batch_of)
        library.set_batches(lesson.id, kept)
        there = library.camera_setups(target.id)
        for camera, setup in library.camera_setups(lesson.id).items():
            if camera not in there:
                library.set_camera_setup(target.id, camera, setup)
    target = library.lesson(target.id)
    notes = note_missing_consent(pupil, target.held_on)
    n_measured = 0
    if pupil.allows(Purpose.MEASURE, target.held_on):
        measured = measure_lesson(library, target, Effort.QUICK, only={swing.id for swing in moved})
        n_measured = measured.n_measured
    return Moved(
        target,
        pupil,
        len(moved),
        sum(len(swing.clips) for swing in moved),
        sum(swing.shot is not None for swing in moved),
        n_measured,
        notes,
    )


def find_swings_from(swings: Sequence[Swing], begin: time) -> tuple[int, ...]:
    """Numbers of the swings struck at that time of day or later.

    The device's clock counts; a swing without a row is placed by its camera's clock, set right by the swings that have
    both, where there are any.
    """
    ahead = [
        (_filmed(clip) - swing.shot.struck_at).total_seconds()
        for swing in swings
        if swing.shot is not None and swing.shot.struck_at is not None
        for clip in swing.clips
        if clip.captured_at is not None
    ]
    offset = timedelta(seconds=median(ahead) if ahead else 0.0)
    found = []
    for swing in swings:
        at = swing.shot.struck_at if swing.shot is not None else None
        filmed = [_filmed(clip) for clip in swing.clips if clip.captured_at is not None]
        if at is None and filmed:
            at = min(filmed) - offset
        if at is not None and at.time() >= begin:
            found.append(swing.order)
    return tuple(found)


def _filmed(clip: Clip) -> datetime:
    begin = clip.captured_at or datetime.min
    return begin + timedelta(seconds=(clip.strike_s or clip.begin_s + clip.duration_s / 2.0) * clip.time_scale)


def _share_batches(
    lesson: Lesson, target_id: str, there: Sequence[Batch], swings: Sequence[Swing], moved: Sequence[Swing]
) -> tuple[list[Batch], list[Batch], dict[str, str]]:
    """Batches that stay, batches that the other lesson gains, and into which of them each swing goes."""
    gone = {swing.id for swing in moved}
    kept: list[Batch] = []
    added: list[Batch] = []
    batch_of: dict[str, str] = {}
    number = max((batch.number for batch in there), default=0)
    for batch in lesson.batches:
        inside = [swing for swing in swings if swing.batch_id == batch.id]
        going = [swing for swing in inside if swing.id in gone]
        is_whole = bool(going) and len(going) == len(inside)
        if going:
            number += 1
            new = replace(batch, id=f"{target_id}-{number}", number=number, is_closed=True)
            added.append(new if is_whole else replace(new, cue="", feel=""))
            batch_of.update({swing.id: new.id for swing in going})
        if not is_whole:
            kept.append(batch)
        elif not batch.is_closed or len(lesson.batches) == 1:
            kept.append(replace(batch, cue="", feel=""))
    if not added:
        added.append(Batch(f"{target_id}-{number + 1}", number + 1))
    batch_of.update({swing.id: added[0].id for swing in moved if swing.id not in batch_of})
    return kept or [lesson.batches[0]], added, batch_of


def _sure_pairs(swings: Sequence[Swing]) -> list[Said]:
    """What the clocks paired for sure, to be kept: in each of two shares there may be too few pairs to find them anew."""
    return [
        Said(clip.id, "pair", swing.shot.id, "clock")
        for swing in swings
        if swing.shot is not None and swing.pairing_source not in ("", "coach")
        for clip in swing.clips
    ]


def _keep_out(library: Library, lesson: Lesson, moved: Sequence[Swing]) -> None:
    """See to it that rows that are moved do not come back when the table is read again while the lesson goes on."""
    rows = {row_key(swing.shot) for swing in moved if swing.shot is not None}
    for live in library.live_lessons():
        if live.lesson_id == lesson.id:
            library.set_live_lesson(replace(live, rows_before=live.rows_before | rows))
