"""The page that marks a camera's set-up: the stick on the ground, the phone's level, a plumb edge."""

from collections.abc import Callable

from PyQt5.QtCore import Qt
from PyQt5.QtGui import QKeyEvent
from PyQt5.QtWidgets import QWidget

from review.app.language import say_number, tr
from review.app.setups.camera_desk import CameraDesk
from review.app.setups.marking import POINTS, Draft, Step, hold_inside, propose_point, read_number
from review.app.setups.marks_drawn import draw_marks
from review.app.setups.setup_page import SetupPage
from review.app.setups.words import say_camera, say_count_of_step, say_refusal, say_step
from review.app.state import ReviewState
from review.jobs.showing.swing import open_clip
from review.lesson import Handedness

_ZOOM = 1.5
_STILL_S = 0.25
"""So far from still to still."""
_Key = Qt.Key
MOVES = {_Key.Key_Left: (-1, 0), _Key.Key_Right: (1, 0), _Key.Key_Up: (0, -1), _Key.Key_Down: (0, 1)}


class CameraPage(SetupPage):
    """Shows the still, the ``mark`` in hand and what is asked for."""

    def __init__(self, state: ReviewState, parent: QWidget | None = None) -> None:
        super().__init__(tr("Camera set-up"), tr("The still to mark on"), state, parent)
        self.desk = CameraDesk(state, self)
        self.mark: tuple[float, float] | None = None
        self.still.draw_on(True)
        add = self.panel.add_button
        self.take_button = add(tr("Take it (Enter)"), self.take)
        self.back_button = add(tr("Back (Backspace)"), self.go_back)
        self.skip_button = add(tr("Leave out (S)"), self.leave_out)
        self.next_button = add(tr("Other camera (V)"), self.desk.step_camera)
        self.measure_button = add(tr("Measure (M)"), self.measure_asked.emit)
        self.leave_button = add(tr("Lesson (Esc)"), self.left.emit)
        self.still.came.connect(self._take_still)
        self.still.lost.connect(lambda _: self._show_step())
        self.still.pressed.connect(lambda x, y: self.move_to((x, y)))
        self.desk.came.connect(self._open_clip)
        self.desk.draft_changed.connect(self._take_draft)
        self.desk.said.connect(self.panel.say_found)

    def renew(self) -> None:
        """Read which cameras the lesson has."""
        self.still.show_message(tr("Opening the clip"))
        self.desk.read()

    # what the coach does

    def move_to(self, pixel: tuple[float, float]) -> None:
        """Put the mark on a pixel."""
        if self.mark is not None and self.desk.draft.step in POINTS:
            self.mark = hold_inside(pixel, self.still.size_px)
            self.still.keep_in_sight(self.mark)
            self.panel.refuse("")
            self._draw()

    def take(self) -> None:
        """Take the mark, or the number that was typed, and go on."""
        draft, text = self.desk.draft, self.panel.field.text().strip()
        number = read_number(text)
        if draft.step in POINTS:
            if self.mark is not None:
                self._go_on(draft.take_point(self.mark))
        elif draft.step is not None and number is not None:
            self._go_on(draft.take_number(number))
        elif draft.is_optional and not text:
            self.leave_out()
        elif draft.step is not None:
            self.panel.refuse(tr("A number such as {example} is expected.", example=say_number(1.22)))

    def leave_out(self) -> None:
        """Go on without what is asked for, where it can be left out."""
        if self.desk.draft.is_optional:
            self._go_on(self.desk.draft.leave_out())

    def go_back(self) -> None:
        """Go a step back; what was marked there can be moved."""
        self.desk.set_draft(self.desk.draft.back())

    def step_still(self, by: int) -> None:
        """Show an earlier or a later still of the same clip."""
        camera, times = self.desk.camera, self.still.time_s
        if camera is not None and times is not None:
            wanted_s = times[min(camera.frame, len(times) - 1)] + by * _STILL_S
            frame = min(int(times.searchsorted(wanted_s)), len(times) - 1)
            self.desk.choose_frame(frame)
            self.still.ask(frame)

    def _go_on(self, draft: Draft) -> None:
        try:
            self.desk.go_on(draft)
        except ValueError as error:
            self.panel.refuse(say_refusal(error))

    def keyPressEvent(self, a0: QKeyEvent | None) -> None:
        """Everything by keys."""
        if a0 is None:
            return
        held, key = a0.modifiers(), a0.key()
        if held & Qt.KeyboardModifier.ControlModifier:
            super().keyPressEvent(a0)
        elif key in MOVES and self.mark is not None:
            by = 10 if held & Qt.KeyboardModifier.ShiftModifier else 1
            x, y = MOVES[_Key(key)]
            self.move_to((self.mark[0] + by * x, self.mark[1] + by * y))
        elif action := self._actions().get(key):
            action()
        else:
            super().keyPressEvent(a0)

    def _actions(self) -> dict[int, Callable[[], object]]:
        mark = self.mark or (0.0, 0.0)
        return {
            _Key.Key_Return: self.take,
            _Key.Key_Enter: self.take,
            _Key.Key_Backspace: self.go_back,
            _Key.Key_S: self.leave_out,
            _Key.Key_V: self.desk.step_camera,
            _Key.Key_N: lambda: self.desk.set_draft(self.desk.draft.begin_anew()),
            _Key.Key_M: self.measure_asked.emit,
            _Key.Key_Delete: self.desk.forget,
            _Key.Key_PageUp: lambda: self.step_still(-1),
            _Key.Key_PageDown: lambda: self.step_still(1),
            _Key.Key_Plus: lambda: self.still.enlarge(_ZOOM, mark),
            _Key.Key_Equal: lambda: self.still.enlarge(_ZOOM, mark),
            _Key.Key_Minus: lambda: self.still.enlarge(1 / _ZOOM, mark),
            _Key.Key_0: self.still.reset,
            _Key.Key_Escape: self.left.emit,
        }

    # inside

    def _has_clip(self) -> bool:
        return self.desk.camera is not None

    def _open_clip(self) -> None:
        camera = self.desk.camera
        self.mark = None
        self.still.close_clip()
        if camera is None:
            self.still.show_message(
                tr("No clip in this lesson yet: film one swing with the stick on the ground, then come back.")
                if self.desk.lesson_id
                else tr("A camera is set up in a lesson: open one first.")
            )
        elif self.isVisible():
            folder, clip = self._state.library, camera.clip
            self.still.show_message(tr("Opening the clip"))
            self.still.reset()
            self.still.open_clip(lambda: open_clip(folder, clip), camera.frame)
        self._show_step()

    def _take_still(self) -> None:
        if self.mark is None:
            self._place_mark()
        self._draw()

    def _place_mark(self) -> None:
        camera, lesson = self.desk.camera, self._state.lesson
        view = None if camera is None else camera.view
        hand = Handedness.RIGHT if lesson is None else lesson.pupil.handedness
        self.mark = propose_point(self.desk.draft, self.still.size_px, view, hand)
        self.still.keep_in_sight(self.mark)

    def _take_draft(self) -> None:
        self.panel.refuse("")
        if self.still.picture is not None:
            self._place_mark()
        self._show_step()
        self._draw()

    def _show_step(self) -> None:
        camera, draft = self.desk.camera, self.desk.draft
        if camera is None:
            self.panel.ask(tr("Camera set-up"), "", "")
        else:
            self.panel.ask(say_camera(camera.place, camera.view), say_count_of_step(draft), say_step(draft))
        is_number = camera is not None and draft.step in (Step.LENGTH, Step.LEVEL)
        self._ask_number(self._number_so_far(draft) if is_number else None, say_step(draft))
        self.panel.magnifier.setVisible(camera is not None and draft.step in POINTS)
        self.take_button.setEnabled(camera is not None and draft.step is not None)
        self.back_button.setEnabled(camera is not None and draft.at > 0)
        self.skip_button.setEnabled(camera is not None and draft.is_optional)
        self.next_button.setEnabled(len(self.desk.cameras) > 1)
        self.measure_button.setEnabled(camera is not None)
        self.panel.hint.setText(
            tr("Arrows move the mark, with Shift ten pixels   + − 0 larger, smaller   Page up, down: another still")
            if draft.step is not None
            else tr("Backspace changes what was marked   N marks anew   Del takes it away")
        )

    def _number_so_far(self, draft: Draft) -> str:
        number = None if draft.step is None else draft.numbers.get(draft.step)
        if number is None and draft.step is Step.LENGTH:
            number = self.desk.last_length_m
        return "" if number is None else say_number(number)

    def _draw(self) -> None:
        draft, mark = self.desk.draft, self.mark
        self.still.show_sketch(draw_marks(draft, mark if draft.step in POINTS else None, self.still.size_px))
        if mark is not None:
            self.panel.magnifier.show_mark(self.still.picture, self.still.size_px[0], mark)
