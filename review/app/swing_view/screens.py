"""The clips of a swing side by side, each fetched in a thread of its own."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray
from PyQt5.QtCore import pyqtSignal
from PyQt5.QtWidgets import QHBoxLayout, QWidget

from review.app.drawings.shapes import draw_shapes
from review.app.language import tr
from review.app.look import Look
from review.app.swing_view.body_lines import BodyLine, draw_body
from review.app.swing_view.canvas import Canvas
from review.app.swing_view.frame_pump import FramePump, OpenSource
from review.app.swing_view.playhead import ClipClock
from review.jobs.showing.swing import ClipShown
from review.lesson import Drawing, FloatArray, Handedness, KeyFrameName
from review.media import FrameSource


@dataclass
class Screen:
    """One clip; ``time_s`` are its frames' times once it is open, ``asked`` the frame last asked for.

    ``is_lost`` says that it could not be opened.
    """

    shown: ClipShown
    canvas: Canvas
    pump: FramePump
    time_s: FloatArray | None = None
    has_copy: bool = False
    asked: int = -1
    is_lost: bool = False

    @property
    def clock(self) -> ClipClock:
        """Its frames on the swing's clock, on which all clips meet at impact.

        One where impact is not known begins at the others' impact, and says so; one that is lost has a single frame.
        """
        if self.time_s is None:
            return ClipClock(np.zeros(1))
        lock_s = self.shown.impact_s
        return ClipClock(self.time_s, self.shown.clip.time_scale, float(self.time_s[0]) if lock_s is None else lock_s)


class Screens(QWidget):
    """Shows one frame of each clip. ``opened`` comes when all clips are open, ``frame_shown`` with clip and frame.

    One that cannot be read is lost: ``opened`` comes with the others, or ``lost_all`` in its place. ``swing_orders``
    are the numbers of the swings that the clips are of.
    """

    opened = pyqtSignal()
    lost_all = pyqtSignal()
    frame_shown = pyqtSignal(int, int)
    looked_at = pyqtSignal(int)

    def __init__(
        self,
        clips: Sequence[ClipShown],
        handedness: Handedness,
        open_clip: Callable[[ClipShown], OpenSource],
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self.setAccessibleName(tr("The clips"))
        self._handedness, self._open_clip, self.has_lines = handedness, open_clip, True
        self._n_clips, self.swing_orders = len(clips), (0,) * len(clips)
        self._closed: list[FramePump] = []
        layout = QHBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(4)
        self.all = tuple(self._make(i, clip, open_clip(clip)) for i, clip in enumerate(clips))
        for screen in self.all:
            layout.addWidget(screen.canvas)

    def _make(self, place: int, clip: ClipShown, opener: OpenSource) -> Screen:
        name = tr(clip.view.value) if clip.view is not None else tr("camera {name}", name=clip.clip.camera)
        canvas = Canvas(name, self)
        if clip.impact_s is None and self._n_clips > 1:
            canvas.note = tr("not in step: when it struck is not known here")
        canvas.looked_at.connect(lambda: self.looked_at.emit(place))
        return Screen(clip, canvas, self._make_pump(place, canvas, opener))

    def _make_pump(self, place: int, canvas: Canvas, opener: OpenSource) -> FramePump:
        pump = FramePump(opener, self)
        pump.opened.connect(lambda source: self._open(place, source))
        pump.failed.connect(lambda why: self._lose(place, why))
        pump.damaged.connect(canvas.show_message)
        pump.came.connect(lambda frame, picture: self._take(place, frame, picture))
        pump.came_aside.connect(lambda _, picture: canvas.show_ghost(picture))
        pump.start()
        return pump

    def set_look(self, look: Look) -> None:
        """Take on colours and sizes."""
        for screen in self.all:
            screen.canvas.set_look(look)

    def close_clips(self) -> None:
        """Let go of the clips; their threads end by themselves."""
        for screen in self.all:
            screen.pump.close()

    @property
    def pumps(self) -> tuple[FramePump, ...]:
        """The threads, those too that were closed but may still be at a picture."""
        return (*self._closed, *(screen.pump for screen in self.all))

    def reopen(self) -> None:
        """Open the clips anew, now that review copies are there; the frames that are on stay."""
        self.close_clips()
        for place, screen in enumerate(self.all):
            if screen.is_lost:
                continue
            self._closed.append(screen.pump)
            screen.pump = self._make_pump(place, screen.canvas, self._open_clip(screen.shown))
            screen.pump.ask(max(0, screen.asked))

    @property
    def have_copies(self) -> bool:
        """Whether all clips come from review copies."""
        return all(screen.has_copy or screen.is_lost for screen in self.all)

    def ask(self, frames: Sequence[int]) -> None:
        """Ask for a frame of every clip, as far as they are others than before."""
        for screen, frame in zip(self.all, frames, strict=True):
            if frame != screen.asked:
                screen.asked = frame
                screen.pump.ask(frame)

    def set_leading(self, place: int) -> None:
        """Frame the clip that leads, where there are several."""
        for i, screen in enumerate(self.all):
            screen.canvas.is_leading = i == place and len(self.all) > 1
            screen.canvas.update()

    def set_smooth(self, is_smooth: bool) -> None:
        """Paint finely, or fast."""
        for screen in self.all:
            screen.canvas.is_smooth = is_smooth
            screen.canvas.update()

    def toggle_lines(self) -> None:
        """Draw the body over the picture, or do not."""
        self.has_lines = not self.has_lines
        self.redraw()

    def redraw(self) -> None:
        """Draw the lines of the frames that are on anew."""
        for screen in self.all:
            if screen.canvas.frame is not None:
                screen.canvas.show_lines(self._lines(screen, screen.canvas.frame))

    def show_drawing(self, clip_id: str, drawing_id: str, drawing: Drawing | None) -> None:
        """Show a clip's drawing as it is now, None = it is gone."""
        for screen in self.all:
            if screen.shown.clip.id == clip_id:
                there = {one.id: one for one in screen.shown.drawings}
                there.pop(drawing_id, None)
                if drawing is not None:
                    there[drawing_id] = drawing
                screen.shown = replace(screen.shown, drawings=tuple(there.values()))
                if screen.canvas.frame is not None:
                    screen.canvas.show_lines(self._lines(screen, screen.canvas.frame))

    def find_ghost(self, place: int) -> int | None:
        """The frame that lies faintly over a clip, None where none does."""
        return _find_address(self.all[place]) if self.all[place].canvas.has_ghost else None

    def toggle_ghost(self) -> None:
        """Lay the address frame faintly over the picture, or take it away."""
        is_on = any(screen.canvas.has_ghost for screen in self.all)
        for screen in self.all:
            address = _find_address(screen)
            if is_on:
                screen.canvas.show_ghost(None)
            elif address is not None:
                screen.pump.ask_aside(address)

    # from the threads

    def _open(self, place: int, source: FrameSource) -> None:
        screen = self.all[place]
        screen.canvas.set_size(source.width_px, source.height_px)
        is_anew, screen.time_s, screen.has_copy = screen.time_s is not None, source.time_s, source.has_copy
        if not is_anew:
            self._tell_opened()

    def _lose(self, place: int, why: str) -> None:
        """Say why a clip cannot be opened, and go on with the others."""
        screen, order = self.all[place], self.swing_orders[place]
        if order and screen.shown.clip.sha256 in why:  # the library's own name of it says nothing to a coach
            why = tr("The clip of swing {n} cannot be read.", n=order)
        screen.canvas.show_message(why)
        if screen.time_s is None:
            screen.is_lost = True
            self._tell_opened()

    def _tell_opened(self) -> None:
        if all(one.is_lost for one in self.all):
            self.lost_all.emit()
        elif all(one.is_lost or one.time_s is not None for one in self.all):
            self.opened.emit()

    def _take(self, place: int, frame: int, picture: NDArray[np.uint8]) -> None:
        screen = self.all[place]
        screen.canvas.show_frame(frame, picture, self._lines(screen, frame))
        self.frame_shown.emit(place, frame)

    def _lines(self, screen: Screen, frame: int) -> tuple[BodyLine, ...]:
        """Lines of the body and of what the coach drew, which stays when the body's are put away."""
        body, shown = self._body_lines(screen, frame), screen.shown
        if screen.time_s is None or not shown.drawings:
            return body
        size = (screen.canvas.original.width(), screen.canvas.original.height())
        return body + draw_shapes(shown.drawings, float(screen.time_s[frame]), size, shown.track, self._handedness)

    def _body_lines(self, screen: Screen, frame: int) -> tuple[BodyLine, ...]:
        if not self.has_lines or screen.shown.track is None:
            return ()
        return draw_body(screen.shown.track, frame, self._handedness)


def _find_address(screen: Screen) -> int | None:
    return next((k.frame for k in screen.shown.key_frames if k.name == KeyFrameName.ADDRESS), None)
