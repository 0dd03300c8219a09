"""Brings clips, shot table and pressure trace of a lesson into the library."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from review.errors import BadInputError
from review.jobs.clip_reading import as_clip, read_clip
from review.jobs.kept_setups import read_setups
from review.jobs.lesson_file import LessonPlan
from review.jobs.matching import MatchedLesson, match_lesson
from review.jobs.records import find_or_make_lesson, find_or_make_pupil, keep_records, note_missing_consent
from review.lesson import Batch, Clip, Lesson, Pupil, Shot, Swing, SwingKind
from review.library import Library
from review.pressure import PressureRecord, read_trace_table
from review.pressure import read_mapping as read_pressure_mapping
from review.progress import Progress, silent
from review.shots import ShotTable, read_mapping, read_shot_table


@dataclass(frozen=True)
class Added:
    """What was added: the lesson as it now is, how it was matched, and what the coach should know."""

    lesson: Lesson
    pupil: Pupil
    matched: MatchedLesson
    n_new_clips: int
    n_new_shots: int
    notes: tuple[str, ...]
    is_consent_missing: bool


def add_lesson(library: Library, plan: LessonPlan, progress: Progress = silent) -> Added:
    """Read everything, match it, then store it in one step; what was there before is never lost.

    Clips or rows for a lesson that the library knows already (same pupil, same day) join that lesson; what is there
    already is not added twice, and the coach's own pairings stay.

    Raises
    ------
    BadInputError
        When any clip or table cannot be read or the table is of another lesson; nothing has then been changed.
    MachineError
        When the disk is full or the library may not be written.
    """
    table = _read_table(plan)
    record = _read_pressure(plan)
    setups = read_setups(plan)
    total = 2 * len(plan.clips)
    read = []
    problems = []
    for i, path in enumerate(plan.clips, start=1):
        try:
            read.append(read_clip(path, plan.cameras, plan.time_scale))
        except BadInputError as error:
            problems.append(str(error))
        progress(i, total)
    if problems:
        raise BadInputError("\n".join([*problems, "Nothing was added."]))

    pupil, is_new_pupil = find_or_make_pupil(library, plan.pupil)
    before, batches = find_or_make_lesson(library, plan, pupil)
    lesson = replace(before, batches=batches)
    is_new_lesson = all(known.id != lesson.id for known in library.lessons(pupil.id))
    known_clips = () if is_new_lesson else library.clips(lesson.id)
    known_shots = () if is_new_lesson else library.shots(lesson.id)
    fixed, kinds = ({}, {}) if is_new_lesson else _said_by_coach(library.swings(lesson.id))

    # matching needs no stored file, so a table of another lesson is refused before anything is written
    drafted = [as_clip(lesson, clip, sha256="", file="") for clip in read]
    _match_checked([*known_clips, *drafted], known_shots, table, lesson.batches, record, fixed, kinds)

    stored = []
    for i, clip in enumerate(read, start=1):
        sha256, file = library.store_clip_file(clip.path)
        stored.append(as_clip(lesson, clip, sha256, file))
        progress(len(plan.clips) + i, total)
    there = {clip.sha256 for clip in known_clips}
    corrected, known_clips = _correct_speeds(known_clips, stored)
    new_clips = [clip for clip in stored if clip.sha256 not in there]
    clips = [*known_clips, *new_clips]
    matched, shots = _match_checked(clips, known_shots, table, lesson.batches, record, fixed, kinds)
    before_by_id = {} if is_new_lesson else {swing.id: swing for swing in library.swings(lesson.id)}
    swings = tuple(_keep_what_was(swing, before_by_id.get(swing.id)) for swing in matched.swings)
    with library.transaction():
        keep_records(library, pupil, is_new_pupil, lesson, is_new_lesson)
        for new in new_clips:
            library.add_clip(lesson.id, new)
        for known in corrected:
            library.update_clip(known)
        setups.keep(library, lesson.id)
        n_new_shots = library.add_shots(lesson.id, shots)
        library.replace_swings(lesson.id, swings)
    consent = note_missing_consent(pupil, plan.held_on)
    speeds = (f"The speed of {len(corrected)} clips is corrected: measure the lesson again.",) if corrected else ()
    notes = (*consent, *speeds, *(table.notes if table else ()), *(record.notes if record else ()))
    return Added(lesson, pupil, matched, len(new_clips), n_new_shots, notes, bool(consent))


def _keep_what_was(swing: Swing, before: Swing | None) -> Swing:
    """Keep the trace and the coach's word that a swing is left out, where the new files say nothing of them."""
    if before is None:
        return swing
    return replace(swing, trace=swing.trace or before.trace, left_out=swing.left_out or before.left_out)


def rematch_lesson(
    library: Library, lesson: Lesson, corrections: dict[str, str | None], kinds: dict[str, SwingKind] | None = None
) -> MatchedLesson:
    """Match a lesson again with the coach's corrections (clip id to shot id, None = no row), kept for good."""
    swings = library.swings(lesson.id)
    fixed, said = _said_by_coach(swings)
    fixed.update(corrections)
    said.update(kinds or {})
    matched = match_lesson(library.clips(lesson.id), library.shots(lesson.id), lesson.batches, (), fixed, said)
    kept = {swing.id: swing for swing in swings}
    trace_of_shot = {s.shot.id: s.trace for s in swings if s.shot is not None and s.trace is not None}
    renewed = []
    for swing in matched.swings:
        old = kept.get(swing.id)
        trace = trace_of_shot.get(swing.shot.id) if swing.shot else old.trace if old else None
        renewed.append(replace(swing, trace=trace, left_out=old.left_out if old else ""))
    with library.transaction():
        library.replace_swings(lesson.id, renewed)
    return replace(matched, swings=tuple(renewed))


def _read_table(plan: LessonPlan) -> ShotTable | None:
    if plan.shots is None:
        return None
    mapping = None if plan.mapping is None else read_mapping(plan.mapping)
    return read_shot_table(plan.shots, mapping, on_date=plan.held_on)


def _read_pressure(plan: LessonPlan) -> PressureRecord | None:
    if plan.pressure is None:
        return None
    mapping = None
    if plan.mapping is not None and plan.shots is None:
        mapping = read_pressure_mapping(plan.mapping)
    return read_trace_table(plan.pressure, mapping, on_date=plan.held_on)


def _correct_speeds(known: Sequence[Clip], read: Sequence[Clip]) -> tuple[tuple[Clip, ...], tuple[Clip, ...]]:
    """Take over what the coach now says of the speed of known clips; return those that change, and all."""
    said = {clip.sha256: clip.time_scale for clip in read if clip.time_scale_source == "coach"}
    renewed = tuple(
        replace(clip, time_scale=said[clip.sha256], time_scale_source="coach") if clip.sha256 in said else clip
        for clip in known
    )
    return tuple(new for new, old in zip(renewed, known, strict=True) if new != old), renewed


def _match_checked(
    clips: Sequence[Clip],
    known_shots: Sequence[Shot],
    table: ShotTable | None,
    batches: Sequence[Batch],
    record: PressureRecord | None,
    fixed: dict[str, str | None],
    kinds: dict[str, SwingKind],
) -> tuple[MatchedLesson, tuple[Shot, ...]]:
    known = {shot.id for shot in known_shots}
    new = tuple(shot for shot in (table.shots if table else ()) if shot.id not in known)
    shots = (*known_shots, *new)
    matched = match_lesson(clips, shots, batches, () if record is None else (record,), fixed, kinds)
    if new and clips and matched.matching.refused:
        raise BadInputError(
            f"{new[0].table} does not belong to these clips: {matched.matching.refused} "
            "Nothing was added. Check that table and clips are of the same lesson, or add them apart."
        )
    return matched, shots


def _said_by_coach(swings: Sequence[Swing]) -> tuple[dict[str, str | None], dict[str, SwingKind]]:
    fixed: dict[str, str | None] = {}
    kinds: dict[str, SwingKind] = {}
    for swing in swings:
        for clip in swing.clips:
            if swing.pairing_source == "coach":
                fixed[clip.id] = None if swing.shot is None else swing.shot.id
            if swing.kind not in (SwingKind.SHOT, SwingKind.PRACTICE):
                kinds[clip.id] = swing.kind
    return fixed, kinds
