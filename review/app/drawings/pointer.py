"""Drawing with the mouse: press, draw, let go, or a click a point; a drawing is taken hold of and moved."""

from __future__ import annotations

import math
from functools import partial
from typing import TYPE_CHECKING

from review.app.drawings.changes import find_near
from review.app.swing_view.canvas import Pointing
from review.app.swing_view.player import SwingPlayer
from review.lesson import DrawingKind

if TYPE_CHECKING:
    from review.app.drawings.desk import DrawingDesk

_REACH, _LEAST_DRAG, _LEAST_STROKE = 0.03, 0.03, 0.004
"""Of the picture's height."""


class Pointer:
    """Tells a desk what the pointer does on a player's pictures, until ``let_go``."""

    def __init__(self, desk: DrawingDesk, player: SwingPlayer) -> None:
        self._desk = desk
        self._slots = [(one.canvas, partial(self._point, place)) for place, one in enumerate(player.screens.all)]
        self._player = player
        self._pressed: tuple[float, float] | None = None
        for canvas, slot in self._slots:
            canvas.draw_on(True)
            canvas.pointed.connect(slot)

    def let_go(self) -> None:
        """Let the pointer shift the pictures again."""
        for canvas, slot in self._slots:
            canvas.draw_on(False)
            canvas.pointed.disconnect(slot)

    def _point(self, place: int, how: Pointing, x: float, y: float) -> None:
        desk = self._desk
        if self._player.playhead is None or self._player.playhead.lead != place or desk.strip.is_asking:
            return
        if desk.sketch is None:
            self._take_hold(how, (x, y))
        elif desk.sketch.kind is DrawingKind.FREEHAND:
            self._draw_freely(how, (x, y))
        else:
            self._set_points(how, (x, y))
        desk.refresh()

    def _take_hold(self, how: Pointing, at: tuple[float, float]) -> None:
        desk, (width, height) = self._desk, self._desk.size
        if how is Pointing.PRESSED:
            desk.choose(find_near(at, desk.visible, _REACH * height))
            self._pressed = at
        elif how is not Pointing.MOVED and self._pressed is not None:
            if at != self._pressed:
                desk.nudge((at[0] - self._pressed[0]) / width, (at[1] - self._pressed[1]) / height)
            self._pressed = at
        if how is Pointing.RELEASED:
            desk.settle()
            self._pressed = None

    def _set_points(self, how: Pointing, at: tuple[float, float]) -> None:
        desk, (width, height) = self._desk, self._desk.size
        assert desk.sketch is not None
        desk.sketch.move_to((at[0] / width, at[1] / height))
        if how is Pointing.PRESSED:
            self._pressed = at
            desk.place()
        elif how is Pointing.RELEASED and self._pressed is not None:
            if math.dist(at, self._pressed) > _LEAST_DRAG * height:
                desk.place()
            self._pressed = None

    def _draw_freely(self, how: Pointing, at: tuple[float, float]) -> None:
        sketch, (width, height) = self._desk.sketch, self._desk.size
        assert sketch is not None
        sketch.move_to((at[0] / width, at[1] / height))
        if how is Pointing.PRESSED:
            sketch.placed = [sketch.hand]
        elif how is Pointing.HELD and sketch.placed:
            last = sketch.placed[-1]
            if math.dist((last[0] * width, last[1] * height), at) >= _LEAST_STROKE * height:
                sketch.place()
        elif how is Pointing.RELEASED and sketch.is_complete:
            self._desk.finish()
