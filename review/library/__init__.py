"""The coach's library on this computer; the only room that knows SQL."""

from review.library.archived import read_archived
from review.library.files import check_space
from review.library.forgetting import Forgotten
from review.library.library import Library

__all__ = ["Forgotten", "Library", "check_space", "read_archived"]
