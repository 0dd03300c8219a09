"""Moves swings to another pupil: the next one was on the mat already, or a walk-in had a few balls."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, time, timedelta
from statistics import median

from review.errors import BadInputError
from review.jobs.lesson_file import LessonPlan, PupilPlan
from review.jobs.measuring.whole_lesson import measure_lesson
from review.jobs.moving.batches import share_batches
from review.jobs.pairing.clock_moments import as_seconds
from review.jobs.pairing.rematching import match_known, rematch_lesson
from review.jobs.recordings.keeping import cut_recordings
from review.jobs.records import allows_now, find_or_make_lesson, find_or_make_pupil, keep_records, note_missing_consent
from review.jobs.voices import move_voices
from review.lesson import Clip, Lesson, Pupil, Purpose, Said, Shot, Swing
from review.library import Library
from review.pose import Effort
from review.shots import row_key

_SAME_SHOT_S = 2.5
"""Two devices tell of one shot when it is no further apart by their clocks set right, as in matching."""


@dataclass(frozen=True)
class Moved:
    """What was moved, and what the coach should know."""

    lesson: Lesson
    pupil: Pupil
    n_swings: int
    n_clips: int
    n_rows: int
    n_measured: int
    orders: tuple[int, ...]
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
    there_before = () if is_new_lesson else made_batches
    shared = share_batches(lesson, swings, moved, target.id, there_before, library.swings(target.id))
    rows_along = _rows_along(library, lesson, swings, moved)
    cut_recordings(library, [clip for swing in moved for clip in swing.clips])
    with library.transaction():
        keep_records(library, pupil, is_new_pupil, replace(target, batches=there_before), is_new_lesson)
        if is_new_lesson:
            library.put_before_others(target.id)
        library.set_batches(target.id, shared.there)
        _keep_out(library, lesson, [*(swing.shot for swing in moved if swing.shot is not None), *rows_along])
        library.say(lesson.id, _sure_pairs(swings))
        library.move_swings(lesson.id, moved, target.id, shared.batch_of, [row.id for row in rows_along])
        library.say(target.id, _filed(moved, shared.batch_of))
        for batch in lesson.batches:
            inside = [swing for swing in swings if swing.batch_id == batch.id]
            if inside and all(swing in moved for swing in inside):
                move_voices(library, lesson.id, batch.id, target.id, shared.batch_of[inside[0].id])
        library.set_batches(lesson.id, shared.kept)
        there = library.camera_setups(target.id)
        for camera, setup in library.camera_setups(lesson.id).items():
            if camera not in there:
                library.set_camera_setup(target.id, camera, setup)
        # so that both are in order of time, and matched again later have the same numbers
        for id in (lesson.id, target.id):
            rematch_lesson(library, library.lesson(id), {})
    library.drop_voices()  # of one who has not agreed to it
    target = library.lesson(target.id)
    notes = note_missing_consent(pupil, target.held_on)
    n_measured = 0
    if allows_now(pupil, Purpose.MEASURE, target.held_on):
        measured = measure_lesson(library, target, Effort.QUICK, only={swing.id for swing in moved})
        n_measured = measured.n_measured
    return Moved(
        target,
        pupil,
        len(moved),
        sum(len(swing.clips) for swing in moved),
        sum(swing.shot is not None for swing in moved) + len(rows_along),
        n_measured,
        tuple(s.order for s in library.swings(target.id) if s.id in {swing.id for swing in moved}),
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


def _rows_along(library: Library, lesson: Lesson, swings: Sequence[Swing], moved: Sequence[Swing]) -> list[Shot]:
    """Rows on no swing that tell of a moved one: said again by another export, or by another device's table."""
    hung = {swing.shot.id for swing in swings if swing.shot is not None}
    loose = {shot.id: shot for shot in library.shots(lesson.id) if shot.id not in hung}
    if not loose:
        return []
    shots = [swing.shot for swing in moved if swing.shot is not None]
    along = [
        row
        for row in loose.values()
        if any((row.struck_at, row.club, row.values) == (shot.struck_at, shot.club, shot.values) for shot in shots)
    ]
    matching = match_known(library, lesson).matching
    struck_s = [as_seconds(shot.struck_at) for shot in shots if shot.struck_at is not None]
    for double, _ in matching.doubles:
        clock = matching.table_clocks.get(double.table)
        if double.clock_s is None or double.row_id not in loose or loose[double.row_id] in along:
            continue
        at_s = double.clock_s if clock is None else clock.to_camera(double.clock_s)
        if any(abs(at_s - other_s) <= _SAME_SHOT_S for other_s in struck_s):
            along.append(loose[double.row_id])
    return along


def _sure_pairs(swings: Sequence[Swing]) -> list[Said]:
    """What the clocks paired for sure, to be kept: each of two shares may hold too few pairs to find them anew."""
    return [
        Said(clip.id, "pair", swing.shot.id, "clock")
        for swing in swings
        if swing.shot is not None and swing.pairing_source not in ("", "coach")
        for clip in swing.clips
    ]


def _filed(moved: Sequence[Swing], batch_of: dict[str, str]) -> list[Said]:
    """Into which batch what is moved goes, so that matching leaves it there."""
    return [Said(item, "batch", batch_of[swing.id], "clock") for swing in moved for item in swing.items]


def _keep_out(library: Library, lesson: Lesson, moved: Sequence[Shot]) -> None:
    """See to it that rows that are moved do not come back when the table is read again while the lesson goes on."""
    rows = {row_key(shot) for shot in moved}
    for live in library.live_lessons():
        if live.lesson_id == lesson.id:
            library.set_live_lesson(replace(live, rows_before=live.rows_before | rows))
