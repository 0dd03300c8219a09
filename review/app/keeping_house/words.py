"""What the page on backups and old clips says, without Qt."""

from datetime import date
from pathlib import Path

from review.app.language import say_count, say_figures, tr
from review.app.sentences import say_sentences
from review.jobs.keeping_house.backing_up import BackedUp
from review.jobs.keeping_house.for_window import HouseShown
from review.jobs.keeping_house.thinning import Thinning
from review.lesson.words import size

RULES: tuple[int | None, ...] = (None, 4, 8, 13, 26, 52, 104)
"""Weeks that can be chosen for clips that are not kept for good; None = all stay. Round numbers, no source."""


def say_backup(shown: HouseShown, today: date) -> str:
    """Where the latest backup lies and how old it is."""
    days = shown.days_since_backup(today)
    if days is None or shown.latest is None:
        return tr("There is no backup yet. If this computer breaks, all lessons are gone.")
    folder = shown.latest.folder
    if days <= 0:
        return tr("Backed up today: {folder}", folder=folder)
    if days == 1:
        return tr("Backed up yesterday: {folder}", folder=folder)
    return tr("Backed up {n} days ago: {folder}", n=days, folder=folder)


def say_rule(weeks: int | None) -> str:
    """The rule on old clips, as it stands in the list."""
    if weeks is None:
        return tr("All clips stay")
    return tr("Chosen swings for good, other clips {n} weeks", n=weeks)


def say_to_go(thinning: Thinning) -> str:
    """What the rule would let go today, and what stays."""
    if thinning.weeks is None:
        return ""
    if not thinning.clips:
        said = tr("No older clip goes.") if thinning.staying else tr("No clip is older than that.")
        return f"{said}{_say_staying(thinning)}"
    clips = say_count(len(thinning.clips), "1 clip", "{n} clips")
    said = tr(
        "To go: {clips} of lessons before {day}, {size}. Numbers stay, and clips that you chose, drew on, marked, "
        "talked over or gave to the pupil.",
        clips=clips,
        day=thinning.before.isoformat(),
        size=say_figures(size(thinning.size_bytes)),
    )
    return f"{said}{_say_staying(thinning)}"


def _say_staying(thinning: Thinning) -> str:
    """Why older clips stay: '8 chosen, 2 marked'."""
    parts = (f"{n} {say_sentences(why)}" for why, n in thinning.staying.items())
    return "\n" + tr("Older clips that stay: {what}.", what=", ".join(parts)) if thinning.staying else ""


def say_backed_up(done: BackedUp) -> str:
    """What was backed up, and what is not whole anywhere."""
    said = tr(
        "Backed up, {n} files, {size}, each read back and right: {folder}",
        n=done.n_files,
        size=say_figures(size(done.size_bytes)),
        folder=done.folder,
    )
    if done.n_removed:
        said += " " + tr("Taken out there, since no longer in the library: {n} files.", n=done.n_removed)
    if done.lost:
        said += " " + tr("Damaged or missing in the library: {files}", files=", ".join(done.lost[:3]))
    return said


def say_gone(gone: Thinning) -> str:
    """What was let go."""
    clips = say_count(len(gone.clips), "1 clip", "{n} clips")
    return tr("Gone: {clips}, {size}. Their numbers stay.", clips=clips, size=say_figures(size(gone.size_bytes)))


def propose_backup_folder(shown: HouseShown) -> str:
    """The folder of the latest backup; '' when there is none, for only the coach knows the disk."""
    return "" if shown.latest is None else str(Path(shown.latest.folder))
