"""The coach's library on this computer; the only room that knows SQL."""

from review.library.archived import read_archived
from review.library.backups import KeptBackup, count_in, read_copy
from review.library.files import check_space, new_part, sweep
from review.library.forgetting import Forgotten
from review.library.library import RESTORING, Library
from review.library.measured_again import MeasuredAgain
from review.library.retention import OldClip

__all__ = [
    "RESTORING",
    "Forgotten",
    "KeptBackup",
    "Library",
    "MeasuredAgain",
    "OldClip",
    "check_space",
    "count_in",
    "new_part",
    "read_archived",
    "read_copy",
    "sweep",
]
