"""The pictures of a pair: one clip of each of two swings."""

from collections.abc import Callable

from review.app.drawings.shapes import draw_shapes
from review.app.swing_view.body_lines import BodyLine
from review.app.swing_view.frame_pump import OpenSource
from review.app.swing_view.screens import Screen, Screens
from review.jobs.showing.pair import PairShown
from review.jobs.showing.swing import ClipShown

OpenClip = Callable[[ClipShown], OpenSource]


class PairScreens(Screens):
    """The two clips, with what the coach drew on them."""

    def __init__(self, pair: PairShown, clips: tuple[ClipShown, ClipShown], open_clip: OpenClip) -> None:
        self.pair = pair
        super().__init__(clips, pair.pupil.handedness, open_clip)
        self.swing_orders = (pair.first.swing.order, pair.last.swing.order)

    def _lines(self, screen: Screen, frame: int) -> tuple[BodyLine, ...]:
        body = self._body_lines(screen, frame)
        if screen.time_s is None:
            return body
        drawings = [d for side in self.pair.sides for d in side.drawings.get(screen.shown.clip.id, ())]
        size = (screen.canvas.original.width(), screen.canvas.original.height())
        now_s, hand = float(screen.time_s[frame]), self.pair.pupil.handedness
        return body + draw_shapes(drawings, now_s, size, screen.shown.track, hand)
