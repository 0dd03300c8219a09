"""Fills and writes the take-home of a lesson."""

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from functools import partial
from pathlib import Path

from review.jobs.comparing import compare_lesson
from review.jobs.handing_out.noting import BEGUN, noted
from review.jobs.handing_out.numbers import MOST_CHARTS, make_charts, make_row, say_felt_and_measured
from review.jobs.handing_out.pairs import choose_pairs
from review.jobs.handing_out.pictures import draw_pictures, draw_strips
from review.jobs.handing_out.privacy import NO_BODY, NO_BODY_FOR_PUPIL, leave_out_body, settle_privacy
from review.jobs.handing_out.swings_table import list_swings
from review.jobs.handing_out.talks import render_talks
from review.jobs.pressure.handing_out import draw_pressure_for_page
from review.jobs.processes import run_one_apart
from review.lesson import KINDS, Lesson, Source, SwingKind, is_told_first
from review.library import Library
from review.progress import Progress, silent
from review.takehome import BatchWords, ClipChoice, Pair, TakeHome, TalkVideo, recover_folder, write_takehome
from review.takehome.clips.rendering import why_silent


@dataclass(frozen=True)
class HandedOut:
    """Where the take-home lies, what it lacks and who receives it."""

    page: Path
    notes: tuple[str, ...]
    for_whom: str = ""


@dataclass(frozen=True)
class HandOutWish:
    """What the coach wants of a take-home.

    cover_faces : replace the faces in all pictures; a minor's always are.
    only_player : replace what lies around the player; with a minor always.
    for_whom : who receives it; by default the pupil, of a minor the guardian.
    choice : which clips and how; by default the usual ones.
    with_zip : write the same as one zip beside the folder.
    """

    cover_faces: bool = False
    only_player: bool = False
    for_whom: str = ""
    choice: ClipChoice | None = None
    with_zip: bool = False


def hand_out(
    library: Library,
    lesson: Lesson,
    to: Path,
    chosen: Sequence[tuple[int, int]] = (),
    progress: Progress = silent,
    wanted: HandOutWish = HandOutWish(),
) -> HandedOut:
    """Write the take-home of a lesson into the folder ``to``.

    Parameters
    ----------
    chosen : pairs of swings (first, last) by their number in the lesson; by default the most typical of each batch.

    Raises
    ------
    BadInputError
        When consent to share is missing, a chosen swing has no clip, or there are not two batches.
    MachineError
        When the folder cannot be written.
    """
    pupil = library.pupil(lesson.pupil_id)
    privacy = settle_privacy(pupil, datetime.now().date(), wanted.cover_faces, wanted.only_player, wanted.for_whom)
    compared = compare_lesson(library, lesson)
    if not privacy.with_body:
        compared = leave_out_body(compared)
    pairs, notes, shown = choose_pairs(library, compared, chosen, privacy)
    shots = [s for s in library.swings(lesson.id) if s.kind is SwingKind.SHOT]
    n_shots = Counter(s.batch_id for s in shots)
    n_left_out = Counter(s.batch_id for s in shots if s.left_out)
    numbers = (compared.first.number, compared.last.number)
    ground = draw_pressure_for_page(library, lesson, pupil, numbers) if privacy.with_body else None
    contents = TakeHome(
        pupil_name="" if pupil.is_minor else pupil.name,
        held_on=lesson.held_on,
        aim=lesson.aim,
        worked_on="; ".join(batch.cue for batch in lesson.batches[1:] if batch.cue),
        batches=tuple(BatchWords(b.number, b.cue, b.feel, n_shots[b.id], n_left_out[b.id]) for b in lesson.batches),
        pairs=pairs,
        rows=tuple(make_row(c, pupil) for c in compared.comparisons if c.in_aim or is_told_first(c.name, c.key_frame)),
        charts=make_charts(library, lesson, compared),
        strips=draw_strips(compared, MOST_CHARTS),
        pictures=draw_pictures(compared),
        ground=ground,
        felt_measured=say_felt_and_measured(compared, pupil),
        practice=lesson.practice_plan,
        check_alone=lesson.check_alone,
        # what the coach has to do is not for the pupil to read
        notes=(*(() if pairs else ("Clips side by side.",)), *(() if privacy.with_body else (NO_BODY_FOR_PUPIL,))),
        has_body_numbers=any(KINDS[c.name].source is Source.POSE for c in compared.comparisons),
        swings_csv=list_swings(library, lesson, compared.measures, pupil.handedness),
    )
    talk_notes = [f"No pressure under the feet: {doubt}" for doubt in compared.pressure_doubts]

    def write_talks(part: Path, first_number: int, report: Progress) -> Sequence[TalkVideo]:
        talks, left_out = render_talks(library, lesson.id, part, privacy, report, first_number, with_small=True)
        talk_notes.extend(left_out)
        return talks

    what = f"take-home in {to.name}" + (", faces covered" if pairs and privacy.cover_faces else "")
    with noted(library, lesson.id, what, privacy.for_whom):
        page = write_takehome(contents, to, progress, write_talks, wanted.choice, wanted.with_zip)
    # what a pupil was given can be made again: thinning leaves it
    library.keep_swings(shown, "take-home")
    if not privacy.with_body:
        notes = (NO_BODY, *notes)
    return HandedOut(page, (*notes, *_tell_without_effect(pairs, wanted), *talk_notes), privacy.for_whom)


def _tell_without_effect(pairs: Sequence[Pair], wanted: HandOutWish) -> Iterator[str]:
    """What was asked for and changed nothing."""
    if wanted.choice is not None and wanted.choice.options.with_sound:
        for pair in pairs:
            if why := why_silent(pair, wanted.choice.options):
                yield f"No sound, {pair.view}, {pair.title.lower()}: {why}."
    covers = [side.cover for pair in pairs for side in pair.sides if side.cover is not None]
    if wanted.only_player and covers and not any(cover.hides_around for cover in covers):
        yield "Only the player: the pictures show nothing beyond the player and the club's reach; they are as filmed."


def hand_out_apart(
    folder: Path,
    lesson_id: str,
    to: Path,
    wanted: HandOutWish,
    progress: Progress = silent,
) -> HandedOut:
    """Write the take-home of a lesson of the library in ``folder`` in a process of its own; see :func:`hand_out`.

    Cancelled, the process ends at once, what it was writing aside is removed, and its note goes unless a new take-home
    lies there.
    """
    before = _identify(to)
    with Library.open(folder, create=False) as library:
        last, _ = library.last_handout(lesson_id)
    try:
        return run_one_apart(partial(_hand_out, folder, lesson_id, to, wanted), progress)
    except BaseException:
        if to.parent.is_dir():
            recover_folder(to.resolve())
        with Library.open(folder, create=False) as library:
            number, what = library.last_handout(lesson_id)
            if number > last and BEGUN in what:
                library.settle_handout(number, "" if _identify(to) == before else what.removesuffix(f" ({BEGUN})"))
        raise


def _identify(folder: Path) -> tuple[int, ...]:
    """Tell a folder from one that takes its place."""
    try:
        found = folder.resolve().stat()
    except OSError:
        return ()
    return found.st_dev, found.st_ino


def _hand_out(folder: Path, lesson_id: str, to: Path, wanted: HandOutWish, progress: Progress) -> HandedOut:
    with Library.open(folder, create=False) as library:
        lesson = library.lesson(lesson_id)
        return hand_out(library, lesson, to, (), progress, wanted)
