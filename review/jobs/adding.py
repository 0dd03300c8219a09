"""Brings clips, shot table and pressure trace of a lesson into the library."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from review.errors import BadInputError
from review.jobs.lesson_file import LessonPlan
from review.jobs.measuring.kept_setups import read_setups
from review.jobs.pairing.clip_reading import as_clip, read_clip
from review.jobs.pairing.matching import MatchedLesson, match_lesson
from review.jobs.pairing.rematching import keep_known, said_kinds, said_pairs
from review.jobs.pairing.shot_pieces import number_rows
from review.jobs.pressure.mats import Mat, find_mat, note_rate
from review.jobs.pressure.measuring import keep_pressure
from review.jobs.pressure.tables import PressureTables
from review.jobs.recordings.cutting import Expanded, ask_about_doubts, ask_about_practice, expand_recordings
from review.jobs.recordings.keeping import Keeping, store_recordings
from review.jobs.records import find_or_make_lesson, find_or_make_pupil, keep_records, note_missing_consent
from review.jobs.tables.kept_mappings import find_mapping
from review.lesson import Clip, Lesson, Pupil, Said, Shot, Swing
from review.lesson.words import count
from review.library import Library
from review.pressure import PressureRecord
from review.progress import Progress, silent
from review.shots import ShotTable, merge_rows, read_shot_table


@dataclass(frozen=True)
class Added:
    """What was added: the lesson as it now is, how it was matched, what the coach should know.

    ``questions`` are those about the swings of a recording; those about pairings are in ``matched``.
    """

    lesson: Lesson
    pupil: Pupil
    matched: MatchedLesson
    n_new_clips: int
    n_new_shots: int
    notes: tuple[str, ...]
    is_consent_missing: bool
    questions: tuple[str, ...] = ()


def add_lesson(library: Library, plan: LessonPlan, progress: Progress = silent) -> Added:
    """Read everything, match it, then store it in one step; what was there before is never lost.

    Clips or rows for a lesson that the library knows already (same pupil, same day) join that lesson; what is there
    already is not added twice, and the coach's own pairings stay. In a long recording every swing is found.

    Raises
    ------
    BadInputError
        When any clip or table cannot be read or the table is of another lesson; nothing has then been changed.
    MachineError
        When the disk is full or the library may not be written.
    """
    table = _read_table(library, plan)
    if table is not None:  # a device's own error, kept with its mapping, is known to every lesson it measured
        plan = replace(plan, repeatability=tuple({**table.mapping.repeatability, **dict(plan.repeatability)}.items()))
    record, mat, unknown_mat = _read_pressure(plan, library)
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

    known = _read_known(library, plan)
    expanded = expand_recordings(known.clips, plan, read, progress)

    # matching needs no stored file, so a table of another lesson is refused before anything is written
    drafted = [as_clip(known.lesson, clip, sha256="", file="") for clip in expanded.clips]
    _match_checked(known, drafted, table, record)

    keeping = store_recordings(library, known.lesson.id, known.pupil.id, expanded, plan.keep_recordings, progress)
    places = []
    for i, clip in enumerate(expanded.clips):
        places.append(keeping.places.get(i) or library.store_clip_file(clip.path))
        progress(len(expanded.clips) + i + 1, 2 * len(expanded.clips))
    with library.transaction():
        # reading may have taken minutes: what was said, filed and taken in meanwhile counts
        known = _read_known(library, plan)
        lesson, pupil = known.lesson, known.pupil
        stored = [as_clip(lesson, clip, *place) for clip, place in zip(expanded.clips, places, strict=True)]
        moved = _move(library, expanded, keeping)
        corrected, clips = _correct_speeds([moved.get(clip.id, clip) for clip in known.clips], stored)
        known = replace(known, clips=clips)
        there = {clip.content for clip in clips}
        by_content: dict[str, Clip] = {}
        twice: list[str] = []
        for new in stored:
            first = by_content.setdefault(new.content, new)
            if first is not new:
                twice.append(f"{new.original_name} is the same clip as {first.original_name}")
        new_clips = [clip for clip in by_content.values() if clip.content not in there]
        matched, shots = _match_checked(known, new_clips, table, record)
        matched = replace(matched, swings=keep_known(matched.swings, known.swings, known.said, lesson.batches))
        keep_records(library, pupil, known.is_new_pupil, lesson, known.is_new_lesson)
        for new in new_clips:
            library.add_clip(lesson.id, new)
        for changed in (*moved.values(), *corrected):
            library.update_clip(changed)
        setups.keep(library, lesson.id)
        if mat is not None:
            library.set_pressure_mat(lesson.id, mat.to_text())
        library.replace_said(lesson.id, known.said)
        n_new_shots = library.add_shots(lesson.id, shots)
        library.replace_swings(lesson.id, matched.swings)
    if mat is not None or record is not None:
        keep_pressure(library, lesson)
    for file in keeping.left:
        library.drop_unused_file(file)
    doubts = {stored[i].id: doubt for i, doubt in expanded.doubts.items()}
    consent = note_missing_consent(pupil, plan.held_on)
    speeds = (f"Speed corrected of {count(len(corrected), 'clip')}: measure the lesson again.",) if corrected else ()
    notes = (
        *consent,
        *speeds,
        *(f"{text}; it counts once." for text in twice),
        *setups.note_strangers({clip.camera for clip in (*clips, *new_clips)}),
        *expanded.notes,
        *keeping.notes,
        *(table.notes if table else ()),
        *(record.notes if record else ()),
    )
    cut = {clip.id for clip in new_clips if clip.recording}
    questions = (
        *(table.questions if table else ()),
        *unknown_mat,
        *(f"The pressure was not put to the swings: {why}" for why in matched.refused),
        *ask_about_doubts(doubts, matched.swings),
        *ask_about_practice(cut, matched.swings),
    )
    return Added(lesson, pupil, matched, len(new_clips), n_new_shots, notes, bool(consent), questions)


def _read_table(library: Library, plan: LessonPlan) -> ShotTable | None:
    if plan.shots is None:
        return None
    found = find_mapping(library.folder, plan.shots, plan.mapping)
    table = read_shot_table(plan.shots, found.mapping, on_date=plan.held_on)
    return replace(table, notes=(*found.notes, *table.notes))


def _read_pressure(plan: LessonPlan, library: Library) -> tuple[PressureRecord | None, Mat | None, tuple[str, ...]]:
    """The trace, how the mat lies, and what to ask where its steps do not tell: the lesson is added all the same."""
    cell_cm = None if plan.mat is None else plan.mat.cell_cm
    # a mapping that is said where there is no other table is the mat's
    said = plan.pressure_mapping or (plan.mapping if plan.shots is None else None)
    tables = PressureTables(library.folder, plan.held_on, plan.pupil.handedness, said, cell_cm)
    mat = None
    unknown: tuple[str, ...] = ()
    if plan.mat is not None:
        try:
            mat = find_mat(plan.mat, plan.held_on, tables.read)
        except BadInputError as error:
            unknown = (f"How the pressure mat lies is not known: {error}",)
    if plan.pressure is None:
        return None, mat, unknown
    at = None if plan.mat is None else plan.mat.first_sample_at
    started_at = None if at is None else datetime.combine(plan.held_on, at)
    target_deg = None if mat is None or not mat.placement.has_angle else mat.placement.angle_deg
    record = tables.read(plan.pressure, started_at, target_deg)
    return replace(record, notes=(*record.notes, *note_rate(plan.mat, record))), mat, unknown


@dataclass(frozen=True)
class _Known:
    """What the library knows of the lesson, with what the plan says of pupil, lesson and batches."""

    pupil: Pupil
    is_new_pupil: bool
    lesson: Lesson
    is_new_lesson: bool
    clips: tuple[Clip, ...] = ()
    shots: tuple[Shot, ...] = ()
    swings: tuple[Swing, ...] = ()
    said: tuple[Said, ...] = ()


def _read_known(library: Library, plan: LessonPlan) -> _Known:
    pupil, is_new_pupil = find_or_make_pupil(library, plan.pupil)
    before, batches = find_or_make_lesson(library, plan, pupil)
    lesson = replace(before, batches=batches)
    if all(other.id != lesson.id for other in library.lessons(pupil.id)):
        return _Known(pupil, is_new_pupil, lesson, is_new_lesson=True)
    said = library.said(lesson.id)
    if plan.batches:  # times that are written down come before those of a key
        said = tuple(one for one in said if (one.what, one.by) != ("batch", "clock"))
    known = (library.clips(lesson.id), library.shots(lesson.id), library.swings(lesson.id), said)
    return _Known(pupil, is_new_pupil, lesson, False, *known)


def _move(library: Library, expanded: Expanded, keeping: Keeping) -> dict[str, Clip]:
    """Clips that lie in another file from now on, by id, as they are known now."""
    return {
        clip.id: replace(clip, sha256=keeping.moved[clip.id].sha256, file=keeping.moved[clip.id].file)
        for recording in expanded.recordings
        for _, clip in library.clips_of_recording(recording.recording)
        if clip.id in keeping.moved
    }


def _correct_speeds(known: Sequence[Clip], read: Sequence[Clip]) -> tuple[tuple[Clip, ...], tuple[Clip, ...]]:
    """Take over what the coach now says of the speed of known clips; return those that change, and all."""
    said = {clip.sha256: clip.time_scale for clip in read if clip.time_scale_source == "coach"}
    renewed = tuple(
        replace(clip, time_scale=said[clip.sha256], time_scale_source="coach") if clip.sha256 in said else clip
        for clip in known
    )
    return tuple(new for new, old in zip(renewed, known, strict=True) if new != old), renewed


def _match_checked(
    known: _Known, new_clips: Sequence[Clip], table: ShotTable | None, record: PressureRecord | None
) -> tuple[MatchedLesson, tuple[Shot, ...]]:
    clips = (*known.clips, *new_clips)
    new = merge_rows(known.shots, table.shots if table else ()).new
    shots = (*known.shots, *new)
    records = () if record is None else (record,)
    fixed, kinds = said_pairs(known.swings), said_kinds(known.said)
    numbers = number_rows(shots, *((table.shots, table.mapping) if table else ()))
    matched = match_lesson(clips, shots, known.lesson.batches, records, fixed, kinds, numbers)
    if new and clips and matched.matching.refused:
        raise BadInputError(
            f"{new[0].table} does not belong to these clips: {matched.matching.refused} "
            "Nothing was added. Check that table and clips are of the same lesson, or add them apart."
        )
    return matched, shots
