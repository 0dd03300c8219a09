"""What is seen of a swing while the coach talks: all that its video shows again."""

from dataclasses import replace

from PyQt5.QtCore import QRectF

from review.app.swing_view.player import SwingPlayer
from review.app.swing_view.playhead import Playhead
from review.lesson import Moment
from review.lesson.talk_overs import WHOLE


def find_moment(player: SwingPlayer, playhead: Playhead, at: int, note: str) -> Moment:
    """What is on the leading picture now: frame, part, lines, drawings, what lies faintly over it."""
    canvas, screen = player.leading, player.screens.all[playhead.lead]
    return Moment(
        at,
        screen.shown.clip.id,
        canvas.frame or 0,
        playhead.speed if player.is_playing else 0.0,
        find_view(player),
        screen.shown.drawings,
        note,
        player.screens.has_lines,
        player.screens.find_ghost(playhead.lead),
        canvas.placing.turn_deg,
    )


def find_view(player: SwingPlayer) -> tuple[float, float, float, float]:
    """What is seen of the leading picture before it is turned, as parts of its width and height."""
    canvas = player.leading
    straight = replace(canvas.placing, turn_deg=0.0)
    back, is_known = straight.to_canvas(canvas.original, QRectF(canvas.rect())).inverted()
    whole = QRectF(0, 0, canvas.original.width(), canvas.original.height())
    seen = back.mapRect(QRectF(canvas.rect())).intersected(whole) if is_known else whole
    if seen.isEmpty():
        return WHOLE
    left, right = (round(x / whole.width(), 4) for x in (seen.left(), seen.right()))
    top, low = (round(y / whole.height(), 4) for y in (seen.top(), seen.bottom()))
    return left, top, right, low
