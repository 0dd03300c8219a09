"""Adds a mat's table, its three steps or both to a lesson that the library knows; looks at them before."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from review.errors import BadInputError
from review.jobs.pairing.matching import match_lesson
from review.jobs.pairing.rematching import said_kinds
from review.jobs.pairing.shot_pieces import number_rows
from review.jobs.pressure.mats import Mat, MatPlan, find_mat, load_mat, parse_mat
from review.jobs.pressure.measuring import LessonPressure, keep_pressure
from review.jobs.pressure.tables import PressureTables
from review.lesson import Lesson, Swing, Trace
from review.library import Library
from review.pressure import PressureRecord
from review.progress import Progress, silent

_WORDS = {
    "[pressure_mat] ": "",
    "stance_width_cm": "Stance in cm",
    "lead_foot_flare_deg": "Flare of the lead foot in degrees",
    "trail_foot_flare_deg": "Flare of the trail foot in degrees",
    "edge_deg": "Angle of the mat's edge in degrees",
}


@dataclass(frozen=True)
class LookedAtMat:
    """What a trace's table and a mat's steps are read as, before anything is kept; refusals say why one cannot be.

    ``has_mat`` and ``n_traces`` are what the lesson has already.
    """

    record: PressureRecord | None
    mat: Mat | None
    trace_refusal: str = ""
    mat_refusal: str = ""
    has_mat: bool = False
    n_traces: int = 0


@dataclass(frozen=True)
class AddedPressure:
    """The mat as it is kept now, how many swings have a new trace, of how many in all, what the coach should know."""

    mat: Mat | None
    n_new_traces: int
    n_swings: int
    read: LessonPressure
    notes: tuple[str, ...]


def plan_mat(
    steps: Path | None,
    stance_cm: float | None = None,
    flares_deg: Sequence[float | None] = (None, None),
    edge_deg: float | None = None,
    is_mirrored: bool = False,
) -> MatPlan | None:
    """What a coach says of a mat outside a lesson file, checked as there; None where nothing is said.

    Parameters
    ----------
    flares_deg : of the lead and the trail foot, turned out is +.

    Raises
    ------
    BadInputError
        A number cannot be, or neither steps nor the edge's angle tell how the mat lies.
    """
    lead, trail = flares_deg
    numbers = {
        "stance_width_cm": stance_cm,
        "lead_foot_flare_deg": lead,
        "trail_foot_flare_deg": trail,
        "edge_deg": edge_deg,
    }
    said = {name: number for name, number in numbers.items() if number is not None}
    if not said and steps is None and not is_mirrored:
        return None
    if steps is None and edge_deg is None:
        raise BadInputError(
            "Stance, flares and 'mirrored' belong to a mat: give the table of the three steps, or the angle of the "
            "mat's edge, with them."
        )
    try:
        return parse_mat({**said, "mirrored": is_mirrored}, steps)
    except BadInputError as error:
        text = str(error)
        for name, words in _WORDS.items():
            text = text.replace(name, words)
        raise BadInputError(text) from error


def look_at_mat(folder: Path, lesson_id: str, trace: Path | None, plan: MatPlan | None) -> LookedAtMat:
    """Read a trace's table, see whether it is of the lesson, and find how the mat lies, each by itself.

    Nothing is stored.

    Raises
    ------
    BadInputError
        The library or the lesson is not there.
    """
    with Library.open(folder, create=False) as library:
        lesson = library.lesson(lesson_id)
        tables = _tables(library, lesson, plan, None)
        has_mat = library.pressure_mat(lesson_id) is not None
        n_traces = sum(swing.trace is not None for swing in library.swings(lesson_id))
        record, mat, refusals = None, None, ["", ""]
        if plan is not None:
            try:
                mat = find_mat(plan, lesson.held_on, tables.read)
            except BadInputError as error:
                refusals[1] = str(error)
        if trace is not None:
            try:
                read = tables.read(trace)
                _cut_traces(library, lesson, read)
                record = read
            except BadInputError as error:
                refusals[0] = str(error)
    return LookedAtMat(record, mat, refusals[0], refusals[1], has_mat, n_traces)


def add_pressure(
    folder: Path,
    lesson_id: str,
    trace: Path | None,
    plan: MatPlan | None = None,
    mapping: Path | None = None,
    progress: Progress = silent,
) -> AddedPressure:
    """Keep how the mat lies, cut a trace's table for the swings, and read their numbers, all in one step.

    Pairs, batches and everything else of the swings stay; a swing that the new table does not reach keeps its trace.

    Parameters
    ----------
    trace, plan : None leaves what the lesson has.
    mapping : a file, or the name it is kept under; None finds the kept one whose columns a table has.

    Raises
    ------
    BadInputError
        A table cannot be read, the steps contradict each other, or the table reaches no swing; nothing is changed.
    """
    if trace is None and plan is None:
        raise BadInputError("Give the mat's table, the table of the three steps, or the angle of the mat's edge.")
    with Library.open(folder, create=False) as library:
        lesson = library.lesson(lesson_id)
        tables = _tables(library, lesson, plan, mapping)
        progress(0, 4)
        mat = load_mat(library, lesson_id)
        if plan is not None:
            mat = find_mat(plan, lesson.held_on, tables.read)
            mat = replace(mat, cell_cm=tables.cell_cm)
        progress(1, 4)
        along = None if mat is None or not mat.placement.has_angle else mat.placement.angle_deg
        record = None if trace is None else tables.read(trace, target_deg=along)
        notes: tuple[str, ...] = ()
        progress(2, 4)
        with library.transaction():
            n_new = 0
            if plan is not None and mat is not None:
                library.set_pressure_mat(lesson_id, mat.to_text())
            if record is not None:
                swings, n_new, notes = _cut_traces(library, lesson, record)
                library.replace_swings(lesson_id, swings)
            progress(3, 4)
            read = keep_pressure(library, lesson)
            progress(4, 4)
        n_swings = len(library.swings(lesson_id))
    return AddedPressure(mat, n_new, n_swings, read, (*(record.notes if record else ()), *notes))


def _tables(library: Library, lesson: Lesson, plan: MatPlan | None, mapping: Path | None) -> PressureTables:
    kept = load_mat(library, lesson.id)
    cell_cm = (plan.cell_cm if plan else None) or (kept.cell_cm if kept else None)
    pupil = library.pupil(lesson.pupil_id)
    return PressureTables(library.folder, lesson.held_on, pupil.handedness, mapping, cell_cm)


def _cut_traces(library: Library, lesson: Lesson, record: PressureRecord) -> tuple[list[Swing], int, tuple[str, ...]]:
    """Cut a record for the swings as they are paired; return them, how many it reaches, what is to be known of it."""
    swings, shots, clips = library.swings(lesson.id), library.shots(lesson.id), library.clips(lesson.id)
    if not swings:
        raise BadInputError(
            f"{record.table}: expected a lesson with swings, found none yet; add its clips or its shot table first. "
            "The three steps can be kept before."
        )
    pairs = {clip.id: None if swing.shot is None else swing.shot.id for swing in swings for clip in swing.clips}
    kinds, numbers = said_kinds(library.said(lesson.id)), number_rows(shots)
    bare = match_lesson(clips, shots, lesson.batches, (), pairs, kinds, numbers)
    matched = match_lesson(clips, shots, lesson.batches, (record,), pairs, kinds, numbers)
    if matched.refused:
        raise BadInputError(matched.refused[0])
    found = {item: swing.trace for swing in matched.swings if swing.trace is not None for item in swing.items}
    renewed = [_with_trace(swing, found) for swing in swings]
    n_new = sum(new is not old for new, old in zip(renewed, swings, strict=True))
    if not n_new:
        raise BadInputError(
            f"{record.table}: expected samples at the time of the lesson's swings, found none of them at that time; "
            "check that it is of this lesson and this pupil."
        )
    return renewed, n_new, tuple(note for note in matched.notes if note not in bare.notes)


def _with_trace(swing: Swing, found: dict[str, Trace]) -> Swing:
    new = next((found[item] for item in swing.items if item in found), None)
    if new is None:
        return swing
    return replace(swing, trace=replace(new, id=f"{swing.id}-trace" if swing.trace is None else swing.trace.id))
