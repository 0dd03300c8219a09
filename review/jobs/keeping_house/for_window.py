"""What the window shows and does of keeping house, each in one piece of work with a library of its own."""

from dataclasses import dataclass
from datetime import date
from pathlib import Path

from review.jobs.keeping_house.backing_up import BackedUp, back_up
from review.jobs.keeping_house.thinning import Thinning, look_before_thinning, set_rule, thin
from review.library import KeptBackup, Library
from review.progress import Progress, silent


@dataclass(frozen=True)
class HouseShown:
    """The latest backup that is whole, None where there is none; and what the rule on old clips would let go today."""

    latest: KeptBackup | None
    thinning: Thinning

    def days_since_backup(self, today: date) -> int | None:
        """Days since the latest backup; None when there is none."""
        if self.latest is None or self.latest.made_at is None:
            return None
        return (today - self.latest.made_at.date()).days


def show_house(folder: Path) -> HouseShown:
    """Look at backups and at the rule.

    Raises
    ------
    BadInputError
        When there is no library.
    """
    with Library.open(folder, create=False) as library:
        whole = [backup for backup in library.backups() if backup.made_at is not None]
        latest = max(whole, key=lambda backup: backup.begun_at, default=None)
        return HouseShown(latest, look_before_thinning(library))


def back_up_library(folder: Path, to: Path, progress: Progress = silent) -> BackedUp:
    """Back the library up; see :func:`back_up`."""
    with Library.open(folder, create=False) as library:
        return back_up(library, to, progress)


def set_weeks(folder: Path, weeks: int | None) -> HouseShown:
    """Set the rule on old clips, and look what it would let go."""
    with Library.open(folder, create=False) as library:
        set_rule(library, weeks)
    return show_house(folder)


def thin_library(folder: Path, progress: Progress = silent) -> Thinning:
    """Let old clips go by the rule; see :func:`thin`."""
    with Library.open(folder, create=False) as library:
        return thin(library, progress)
