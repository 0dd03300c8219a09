"""Errors a coach can act on: what was expected, what was found, what to do.

The edges (``cli/``, ``app/``) catch these, and work that goes on without the one file or row that is bad; programmer
mistakes stay plain ``ValueError``.
"""


class ReviewError(Exception):
    """Base of every error shown to the coach; ``exit_code`` is what the command ends with."""

    exit_code = 2


class BadInputError(ReviewError, ValueError):
    """The file, table, option or request cannot be used as it is."""


class MachineError(ReviewError, OSError):
    """Disk, permission or a missing part of the installation stopped the work."""

    exit_code = 3


class Cancelled(ReviewError):
    """The coach stopped the work; nothing half done was kept."""

    exit_code = 1
