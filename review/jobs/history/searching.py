"""Search over what was told, felt and noted."""

from dataclasses import replace
from pathlib import Path

from review.library import Library
from review.library.searching import WrittenFound

__all__ = ["MOST_FOUND", "WrittenFound", "search_folder", "search_written"]

MOST_FOUND = 50
_PRIVATE = "private note"


def search_written(library: Library, text: str) -> tuple[WrittenFound, ...]:
    """Find what holds every word, the last lesson first; a private note is named, its words are not given."""
    found = library.find_written(text, MOST_FOUND)
    return tuple(replace(one, words="") if one.what == _PRIVATE else one for one in found)


def search_folder(folder: Path, text: str) -> tuple[WrittenFound, ...]:
    """The same for the window."""
    with Library.open(folder, create=False) as library:
        return search_written(library, text)
