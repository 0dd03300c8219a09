"""Begins to follow a lesson, goes on with one that was left, ends it."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime
from pathlib import Path

from review.errors import BadInputError
from review.jobs.lesson_file import LessonPlan, PupilPlan
from review.jobs.live.desk import DAY
from review.jobs.live.rows_before import find_rows_before, find_rows_since
from review.jobs.records import allows_now, find_or_make_lesson, find_or_make_pupil, keep_records
from review.jobs.tables.kept_mappings import find_mapping, locate_mapping
from review.lesson import AimMeasure, Consent, Handedness, Lesson, LiveLesson, Purpose, Said, Watched
from review.library import Library
from review.shots import ColumnMapping, read_mapping


@dataclass(frozen=True)
class LiveRequest:
    """What the coach asks for; what is left out is as in the lesson before.

    ``folders``, ``cameras`` and ``body`` as in ``Watched``; ``body`` '' = as this lesson had it.
    ``without_table``: this lesson has none though the one before had. ``since`` is when the lesson began, where that
    was before now.
    """

    pupil: str = ""
    handedness: Handedness | None = None
    stature_m: float | None = None
    consent: Consent | None = None
    is_minor: bool = False
    guardian: str | None = None
    folders: tuple[tuple[str, str], ...] = ()
    cameras: tuple[tuple[str, str], ...] = ()
    table: Path | None = None
    without_table: bool = False
    mapping: Path | None = None
    aim_measures: tuple[AimMeasure, ...] = ()
    club: str = ""
    body: str = ""
    since: datetime | None = None


def begin_lesson(
    library: Library, request: LiveRequest, now: datetime, note: Callable[[str], None] = lambda _: None
) -> tuple[LiveLesson, bool]:
    """Return the lesson to follow, kept in the library, and whether it goes on from before.

    The lesson that was going on with another pupil ends now: what was filmed before this moment is still filed there.
    A lesson that goes on can be made to have begun earlier (``since``), not later.

    Parameters
    ----------
    now : when the coach asked for it, which may be seconds ago; rows written since are of the lesson.
    note : called with what the coach should know.

    Raises
    ------
    BadInputError
        When it is not clear whose lesson it is, or what there is to watch, or ``since`` is after its beginning.
    """
    open_lessons = _open_lessons(library, now)
    going_on = next((live for live in reversed(open_lessons) if _is_of(library, live, request.pupil)), None)
    watched = _watched(library, request)
    if going_on is not None:
        watched = replace(watched, body=request.body or going_on.watched.body)
        return _go_on(library, request, replace(going_on, watched=watched), open_lessons, now), True
    if not request.pupil:
        raise BadInputError("No lesson is going on in this library. Begin one: lesson-review live --pupil NAME ...")
    began_at = request.since or now
    plan = _plan(library, request, watched, began_at.date())
    live_before = {live.lesson_id for live in library.live_lessons()}
    before = find_rows_before(library, watched, plan.held_on, began_at, request.since)
    with library.transaction():
        for live in open_lessons:
            end_lesson(library, live, began_at)
        lesson = _keep_lesson(library, plan)
        _open_batch(library, lesson, began_at, is_again=lesson.id in live_before)
        live = LiveLesson(lesson.id, began_at, None, watched, before.keys)
        library.set_live_lesson(live)
    if before.note:
        note(before.note)
    return live, False


def is_going_on(library: Library, now: datetime) -> bool:
    """Whether a lesson goes on, or was left without an end."""
    return bool(_open_lessons(library, now))


def may_measure(library: Library, lesson_id: str) -> bool:
    """Whether the pupil of a lesson consents to being measured in it."""
    lesson = library.lesson(lesson_id)
    return allows_now(library.pupil(lesson.pupil_id), Purpose.MEASURE, lesson.held_on)


def find_going_on(library: Library, now: datetime) -> LiveLesson | None:
    """The lesson that goes on, or was left without an end; None = none."""
    return next(reversed(_open_lessons(library, now)), None)


def end_lesson(library: Library, live: LiveLesson, at: datetime) -> LiveLesson:
    """End a lesson and close its last batch; what was filmed before its end still joins it."""
    ended = replace(live, ended_at=max(at, live.began_at))
    lesson = library.lesson(live.lesson_id)
    with library.transaction():
        library.set_live_lesson(ended)
        library.set_batches(lesson.id, [replace(batch, is_closed=True) for batch in lesson.batches])
    return ended


def name_cameras(folders: Sequence[tuple[Path, str]]) -> tuple[tuple[tuple[str, str], ...], tuple[str, ...]]:
    """Give every folder's camera a name of its own; return folders with names, and what to tell of those renamed."""
    named: list[tuple[str, str]] = []
    notes = []
    for folder, camera in folders:
        taken = {name.casefold() for _, name in named}
        name, n = camera, 2
        while name and name.casefold() in taken:
            name, n = f"{camera} {n}", n + 1
        if name != camera:
            notes.append(f"Two cameras are called {camera}: the one in {folder} is {name} here.")
        named.append((str(folder), name))
    return tuple(named), tuple(notes)


def _go_on(
    library: Library, request: LiveRequest, live: LiveLesson, open_lessons: Sequence[LiveLesson], now: datetime
) -> LiveLesson:
    """Keep what is new of a lesson that goes on, and end every other."""
    lesson = library.lesson(live.lesson_id)
    since = request.since or live.began_at
    if since > live.began_at:
        raise BadInputError(
            f"This lesson goes on since {live.began_at:%H:%M:%S}; --since can only say that it began earlier. Swings "
            "of another pupil go with: lesson-review move."
        )
    if since < live.began_at:
        renewed = replace(live, began_at=since, rows_before=live.rows_before - find_rows_since(library, live, since))
    else:
        renewed = live
    with library.transaction():
        for other in open_lessons:
            if other.lesson_id != live.lesson_id:
                end_lesson(library, other, since if other.began_at <= since else now)
        if request.pupil:
            _keep_lesson(library, _plan(library, request, live.watched, lesson.held_on))
        begun = {one.item: one.value for one in library.said(lesson.id) if one.what == "begun"}
        # the batch that was opened with the lesson begins with it still
        opened = [batch_id for batch_id, at in begun.items() if at == live.began_at.isoformat()]
        library.say(lesson.id, [Said(batch_id, "begun", since.isoformat()) for batch_id in opened])
        library.set_live_lesson(renewed)
    return renewed


def _open_lessons(library: Library, now: datetime) -> list[LiveLesson]:
    return [live for live in library.live_lessons() if live.ended_at is None and live.began_at > now - DAY]


def _is_of(library: Library, live: LiveLesson, pupil: str) -> bool:
    name = library.pupil(library.lesson(live.lesson_id).pupil_id).name
    return not pupil or name.casefold() == pupil.strip().casefold()


def _watched(library: Library, request: LiveRequest) -> Watched:
    lives = library.live_lessons()
    last = lives[-1].watched if lives else Watched()
    watched = Watched(
        folders=request.folders or last.folders,
        cameras=request.cameras or last.cameras,
        table=str(request.table.absolute())
        if request.table is not None
        else ("" if request.without_table else last.table),
        mapping=last.mapping
        if request.mapping is None
        else str(locate_mapping(library.folder, request.mapping).absolute()),
        body=request.body or Watched().body,
    )
    if not watched.folders:
        raise BadInputError("Give the folder in which the camera drops its clips: --clips FOLDER.")
    for folder, _ in watched.folders:
        if not Path(folder).is_dir():
            raise BadInputError(f"There is no folder {folder}; expected the one in which the camera drops its clips.")
    if watched.table and not Path(watched.table).parent.is_dir():
        raise BadInputError(
            f"There is no folder {Path(watched.table).parent}; expected the one in which the device writes its table."
        )
    if watched.mapping:
        read_mapping(Path(watched.mapping))
    return watched


def _plan(library: Library, request: LiveRequest, watched: Watched, held_on: date) -> LessonPlan:
    same = [p for p in library.find_pupils(request.pupil) if p.name.casefold() == request.pupil.strip().casefold()]
    handedness = request.handedness or (same[0].handedness if same else None)
    if handedness is None:
        raise BadInputError(f"{request.pupil} is new: add --handed right or --handed left.")
    pupil = PupilPlan(
        request.pupil.strip(), handedness, request.stature_m, request.consent, request.is_minor, request.guardian
    )
    return LessonPlan(
        pupil,
        held_on,
        (),
        club=request.club,
        aim_measures=request.aim_measures,
        repeatability=tuple(_mapping_of(library, watched).repeatability.items()),
    )


def _mapping_of(library: Library, watched: Watched) -> ColumnMapping:
    """What the table of this lesson is read with; nothing of its own where it is not written yet."""
    said = Path(watched.mapping) if watched.mapping else None
    if said is None and not Path(watched.table).is_file():
        return ColumnMapping()
    try:
        return find_mapping(library.folder, Path(watched.table), said).mapping or ColumnMapping()
    except BadInputError:
        return ColumnMapping()  # told when the table is read


def _keep_lesson(library: Library, plan: LessonPlan) -> Lesson:
    pupil, is_new_pupil = find_or_make_pupil(library, plan.pupil)
    found, batches = find_or_make_lesson(library, plan, pupil)
    lesson = replace(found, batches=batches)
    is_new_lesson = all(known.id != lesson.id for known in library.lessons(pupil.id))
    keep_records(library, pupil, is_new_pupil, lesson, is_new_lesson)
    return lesson


def _open_batch(library: Library, lesson: Lesson, began_at: datetime, is_again: bool) -> None:
    """Open the first batch, or the next one in a lesson that was ended earlier that day or added from files."""
    if not is_again and not library.clips(lesson.id) and len(lesson.batches) == 1:
        library.set_batches(lesson.id, [replace(lesson.batches[0], is_closed=False)])
        return
    number = max((batch.number for batch in lesson.batches), default=0) + 1
    batch = replace(
        lesson.batches[-1],
        id=f"{lesson.id}-{number}",
        number=number,
        started_at=began_at,
        cue="",
        feel="",
        is_closed=False,
    )
    library.set_batches(lesson.id, [*lesson.batches, batch])
    library.say(lesson.id, [Said(batch.id, "begun", began_at.isoformat())])
