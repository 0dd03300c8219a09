"""A clip opened for the pupil's eyes: whatever is wrong with it is not told with names of files or people."""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from review.app.language import tr
from review.app.swing_view.frame_pump import OpenSource
from review.errors import BadInputError
from review.jobs.showing.swing import open_clip
from review.lesson import Clip
from review.media import FrameSource


def quiet_source(folder: Path, clip: Clip) -> OpenSource:
    """What opens a clip of a library and, where that cannot be, says only that it cannot be shown."""
    return lambda: _open(folder, clip)


@contextmanager
def _open(folder: Path, clip: Clip) -> Iterator[FrameSource]:
    try:
        with open_clip(folder, clip) as source:
            yield source
    except Exception as error:
        raise BadInputError(tr("This clip cannot be shown now.")) from error
