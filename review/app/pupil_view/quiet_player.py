"""Two swings for the pupil's eyes: pictures alone; what is wrong is not told with names of files or people."""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from review.app.language import tr
from review.app.side_by_side.pair_player import PairPlayer
from review.app.swing_view.frame_pump import OpenSource
from review.errors import BadInputError
from review.jobs.showing.pair import PairShown, list_views
from review.jobs.showing.swing import open_clip
from review.lesson import Clip
from review.media import FrameSource


def make_quiet_player(folder: Path, pair: PairShown, view: int) -> PairPlayer:
    """Two swings of a library from camera number ``view`` of those that filmed both, without time line and lines."""
    views = list_views(pair.first, pair.last)
    player = PairPlayer(pair, views[min(view, len(views) - 1)], lambda shown: _quiet_source(folder, shown.clip))
    for part in (player.bar, player.place):
        part.hide()
    player.screens.toggle_lines()
    if pair.first.swing.id == pair.last.swing.id:
        player.screens.all[1].canvas.hide()  # one filmed swing: once, and large
    return player


def _quiet_source(folder: Path, clip: Clip) -> OpenSource:
    """What opens a clip of a library and, where that cannot be, says only that it cannot be shown."""
    return lambda: _open(folder, clip)


@contextmanager
def _open(folder: Path, clip: Clip) -> Iterator[FrameSource]:
    try:
        with open_clip(folder, clip) as source:
            yield source
    except Exception as error:
        raise BadInputError(tr("This clip cannot be shown now.")) from error
