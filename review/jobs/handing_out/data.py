"""The numbers and points of a lesson as files for other programs."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from review.jobs.handing_out.body_points import gather_points
from review.jobs.handing_out.noting import noted
from review.jobs.handing_out.number_rows import gather_measures, list_rows
from review.jobs.handing_out.privacy import NOBODY_NAMED, settle_privacy
from review.jobs.handing_out.swings_table import list_swings
from review.lesson import Lesson
from review.library import Library
from review.progress import Progress, silent


@dataclass(frozen=True)
class DataHandedOut:
    """Which files were written for whom, and what they lack."""

    files: tuple[str, ...]
    n_numbers: int
    for_whom: str
    notes: tuple[str, ...]


def hand_out_data(
    library: Library, lesson: Lesson, to: Path, for_whom: str = "", progress: Progress = silent
) -> DataHandedOut:
    """Write measures (CSV, Parquet), their dictionary and the points of the body (C3D) into the folder ``to``.

    No note of the coach's, no name of a file and no words are in it; of a minor no name either. Numbers and points
    of the body need consent to measure.

    Parameters
    ----------
    for_whom : who receives it; where that is not said nobody is noted, of a minor the guardian.

    Raises
    ------
    BadInputError
        When consent to share is missing, or ``to`` holds something else.
    MachineError
        When the folder cannot be written.
    """
    pupil = library.pupil(lesson.pupil_id)
    now = datetime.now().replace(microsecond=0)
    privacy = settle_privacy(pupil, now.date(), for_whom=for_whom)
    swings, measures = gather_measures(library, lesson, privacy.with_body)
    rows = list_rows(library, lesson, swings, measures, "" if pupil.is_minor else pupil.name)
    lines = list_swings(library, lesson, measures, pupil.handedness)
    heads = list(dict.fromkeys(head for line in lines for head in line)) or ["swing", "batch"]
    if privacy.with_body:
        points, notes = gather_points(library, lesson, pupil, swings)
    else:
        points, notes = (), ("Numbers and points of the body are left out: there is no consent to measure.",)
    # imported late: the files' libraries take a second to load
    from review.takehome.exports import write_exports

    wide: list[Sequence[str | float | None]] = [heads, *([line.get(head) for head in heads] for line in lines)]
    to_whom = privacy.for_whom if for_whom.strip() or pupil.is_minor else NOBODY_NAMED
    with noted(library, lesson.id, f"numbers and points in {to.name}", to_whom, now):
        files = write_exports(rows, wide, points, to, progress)
    return DataHandedOut(files, len(rows), to_whom, notes)
