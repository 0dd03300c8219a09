"""The coach's notes on their own marks: typed in a strip, kept beside the window, shown where the frame stands."""

from collections.abc import Callable

from PyQt5.QtCore import QObject, QSize, Qt
from PyQt5.QtGui import QFontMetricsF, QKeyEvent, QPainter, QPaintEvent
from PyQt5.QtWidgets import QSizePolicy, QWidget

from review.app.drawings.strip import Strip
from review.app.language import tr
from review.app.look import Look
from review.app.look.painting import break_lines, font_of, line_px, paint_lines
from review.app.state import ReviewState
from review.app.swing_view.player import SwingPlayer
from review.app.undoing import Step
from review.app.worker import Task
from review.jobs.marks import choose_nearest, set_note
from review.jobs.showing.swing import SwingShown, show_swing
from review.lesson import KeyFrame
from review.progress import Progress

_LONGEST = 60


class NoteLine(QWidget):
    """One line with the note of the mark that the frame stands at; it keeps its place where there is none."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._look: Look | None = None
        self.text = ""
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setAccessibleName(tr("Note on your mark"))

    def set_look(self, look: Look) -> None:
        """Take on colours and sizes."""
        self._look = look
        self.updateGeometry()
        self.update()

    def show_text(self, text: str) -> None:
        """Show it, '' for none."""
        if text != self.text:
            self.text = text
            self.setAccessibleDescription(text)
            self.updateGeometry()
            self.update()

    def sizeHint(self) -> QSize:
        """One line, as wide as what is noted."""
        if self._look is None:
            return QSize(0, 0)
        font = font_of(self._look.plain_px)
        width = QFontMetricsF(font).horizontalAdvance(self.text) + 2.1 * self._look.quiet_px if self.text else 0.0
        return QSize(round(width), round(line_px(font)))

    def paintEvent(self, a0: QPaintEvent | None) -> None:
        """Paint the line, cut where it is too long."""
        if self._look is not None and self.text:
            font, side = font_of(self._look.plain_px), self._look.quiet_px
            lines = break_lines(self.text, font, self.width() - 2.0 * side, 1)
            paint_lines(QPainter(self), lines, font, self._look.theme.ink, side, 0.0)


class NoteDesk(QObject):
    """W asks for a note on the coach's mark nearest by, of the clip that leads; ``line`` shows what is noted."""

    def __init__(self, state: ReviewState, page: QWidget, renew: Callable[[SwingShown], None]) -> None:
        super().__init__(page)
        self._state, self._page, self._renew = state, page, renew
        self._player: SwingPlayer | None = None
        self._of: tuple[str, KeyFrame] | None = None
        self.line, self.strip = NoteLine(page), Strip(page)
        self.strip.setAccessibleName(tr("Note on your mark"))
        self.strip.edit.setAccessibleName(tr("Note on your mark"))
        self.strip.edit.setMaxLength(_LONGEST)
        self.strip.typed.connect(self._take)

    def set_look(self, look: Look) -> None:
        """Take on colours and sizes."""
        self.line.set_look(look)
        self.strip.set_look(look)

    def begin(self, player: SwingPlayer) -> None:
        """Take care of another swing."""
        self._player = player
        player.frame_shown.connect(lambda _: self.refresh())

    def end(self) -> None:
        """Let go of the swing."""
        self._player = None
        self.line.show_text("")
        self.stop()

    def refresh(self) -> None:
        """Show the note of where the frame stands; while it plays nothing is to be read."""
        player = self._player
        here = () if player is None or player.is_playing else player.bar.keys_here
        self.line.show_text("   ".join(f"{tr(key.name)}: {key.note}" for key in here if key.note))

    def press(self, event: QKeyEvent) -> bool:
        """Do what a key says; False where it says nothing here."""
        if self.strip.is_asking:
            if event.key() == Qt.Key.Key_Escape:
                self.stop()
            return event.key() < Qt.Key.Key_F1
        player = self._player
        if player is None or player.playhead is None or event.modifiers() or event.key() != Qt.Key.Key_W:
            return False
        clip = player.shown.clips[player.playhead.lead]
        own = choose_nearest(clip.key_frames, player.frame, is_own=True)
        if own is None:
            self._state.step_told.emit(tr("There is no mark of yours on this clip; K or N sets one."))
            return True
        player.go_to(own.frame)
        self._of = clip.clip.id, own
        self.strip.ask_for(
            tr("Note on your mark of {name}; Enter keeps it, empty takes it off, Esc leaves it", name=tr(own.name)),
            own.note,
        )
        return True

    def stop(self) -> None:
        """Ask for no note any longer."""
        self.strip.stop_asking(self._page)
        self.strip.hide()

    # inside

    def _take(self, note: str) -> None:
        of, player, lesson = self._of, self._player, self._state.lesson
        self.stop()
        if of is None or player is None or lesson is None or note == of[1].note:
            return
        clip_id, mark = of
        folder, lesson_id, swing_id = self._state.library, lesson.lesson.id, player.shown.swing.id
        state = self._state

        def put(to: str) -> None:
            def work(progress: Progress) -> SwingShown:
                set_note(folder, lesson_id, clip_id, mark.name, to)
                return show_swing(folder, lesson_id, swing_id, progress)

            state.line.add(Task(tr("Keeping a note"), work, self._renew, state.trouble_came.emit, keeps=True))

        name = tr(mark.name)
        what = tr("note on {name} kept", name=name) if note else tr("note on {name} taken off", name=name)
        state.do(Step(what, lambda: put(note), lambda: put(mark.note)))
