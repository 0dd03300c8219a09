"""The page that makes a player set-up: where positions are held in a clip, and to which marks they point."""

from collections.abc import Callable
from pathlib import Path

from PyQt5.QtCore import Qt
from PyQt5.QtGui import QKeyEvent
from PyQt5.QtWidgets import QFileDialog, QSlider, QWidget

from review.app.language import say_number, tr
from review.app.setups.holds import HOLD_S, TIMES, HoldStep
from review.app.setups.marking import read_number
from review.app.setups.player_desk import PlayerDesk
from review.app.setups.setup_page import SetupPage
from review.app.setups.words import say_hold_step, say_holds, say_read, say_refusal
from review.app.state import ReviewState
from review.jobs.showing.swing import open_clip
from review.lesson import Clip, Handedness
from review.media import FrameSource

_Key = Qt.Key
_CLIPS = "*.mp4 *.mov *.m4v *.avi *.mkv"


class PlayerPage(SetupPage):
    """Shows a frame, the holds so far and what is asked for."""

    def __init__(self, state: ReviewState, parent: QWidget | None = None) -> None:
        super().__init__(tr("Player set-up"), tr("The clip with the held positions"), state, parent)
        self.desk = PlayerDesk(state, self)
        self.frame = 0
        self.panel.magnifier.hide()
        self.panel.list.show()
        self.panel.list.setAccessibleName(tr("Held positions"))
        self.panel.list.setObjectName("choices")
        self.panel.list.setWordWrap(True)
        self.panel.list.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.slider = QSlider(Qt.Orientation.Horizontal, self)
        self.slider.setAccessibleName(tr("Place in the clip"))
        self.slider.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self._left.addWidget(self.slider)
        add = self.panel.add_button
        self.take_button = add(tr("Take it (Enter)"), self.take)
        self.back_button = add(tr("Back (Backspace)"), self.go_back)
        self.read_button = add(tr("Read them (R)"), self.desk.read_holds)
        self.next_button = add(tr("Other clip (C)"), self.desk.step_clip)
        self.file_button = add(tr("A file (O)"), self.ask_file)
        self.measure_button = add(tr("Measure (M)"), self.measure_asked.emit)
        self.slider.valueChanged.connect(self.go_to)
        self.still.came.connect(self._take_still)
        self.desk.came.connect(self._open_clip)
        self.desk.changed.connect(self._show)
        self.desk.refused.connect(self.panel.refuse)

    def renew(self) -> None:
        """Read which clips the lesson has."""
        self.desk.begin()

    # what the coach does

    def go_to(self, frame: int) -> None:
        """Show a frame of the clip."""
        times = self.still.time_s
        if times is not None:
            self.frame = min(max(frame, 0), len(times) - 1)
            self.still.ask(self.frame)
            self.slider.setValue(self.frame)
            self._show_place()

    def go_to_time(self, time_s: float) -> None:
        """Show the frame at a time, seconds."""
        if self.still.time_s is not None:
            self.go_to(int(self.still.time_s.searchsorted(time_s - 1e-9)))

    @property
    def time_s(self) -> float | None:
        """Presentation time of the frame that is on."""
        return None if self.still.time_s is None else float(self.still.time_s[self.frame])

    def take(self) -> None:
        """Take the frame that is on, or the turn that was typed, and go on."""
        draft, time_s, text = self.desk.draft, self.time_s, self.panel.field.text().strip()
        if time_s is None:
            return
        turn = read_number(text)
        if draft.step not in TIMES and text and turn is None:
            self.panel.refuse(tr("A number such as {example} is expected.", example="-30"))
            return
        try:
            taken = draft.take_time(time_s) if draft.step in TIMES else draft.take_turn(turn)
        except ValueError as error:
            self.panel.refuse(say_refusal(error))
            return
        if draft.step is HoldStep.BEGIN:
            self.go_to_time(time_s + HOLD_S)
        self.desk.set_draft(taken)

    def go_back(self) -> None:
        """Go a step back."""
        draft = self.desk.draft.back()
        if draft.step in TIMES:
            at_s = draft.begin_s if draft.step is HoldStep.BEGIN else draft.end_s
            self.go_to_time(at_s if at_s is not None else self.time_s or 0.0)
        self.desk.set_draft(draft)

    def take_away(self) -> None:
        """Take the hold that is chosen away."""
        row = self.panel.list.currentRow()
        if row >= 0:
            self.desk.set_draft(self.desk.draft.without(row))

    def ask_file(self) -> None:
        """Ask for a clip that is not of the lesson."""
        said, _ = QFileDialog.getOpenFileName(
            self, tr("The clip with the held positions"), "", f"{tr('Clips')} ({_CLIPS})"
        )
        if said:
            self.desk.open_file(Path(said))

    def keyPressEvent(self, a0: QKeyEvent | None) -> None:
        """Everything by keys."""
        if a0 is None or a0.modifiers() & Qt.KeyboardModifier.ControlModifier:
            super().keyPressEvent(a0)
            return
        by = 10 if a0.modifiers() & Qt.KeyboardModifier.ShiftModifier else 1
        rows, now_s = self.panel.list, self.time_s or 0.0
        actions: dict[int, Callable[[], object]] = {
            _Key.Key_Left: lambda: self.go_to(self.frame - by),
            _Key.Key_Right: lambda: self.go_to(self.frame + by),
            _Key.Key_PageUp: lambda: self.go_to_time(now_s - 1.0),
            _Key.Key_PageDown: lambda: self.go_to_time(now_s + 1.0),
            _Key.Key_Home: lambda: self.go_to(0),
            _Key.Key_End: lambda: self.go_to(self.slider.maximum()),
            _Key.Key_Up: lambda: rows.setCurrentRow(max(0, rows.currentRow() - 1)),
            _Key.Key_Down: lambda: rows.setCurrentRow(min(rows.count() - 1, rows.currentRow() + 1)),
            _Key.Key_Return: self.take,
            _Key.Key_Enter: self.take,
            _Key.Key_Backspace: self.go_back,
            _Key.Key_Delete: self.take_away,
            _Key.Key_R: self.desk.read_holds,
            _Key.Key_C: self.desk.step_clip,
            _Key.Key_O: self.ask_file,
            _Key.Key_M: self.measure_asked.emit,
            _Key.Key_Escape: self.left.emit,
        }
        if action := actions.get(a0.key()):
            action()
        else:
            super().keyPressEvent(a0)

    # inside

    def _has_clip(self) -> bool:
        return self.desk.clip is not None

    def _open_clip(self) -> None:
        clip, folder = self.desk.clip, self._state.library
        self.still.close_clip()
        self.frame = 0
        if clip is None:
            self.still.show_message(
                tr("No clip in this lesson yet. O opens a file with the held positions.")
                if self.desk.lesson_id
                else tr("A player set-up belongs to a lesson: open one first.")
            )
        elif self.isVisible():
            self.still.show_message(tr("Opening the clip"))
            if isinstance(clip, Clip):
                self.still.open_clip(lambda: open_clip(folder, clip), 0)
            else:
                self.still.open_clip(lambda: FrameSource(clip), 0)
        self._show()

    def _take_still(self) -> None:
        times = self.still.time_s
        if times is not None and self.slider.maximum() != len(times) - 1:
            self.slider.setMaximum(len(times) - 1)
        self._show_place()

    def _show_place(self) -> None:
        time_s = self.time_s
        self.panel.step.setText("" if time_s is None else tr("at {n} s", n=say_number(time_s, 2)))
        self.panel.step.setVisible(time_s is not None)

    def _show(self) -> None:
        clip, draft, read, lesson = self.desk.clip, self.desk.draft, self.desk.read, self._state.lesson
        hand = Handedness.RIGHT if lesson is None else lesson.pupil.handedness
        name = "" if clip is None else (clip.original_name if isinstance(clip, Clip) else clip.name)
        self.panel.refuse("")
        self.panel.ask(tr("Player set-up"), "", say_hold_step(draft) if clip is not None else "")
        self._show_place()
        self.panel.show_rows(say_holds(draft.holds, hand, read))
        is_turn = clip is not None and draft.step not in TIMES
        first = "0" if draft.step is HoldStep.HIPS and not draft.holds else ""
        self._ask_number(first if is_turn else None, say_hold_step(draft))
        waiting = tr("Reading the holds …") if self.desk.is_reading else ""
        self.panel.say_found(say_read(read) if read is not None else waiting, read is None or read.is_usable)
        self.take_button.setEnabled(clip is not None)
        self.back_button.setEnabled(draft.at > 0 or bool(draft.holds))
        self.read_button.setEnabled(draft.n_missing == 0)
        self.next_button.setEnabled(len(self.desk.clips) > 1)
        missing = tr("{n} more positions are needed at least.", n=draft.n_missing) if draft.n_missing else ""
        keys = tr("← → frame, Shift ten, Page up, down: a second   ↑ ↓ Del a position   Esc to the lesson")
        self.panel.hint.setText("   ".join(part for part in (name, missing, keys) if part))
