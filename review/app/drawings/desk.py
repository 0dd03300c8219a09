"""Drawing on the clip that leads: by keys or with the mouse, each change kept and undone by itself."""

from collections.abc import Callable
from functools import partial
from uuid import uuid4

from PyQt5.QtCore import Qt
from PyQt5.QtGui import QKeyEvent
from PyQt5.QtWidgets import QWidget

from review.app.drawings import said
from review.app.drawings.chosen import ChosenDrawing
from review.app.drawings.handles import draw_handles, draw_sketch
from review.app.drawings.pointer import Pointer
from review.app.drawings.shapes import COLOURS
from review.app.drawings.sketch import Sketch
from review.app.drawings.strip import Strip
from review.app.language import tr
from review.app.state import ReviewState
from review.app.swing_view.player import SwingPlayer
from review.lesson import Drawing, DrawingKind

_STEP, _FINE_STEP = 0.02, 0.002
"""Of the picture's height."""
_TOOLS = {
    Qt.Key.Key_L: DrawingKind.LINE,
    Qt.Key.Key_A: DrawingKind.ANGLE,
    Qt.Key.Key_R: DrawingKind.ARROW,
    Qt.Key.Key_C: DrawingKind.CIRCLE,
    Qt.Key.Key_F: DrawingKind.FREEHAND,
    Qt.Key.Key_T: DrawingKind.TEXT,
}
_ARROWS = {
    Qt.Key.Key_Left: (-1, 0),
    Qt.Key.Key_Right: (1, 0),
    Qt.Key.Key_Up: (0, -1),
    Qt.Key.Key_Down: (0, 1),
}


class DrawingDesk(ChosenDrawing):
    """Draws on a player's leading clip between ``begin`` and ``end``; says on ``strip`` what to press next."""

    def __init__(self, state: ReviewState, page: QWidget) -> None:
        super().__init__(state, page)
        self._page = page
        self.strip = Strip(page)
        self.strip.typed.connect(self._take_words)
        self._pointer: Pointer | None = None

    @property
    def is_on(self) -> bool:
        """Whether the coach draws."""
        return self._player is not None

    def begin(self, player: SwingPlayer) -> None:
        """Draw on a player's clips, which stand still."""
        if player.playhead is None or self.is_on:
            return
        player.pause()
        self._player, self.sketch, self._chosen_id, self._note = player, None, "", ""
        self._pointer = Pointer(self, player)
        self.strip.tell("")
        self.strip.show()
        self.refresh()

    def end(self) -> None:
        """Keep what was moved, and leave."""
        if self._player is None or self._pointer is None:
            return
        self.settle()
        self._pointer.let_go()
        for screen in self._player.screens.all:
            screen.canvas.show_sketch(())
        self.strip.stop_asking(self._page)
        self._player, self._pointer, self.sketch = None, None, None
        self.strip.hide()

    def choose(self, drawing: Drawing | None) -> None:
        """Choose a drawing, or none."""
        self.settle()
        self._chosen_id = "" if drawing is None else drawing.id
        self.refresh()

    def refresh(self) -> None:
        """Show and say anew what is in hand or chosen."""
        if self._player is None:
            return
        if self.sketch is not None:
            lines = draw_sketch(self.sketch, self._accent, self.size)
            words = said.say_typing() if self.strip.is_asking else said.say_sketch(self.sketch)
        elif (chosen := self.chosen) is not None:
            points = next(points for drawing, points in self.visible if drawing is chosen)
            lines = draw_handles(points, COLOURS[chosen.accent % len(COLOURS)], self.size)
            words = said.say_drawing(chosen)
        else:
            lines, words = (), said.say_tools()
        for screen in self._player.screens.all:
            screen.canvas.show_sketch(lines if screen is self.screen else ())
        self.strip.say(self._note or words)

    # by keys

    def press(self, event: QKeyEvent) -> bool:
        """Do what a key says; False where it is not for drawing."""
        key, held = event.key(), event.modifiers()
        if not self.is_on:
            return False
        if held & Qt.KeyboardModifier.ControlModifier:
            self.settle()  # so that undo finds it
            return False
        if self.strip.is_asking:
            if key == Qt.Key.Key_Escape:
                self._take_words("")
            return key < Qt.Key.Key_F1
        self._note = ""
        if key in _ARROWS:
            step = _FINE_STEP if held & Qt.KeyboardModifier.ShiftModifier else _STEP
            x, y = _ARROWS[Qt.Key(key)]
            self.nudge(x * step * self.size[1] / self.size[0], y * step)
            return True
        self.settle()
        if key in _TOOLS:
            self._take_tool(_TOOLS[Qt.Key(key)])
            return True
        actions: dict[int, Callable[[], object]] = {
            Qt.Key.Key_Return: self.place,
            Qt.Key.Key_Enter: self.place,
            Qt.Key.Key_Backspace: self._take_back,
            Qt.Key.Key_Tab: partial(self._choose_next, 1),
            Qt.Key.Key_Backtab: partial(self._choose_next, -1),
            Qt.Key.Key_Delete: self.remove,
            Qt.Key.Key_P: self.change_pen,
            Qt.Key.Key_B: self.tie,
            Qt.Key.Key_O: self.change_span,
            Qt.Key.Key_D: self.end,
            Qt.Key.Key_Escape: self._leave,
        }
        action = actions.get(key)
        if action is not None:
            action()
            self.refresh()
        return action is not None

    def nudge(self, by_x: float, by_y: float) -> None:
        """Move the point in hand, or the drawing that is chosen, by parts of width and height."""
        if self.sketch is not None:
            x, y = self.sketch.hand
            self.sketch.move_to((x + by_x, y + by_y))
            if self.sketch.kind is DrawingKind.FREEHAND and self.sketch.placed:
                self.sketch.place()
        else:
            self.move_chosen(by_x, by_y)
        self.refresh()

    def place(self) -> None:
        """Set the point in hand; a freehand line begins with it, or ends at it."""
        if self.sketch is None or not self.sketch.place():
            return
        if self.sketch.kind is DrawingKind.TEXT:
            self.strip.ask()
        else:
            self.finish()

    def finish(self, text: str = "") -> None:
        """Keep the drawing in the making, through the clip; it is the one chosen then."""
        time_s = self.screen.time_s
        if self.sketch is None or time_s is None:
            return
        drawing = self.sketch.as_drawing(uuid4().hex, (float(time_s[0]), float(time_s[-1])), self._accent, text)
        self.sketch, self._chosen_id = None, drawing.id
        self._change(tr("{kind} drawn", kind=said.say_kind(drawing.kind)), None, drawing)

    # inside

    def _take_tool(self, kind: DrawingKind) -> None:
        hand = (0.5, 0.5) if self.sketch is None else self.sketch.hand
        self.sketch = Sketch(kind, hand)
        self.refresh()

    def _take_words(self, text: str) -> None:
        self.strip.stop_asking(self._page)
        if text:
            self.finish(text)
        self.sketch = None
        self.refresh()

    def _take_back(self) -> None:
        if self.sketch is not None:
            self.sketch.take_back()

    def _leave(self) -> None:
        if self.sketch is not None:
            self.sketch = None
        else:
            self.end()

    def _choose_next(self, by: int) -> None:
        visible = [drawing.id for drawing, _ in self.visible]
        if self.sketch is None and visible:
            at = visible.index(self._chosen_id) + by if self._chosen_id in visible else min(0, by)
            self._chosen_id = visible[at % len(visible)]
