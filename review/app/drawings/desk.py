"""Drawing on the clip that leads: by keys or with the mouse, each change kept and undone by itself."""

from collections.abc import Callable
from functools import partial
from uuid import uuid4

from PyQt5.QtCore import QObject, Qt, QTimer
from PyQt5.QtGui import QKeyEvent
from PyQt5.QtWidgets import QWidget

from review.app.drawings import changes, said
from review.app.drawings.following import Points, place_drawing
from review.app.drawings.handles import draw_handles, draw_sketch
from review.app.drawings.keeping import change_drawing
from review.app.drawings.pointer import Pointer
from review.app.drawings.shapes import COLOURS
from review.app.drawings.sketch import Sketch
from review.app.drawings.strip import Strip
from review.app.language import tr
from review.app.state import ReviewState
from review.app.swing_view.player import SwingPlayer
from review.app.swing_view.screens import Screen
from review.lesson import Drawing, DrawingKind

_STEP, _FINE_STEP = 0.02, 0.002
"""Of the picture's height."""
_SETTLE_MS = 1000
"""A drawing that is moved step by step is kept when it has stood still so long."""
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


class DrawingDesk(QObject):
    """Draws on a player's leading clip between ``begin`` and ``end``; says on ``strip`` what to press next."""

    def __init__(self, state: ReviewState, page: QWidget) -> None:
        super().__init__(page)
        self._state, self._page = state, page
        self.strip = Strip(page)
        self.strip.typed.connect(self._take_words)
        self.sketch: Sketch | None = None
        self._player: SwingPlayer | None = None
        self._pointer: Pointer | None = None
        self._chosen_id, self._note, self._accent = "", "", 0
        self._moved: tuple[str, Drawing] | None = None
        self._settle_soon = QTimer(self)
        self._settle_soon.setSingleShot(True)
        self._settle_soon.timeout.connect(self.settle)

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
        self._stop_asking()
        self._player, self._pointer, self.sketch = None, None, None
        self.strip.hide()

    # what is there

    @property
    def screen(self) -> Screen:
        """The clip that is drawn on."""
        assert self._player is not None
        assert self._player.playhead is not None
        return self._player.screens.all[self._player.playhead.lead]

    @property
    def size(self) -> tuple[float, float]:
        """Width and height of its picture in pixels."""
        original = self.screen.canvas.original
        return original.width(), original.height()

    @property
    def now_s(self) -> float:
        """Presentation time of the frame that is on."""
        screen = self.screen
        return 0.0 if screen.time_s is None else float(screen.time_s[screen.canvas.frame or 0])

    @property
    def visible(self) -> list[tuple[Drawing, Points]]:
        """Drawings on the frame that is on, with their points in pixels."""
        assert self._player is not None
        shown, hand = self.screen.shown, self._player.shown.pupil.handedness
        placed = ((d, place_drawing(d, self.now_s, self.size, shown.track, hand)) for d in shown.drawings)
        return [(drawing, points) for drawing, points in placed if points]

    @property
    def chosen(self) -> Drawing | None:
        """The drawing that is chosen, as long as it is on the frame."""
        return next((drawing for drawing, _ in self.visible if drawing.id == self._chosen_id), None)

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
            Qt.Key.Key_Delete: self._remove,
            Qt.Key.Key_P: self._change_pen,
            Qt.Key.Key_B: self._tie,
            Qt.Key.Key_O: self._change_span,
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
        assert self._player is not None
        chosen = self.chosen
        if self.sketch is not None:
            x, y = self.sketch.hand
            self.sketch.move_to((x + by_x, y + by_y))
        elif chosen is not None:
            clip_id = self.screen.shown.clip.id
            if self._moved is None:
                self._moved = (clip_id, chosen)
            self._player.screens.show_drawing(clip_id, chosen.id, changes.move(chosen, by_x, by_y))
            self._settle_soon.start(_SETTLE_MS)
        self.refresh()

    def settle(self) -> None:
        """Keep where a drawing was moved to."""
        self._settle_soon.stop()
        if self._moved is None or self._player is None:
            return
        (clip_id, before), self._moved = self._moved, None
        drawings = [d for s in self._player.screens.all if s.shown.clip.id == clip_id for d in s.shown.drawings]
        after = next((drawing for drawing in drawings if drawing.id == before.id), None)
        if after is not None:
            name = tr("{kind} moved", kind=said.say_kind(before.kind))
            change_drawing(self._state, name, clip_id, before, after)

    def place(self) -> None:
        """Set the point in hand."""
        if self.sketch is None or self.sketch.kind is DrawingKind.FREEHAND or not self.sketch.place():
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
        self._stop_asking()
        if text:
            self.finish(text)
        self.sketch = None
        self.refresh()

    def _stop_asking(self) -> None:
        if self.strip.is_asking:
            self.strip.stop_asking()
            self._page.setFocus()

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

    def _change(self, name: str, before: Drawing | None, after: Drawing | None) -> None:
        change_drawing(self._state, name, self.screen.shown.clip.id, before, after)

    def _remove(self) -> None:
        chosen = self.chosen
        if self.sketch is None and chosen is not None:
            self._change(tr("{kind} removed", kind=said.say_kind(chosen.kind)), chosen, None)

    def _change_pen(self) -> None:
        chosen = None if self.sketch is not None else self.chosen
        self._accent = (self._accent if chosen is None else chosen.accent) + 1
        self._accent %= len(COLOURS)
        if chosen is not None:
            after = changes.with_accent(chosen, self._accent)
            self._change(tr("{kind}: another pen", kind=said.say_kind(chosen.kind)), chosen, after)

    def _change_span(self) -> None:
        chosen, time_s = self.chosen, self.screen.time_s
        if self.sketch is None and chosen is not None and time_s is not None:
            is_one = changes.is_on_one_frame(chosen)
            after = changes.with_span(chosen, *((float(time_s[0]), float(time_s[-1])) if is_one else (self.now_s,) * 2))
            kind = said.say_kind(chosen.kind)
            name = tr("{kind} through the clip", kind=kind) if is_one else tr("{kind} on this frame only", kind=kind)
            self._change(name, chosen, after)

    def _tie(self) -> None:
        chosen, track = self.chosen, self.screen.shown.track
        if self.sketch is not None or chosen is None or self._player is None:
            return
        hand, kind = self._player.shown.pupil.handedness, said.say_kind(chosen.kind)
        if chosen.tied_to:
            after = changes.untie(chosen, self.now_s, self.size, track, hand)
            self._change(tr("{kind} follows nothing", kind=kind), chosen, after)
        elif track is None or (tied := changes.tie(chosen, self.now_s, self.size, track, hand)) is None:
            self._note = tr("No body point is known on this frame; it can follow one in a clip that is measured.")
        else:
            self._change(tr("{kind} follows {point}", kind=kind, point=tr(tied.tied_to)), chosen, tied)
