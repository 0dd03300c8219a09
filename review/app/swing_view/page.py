"""The page of one swing: opened from the lesson chart, worked by keys, made quick to step through meanwhile."""

from collections.abc import Callable
from contextlib import AbstractContextManager
from pathlib import Path
from typing import Any

from PyQt5.QtCore import Qt, QTimer, pyqtSignal
from PyQt5.QtGui import QKeyEvent
from PyQt5.QtWidgets import QVBoxLayout, QWidget

from review.app.drawings.desk import DrawingDesk
from review.app.drawings.strip import Strip
from review.app.language import tr
from review.app.look import Look
from review.app.look.page_head import ElidedLabel, KeysLine, PageHead
from review.app.marks.desk import MarkDesk
from review.app.page import Page
from review.app.state import ReviewState
from review.app.swing_view.copying import Copying
from review.app.swing_view.device_numbers import say_device
from review.app.swing_view.endings import Endings
from review.app.swing_view.number_panel import NumberPanel
from review.app.swing_view.player import SwingPlayer
from review.app.swing_view.player_keys import press
from review.app.talk.desk import TalkDesk
from review.app.worker import Task
from review.jobs.showing.swing import ClipShown, SwingShown, open_clip, show_swing
from review.lesson import Drawing
from review.media import FrameSource

_COPY_AFTER_MS = 1500
"""A swing that is only passed by is not copied."""


class SwingPage(Page):
    """Shows the swing that was opened; ``left`` when the coach goes back."""

    swing_came = pyqtSignal()

    def __init__(self, state: ReviewState, parent: QWidget | None = None) -> None:
        super().__init__(tr("Swing"), parent)
        self._state = state
        self._look: Look | None = None
        self._wanted = ""
        self._endings = Endings()
        self._copying = Copying(state, self._endings, self)
        self._copy_soon = QTimer(self)
        self._copy_soon.setSingleShot(True)
        self._copy_soon.timeout.connect(self._make_copies)
        self.player: SwingPlayer | None = None
        self.title = ElidedLabel(parent=self)
        self.title.setObjectName("quiet")
        self._layout = QVBoxLayout(self)
        self._layout.setContentsMargins(0, 4, 0, 0)
        self._layout.setSpacing(0)
        self.marks = MarkDesk(state, self)
        keys = KeysLine(tr("← → frame   Page up, down key frame   D draw   K N marks   T talk   ? keys"))
        self._layout.addWidget(PageHead(self.title, keys, self.marks.notes.line))
        self.device = NumberPanel(self)
        self.device.setAccessibleName(tr("Numbers of the device"))
        self.device.hide()
        self._layout.addWidget(self.device)
        self.desk = DrawingDesk(state, self)
        self.talk = TalkDesk(state, self)
        self._layout.addWidget(self.talk)
        self._layout.addWidget(self.desk.strip)
        self._layout.addWidget(self.marks.strip)
        self._layout.addWidget(self.marks.notes.strip)
        state.drawing_changed.connect(self._show_drawing)

    def set_look(self, look: Look) -> None:
        """Take on colours and sizes."""
        self._look = look
        self.desk.strip.set_look(look)
        self.talk.set_look(look)
        self.marks.strip.set_look(look)
        self.marks.notes.set_look(look)
        self.device.set_look(look)
        self._layout.setContentsMargins(0, 4, look.quiet_px // 2, 0)
        self.title.setContentsMargins(look.quiet_px // 2, 0, 0, 0)
        if self.player is not None:
            self.player.set_look(look)

    def take_focus(self) -> None:
        """Let the keyboard go to what is being typed, else to the page."""
        (next((strip.edit for strip in self._strips if strip.is_asking), None) or self).setFocus()

    @property
    def is_unfinished(self) -> bool:
        """Whether a drawing, a mark's name, a note or a talk is in the making."""
        return self.desk.sketch is not None or self.talk.is_on or any(strip.is_asking for strip in self._strips)

    def open_swing(self, swing_id: str) -> None:
        """Read a swing beside the window, then show it."""
        if self._state.lesson is None:
            return
        self._wanted = swing_id
        folder, lesson_id = self._state.library, self._state.lesson.lesson.id

        def work(progress: Any) -> SwingShown | None:
            # while it waited the coach may have gone on to the next
            return show_swing(folder, lesson_id, swing_id, progress) if self._wanted == swing_id else None

        self._state.line.add(Task(tr("Opening the swing"), work, self._take, self._state.trouble_came.emit))

    @property
    def is_ready(self) -> bool:
        """Whether the frames that were asked for are on."""
        player = self.player
        if player is None or player.playhead is None:
            return False
        return tuple(screen.canvas.frame for screen in player.screens.all) == player.playhead.frames

    def close_swing(self) -> None:
        """Let go of the clips; a copy that is being made is given up. What runs ends by itself, see ``finish``."""
        self._wanted = ""
        self._copy_soon.stop()
        self._copying.give_up()
        self.talk.end()
        self.desk.end()
        self.marks.end()
        self.device.hide()
        if self.player is not None:
            self._endings.add(*self.player.screens.pumps)
            self.player.close_clips()
            self._layout.removeWidget(self.player)
            self.player.deleteLater()
            self.player = None

    def finish(self) -> None:
        """Close, and wait until nothing runs: nothing may outlive the window."""
        self.talk.finish()
        self.close_swing()
        self._endings.wait()

    # inside

    @property
    def _strips(self) -> tuple[Strip, ...]:
        return self.desk.strip, self.marks.strip, self.marks.notes.strip

    def _take(self, shown: SwingShown | None) -> None:
        if shown is not None and shown.swing.id == self._wanted:
            self._show(shown)

    def _show(self, shown: SwingShown) -> None:
        self.close_swing()
        self._wanted = shown.swing.id
        swing = tr("Swing {n}", n=shown.swing.order)
        batch = "" if shown.batch_number is None else tr("batch {n}", n=shown.batch_number)
        kind = "" if shown.swing.kind == "shot" else tr(shown.swing.kind.value)
        none = "" if shown.clips else tr("there is no clip of it")
        self.title.setText(" · ".join(part for part in (swing, batch, kind, none) if part))
        if shown.clips:
            opener = _opener(self._state.library)
            player = self.player = SwingPlayer(shown, opener, self)
            if self._look is not None:
                player.set_look(self._look)
            player.clips_opened.connect(lambda has_copies: self._begin(shown, has_copies))
            player.frame_shown.connect(lambda _: self.desk.refresh())
            player.screens.lost_all.connect(lambda: self._show_device(shown))
            self.marks.begin(player)
            self._layout.insertWidget(1, player, 1)
            self.setFocus()
        else:
            self._show_device(shown)
        self.swing_came.emit()

    def _show_device(self, shown: SwingShown) -> None:
        """Show what the device measured, where there is no picture to look at."""
        lesson = self._state.lesson
        if lesson is not None and shown.swing.id == self._wanted:
            numbers = say_device(lesson, shown.swing, self._state.measures)
            self.device.show_plain(numbers, tr("from the device"))
            self.device.setVisible(bool(numbers))

    def _begin(self, shown: SwingShown, has_copies: bool) -> None:
        if self.player is None or self.player.shown is not shown:
            return
        if self.player.key_frames:
            self.player.go_to(self.player.key_frames[0])
        if not has_copies:
            self._copy_soon.start(_COPY_AFTER_MS)

    def _make_copies(self) -> None:
        if self.player is not None:
            shown = self.player.shown
            self._copying.begin([one.clip for one in shown.clips], lambda problems: self._use_copies(shown, problems))

    def _use_copies(self, shown: SwingShown, problems: dict[str, str]) -> None:
        """Look through the copies from now on; where it is and how it is looked at stays."""
        if (
            self.player is not None
            and self.player.shown.swing.id == shown.swing.id
            and len(problems) < len(shown.clips)
        ):
            self.player.screens.reopen()

    def keyPressEvent(self, a0: QKeyEvent | None) -> None:
        """Everything the coach can do, by keys."""
        if a0 is None or self.desk.press(a0) or (not self.desk.is_on and self.marks.press(a0)):
            return
        if not self.desk.is_on and self.talk.press(a0, self.player):
            return
        if a0.key() == Qt.Key.Key_Escape:
            self.close_swing()
            self.left.emit()
            return
        if a0.key() in (Qt.Key.Key_Up, Qt.Key.Key_Down) and not a0.modifiers() & Qt.KeyboardModifier.ControlModifier:
            self._state.step_swing(1 if a0.key() == Qt.Key.Key_Down else -1)
            self._state.open_swing()
            return
        if self.player is not None and a0.key() == Qt.Key.Key_D and not self.desk.is_on:
            self.desk.begin(self.player)
        elif self.player is None or not press(self.player, a0):
            super().keyPressEvent(a0)
        else:
            self.desk.refresh()

    def focusNextPrevChild(self, next: bool) -> bool:
        """Tab goes from drawing to drawing."""
        return not self.desk.is_on and super().focusNextPrevChild(next)

    def _show_drawing(self, clip_id: str, drawing_id: str, drawing: Drawing | None) -> None:
        if self.player is not None:
            self.player.screens.show_drawing(clip_id, drawing_id, drawing)
            self.desk.refresh()


def _opener(library: Path) -> Callable[[ClipShown], Callable[[], AbstractContextManager[FrameSource]]]:
    return lambda shown: lambda: open_clip(library, shown.clip)
