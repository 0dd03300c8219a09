"""What the coach draws on a clip, kept with it in the library."""

from pathlib import Path

from review.errors import BadInputError
from review.lesson import Drawing
from review.library import Library


def keep_drawing(folder: Path, clip_id: str, drawing: Drawing) -> None:
    """Keep a drawing with a clip, in the place of the one with its id where there is one.

    Raises
    ------
    BadInputError
        There is no such clip any longer; nothing is kept.
    """
    with Library.open(folder, create=False) as library:
        try:
            library.add_drawing(clip_id, drawing)
        except ValueError as error:
            raise BadInputError("That clip is no longer in the library. Open the lesson again.") from error


def remove_drawing(folder: Path, clip_id: str, drawing_id: str) -> None:
    """Take a drawing off a clip; nothing happens when it is not there."""
    with Library.open(folder, create=False) as library:
        library.remove_drawing(clip_id, drawing_id)
