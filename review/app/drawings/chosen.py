"""The drawings of the clip that leads, one of them chosen and changed, each change kept and undone by itself."""

from PyQt5.QtCore import QObject, QTimer
from PyQt5.QtWidgets import QWidget

from review.app.drawings import changes, said
from review.app.drawings.keeping import change_drawing
from review.app.drawings.shapes import COLOURS
from review.app.drawings.sketch import Sketch
from review.app.language import tr
from review.app.state import ReviewState
from review.app.swing_view.player import SwingPlayer
from review.app.swing_view.screens import Screen
from review.lesson import Drawing
from review.pose.drawings import Points, place_drawing

_SETTLE_MS = 1000
"""A drawing that is moved step by step is kept when it has stood still so long."""


class ChosenDrawing(QObject):
    """What can be done to the drawings on a player's leading clip, while there is a player."""

    def __init__(self, state: ReviewState, page: QWidget) -> None:
        super().__init__(page)
        self._state = state
        self.sketch: Sketch | None = None
        self._player: SwingPlayer | None = None
        self._chosen_id, self._note, self._accent = "", "", 0
        self._moved: tuple[str, Drawing] | None = None
        self._settle_soon = QTimer(self)
        self._settle_soon.setSingleShot(True)
        self._settle_soon.timeout.connect(self.settle)

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
        """The drawing that is chosen, as long as it is on the frame and none is in the making."""
        if self.sketch is not None:
            return None
        return next((drawing for drawing, _ in self.visible if drawing.id == self._chosen_id), None)

    def move_chosen(self, by_x: float, by_y: float) -> None:
        """Shift the chosen drawing by parts of width and height; kept when it has stood still for a while."""
        chosen = self.chosen
        if chosen is None or self._player is None:
            return
        clip_id = self.screen.shown.clip.id
        if self._moved is None:
            self._moved = (clip_id, chosen)
        self._player.screens.show_drawing(clip_id, chosen.id, changes.move(chosen, by_x, by_y))
        self._settle_soon.start(_SETTLE_MS)

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

    def remove(self) -> None:
        """Take the chosen drawing off."""
        chosen = self.chosen
        if chosen is not None:
            self._change(tr("{kind} removed", kind=said.say_kind(chosen.kind)), chosen, None)

    def change_pen(self) -> None:
        """Draw the chosen one, and what comes, with another pen."""
        chosen = self.chosen
        self._accent = (self._accent if chosen is None else chosen.accent) + 1
        self._accent %= len(COLOURS)
        if chosen is not None:
            after = changes.with_accent(chosen, self._accent)
            self._change(tr("{kind}: another pen", kind=said.say_kind(chosen.kind)), chosen, after)

    def change_span(self) -> None:
        """Show the chosen one on this frame only, or through the clip."""
        chosen, time_s = self.chosen, self.screen.time_s
        if chosen is not None and time_s is not None:
            is_one = changes.is_on_one_frame(chosen)
            after = changes.with_span(chosen, *((float(time_s[0]), float(time_s[-1])) if is_one else (self.now_s,) * 2))
            kind = said.say_kind(chosen.kind)
            name = tr("{kind} through the clip", kind=kind) if is_one else tr("{kind} on this frame only", kind=kind)
            self._change(name, chosen, after)

    def tie(self) -> None:
        """Let the chosen one follow the nearest body point, or nothing."""
        chosen, track = self.chosen, self.screen.shown.track
        if chosen is None or self._player is None:
            return
        hand, kind = self._player.shown.pupil.handedness, said.say_kind(chosen.kind)
        if chosen.tied_to:
            after = changes.untie(chosen, self.now_s, self.size, track, hand)
            self._change(tr("{kind} follows nothing", kind=kind), chosen, after)
        elif track is None or (tied := changes.tie(chosen, self.now_s, self.size, track, hand)) is None:
            self._note = tr("No body point is known on this frame; it can follow one in a clip that is measured.")
        else:
            self._change(tr("{kind} follows {point}", kind=kind, point=tr(tied.tied_to)), chosen, tied)

    def _change(self, name: str, before: Drawing | None, after: Drawing | None) -> None:
        change_drawing(self._state, name, self.screen.shown.clip.id, before, after)
