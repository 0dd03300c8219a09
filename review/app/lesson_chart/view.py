"""The lesson chart: heads of the batches, one to three measures, and beneath them first against last."""

from PyQt5.QtCore import Qt
from PyQt5.QtGui import QKeyEvent, QResizeEvent
from PyQt5.QtWidgets import QLabel, QVBoxLayout, QWidget

from review.app.batches.strip import BatchesStrip
from review.app.language import say_day, tr
from review.app.lesson_chart.drawing import MeasureDrawing, draw_measure, draw_without_numbers
from review.app.lesson_chart.first_last import FirstLast, say_first_last
from review.app.lesson_chart.hanging import Hanging
from review.app.lesson_chart.heads import BandHeads
from review.app.lesson_chart.measure_row import MeasureRow
from review.app.look import Look
from review.app.look.page_head import ElidedLabel, KeysLine, PageHead
from review.app.page import Page
from review.app.state import ReviewState

_FEEL_LINES = (3, 1, 0)
"""Lines of what was felt with one, two and three measures up."""
_KEPT_FEEL_LINES = 1
"""So many stay while there is anything else that can give way."""
_LEAST_ROW, _LEAST_STACKED = (3, 8), (2, 3)
"""So many large and plain letters high a measure stays, alone and above another; tried on the sample lesson."""
_BARE_ROW, _BARE_STACKED = (3, 5), (2, 4)
"""Lower than this and nothing can be read in a plot: then first against last gives way too; tried as well."""


class LessonChart(Page):
    """The window's home; as part of another page (``is_part``) it leaves the keys to that."""

    def __init__(self, state: ReviewState, parent: QWidget | None = None, *, is_part: bool = False) -> None:
        super().__init__(tr("Lesson chart"), parent)
        self._state = state
        self._look: Look | None = None
        self._is_sharing = self._has_beneath = False
        self._title, self._hint, self._notes = (
            ElidedLabel(parent=self, keeps_end=True),
            KeysLine(parent=self),
            QLabel(self),
        )
        self._hint.setVisible(not is_part)
        self._notes.setObjectName("quiet")
        self._notes.setWordWrap(True)
        self._notes.setAccessibleName(tr("What the marks mean"))
        self._heads, self._hanging = BandHeads(self), Hanging(self)
        self._rows: list[MeasureRow] = []
        self._layout = layout = QVBoxLayout(self)
        layout.setSpacing(4)
        layout.addWidget(PageHead(self._title, self._hint))
        layout.addWidget(self._heads)
        self._stack = QVBoxLayout()
        layout.addLayout(self._stack, 1)
        layout.addWidget(self._hanging)
        self.strip: BatchesStrip | None = None
        layout.addWidget(self._notes)
        state.lesson_changed.connect(self.draw)
        state.lesson_renewed.connect(self.draw)
        state.measures_chosen.connect(self.draw)
        state.comparison_changed.connect(self._draw_beneath)
        state.swing_chosen.connect(self._draw_chosen)

    def set_look(self, look: Look) -> None:
        """Take on a look."""
        self._look = look
        if self.strip is not None:
            self.strip.voice.set_look(look)
        self._layout.setContentsMargins(*(4 * (look.quiet_px // 2,)))
        self.draw()

    @property
    def drawings(self) -> tuple[MeasureDrawing, ...]:
        """What is drawn, from the top down."""
        return tuple(row.drawing for row in self._rows if row.drawing is not None and not row.isHidden())

    @property
    def readings(self) -> tuple[str, ...]:
        """What is said of the chosen swing, from the top down."""
        return tuple(row.reading for row in self._rows if not row.isHidden())

    @property
    def notes(self) -> str:
        """What stands at the foot."""
        return self._notes.text()

    @property
    def said(self) -> FirstLast | None:
        """What is said beneath the chart."""
        compared, measures = self._state.comparison, self._state.measures
        if compared is None or not measures:
            return None
        return say_first_last(compared, measures[0], tr("R says how far one reading errs."))

    def draw(self) -> None:
        """Draw everything anew."""
        shown, look = self._state.lesson, self._look
        if shown is None or look is None:
            return
        held = shown.lesson
        self._title.setText(" · ".join(filter(None, (shown.pupil.name, say_day(held.held_on), held.place))))
        self._hint.setText(
            tr("↑ ↓ measure   ← → swing   Enter opens   E correct   G pressure   S two swings   T take-home   ? keys")
        )
        drawings = [
            draw_measure(shown, key, 4 if len(self._state.measures) == 1 else 2) for key in self._state.measures
        ]
        known = [drawing for drawing in drawings or [draw_without_numbers(shown)] if drawing is not None]
        side = self._side_px(look)
        self._heads.setVisible(bool(known))
        if known:
            self._heads.voices = shown.voices
            self._heads.show_bands(known[0].bands, look, side, _FEEL_LINES[len(known) - 1])
        while len(self._rows) < len(known):
            self._add_row()
        for n, row in enumerate(self._rows):
            row.setVisible(n < len(known))
            if n < len(known):
                row.show_measure(known[n], look, side, is_last=n == len(known) - 1, n_stacked=len(known))
        notes = dict.fromkeys(note for drawing in known for note in drawing.notes)
        self._notes.setText(
            "   ".join(notes) if known else tr("No number of this lesson yet: no row and no measured clip.")
        )
        self._draw_beneath()
        self._draw_chosen()

    def _share_room(self) -> None:
        """Large text takes lines of what was felt, what the marks mean and the reasons, in that order, not the chart.

        One line of what was felt stays as long as these can give way; first against last goes where nothing else helps.
        """
        drawings, look = self.drawings, self._look
        if not drawings or look is None or self._is_sharing:
            return
        self._is_sharing = True  # what comes or goes gives it another size at once
        is_alone = len(drawings) == 1
        rows, bare = (
            len(drawings) * (n_numbers * look.number_px + n_lines * look.plain_px)
            for n_numbers, n_lines in ((_LEAST_ROW, _BARE_ROW) if is_alone else (_LEAST_STACKED, _BARE_STACKED))
        )
        fixed = self._title.sizeHint().height() + self._layout.contentsMargins().top() * 2 + 4 * self._layout.spacing()
        notes = 0 if not self._notes.text() else max(0, self._notes.heightForWidth(self.width()))
        is_stripped = self.strip is not None and not self.strip.isHidden()
        if is_stripped and self.strip is not None:
            fixed, notes = fixed + self.strip.sizeHint().height(), 0
        most = _FEEL_LINES[len(drawings) - 1]
        ways = [(lines, True, False) for lines in range(most, min(most, _KEPT_FEEL_LINES) - 1, -1)]
        ways += [(ways[-1][0], False, False), (ways[-1][0], False, True), (0, False, True)]
        self._hanging.setVisible(self._has_beneath)
        for lines, has_notes, is_brief in ways:
            self._heads.show_bands(drawings[0].bands, look, self._side_px(look), lines)
            self._hanging.be_brief(is_brief)
            beneath = 0 if self._hanging.isHidden() else self._hanging.sizeHint().height()
            self._notes.setVisible(has_notes and not is_stripped)
            if self._heads.sizeHint().height() + beneath + fixed + has_notes * notes + rows <= self.height():
                break
        if not self._hanging.isHidden() and self._heads.sizeHint().height() + beneath + fixed + bare > self.height():
            self._hanging.hide()
        self._is_sharing = False

    def put_right(self) -> None:
        """Open the strip in which batches and swings are put right."""
        if self.strip is None:
            self.strip = BatchesStrip(self._state, self)
            self.strip.other_key.connect(self.keyPressEvent)
            self.strip.left.connect(self._leave_strip)
            self.strip.together_changed.connect(self._draw_chosen)
            self.strip.form.turned.connect(self._draw_beneath)
            self._layout.addWidget(self.strip)
            if self._look is not None:
                self.strip.voice.set_look(self._look)
        if self._state.lesson is not None and self._state.lesson.swings:
            self.setFocusProxy(self.strip)
            self.strip.open_strip()
            self._share_room()

    def _leave_strip(self) -> None:
        self.setFocusProxy(None)
        self._share_room()
        self.setFocus()

    def _add_row(self) -> None:
        """Make room for one measure more; each takes 10 ms to make, so only when it is wanted."""
        row = MeasureRow(self)
        row.plot.pointed_at.connect(self._state.choose_swing)
        row.plot.clicked.connect(self._state.open_swing)
        self._rows.append(row)
        self._stack.addWidget(row, 1)

    def _draw_beneath(self) -> None:
        self._draw_hanging()
        self._share_room()

    def _draw_hanging(self) -> None:
        drawings, state, look = self.drawings, self._state, self._look
        is_asking = self.strip is not None and not self.strip.form.isHidden()  # what is asked takes the room
        self._has_beneath = bool(drawings) and not is_asking
        self._hanging.setVisible(self._has_beneath)
        if not drawings or look is None:
            return
        instead = state.why_not_compared or tr(
            "Not measured in both batches." if state.comparison else "Comparing first and last …"
        )
        self._hanging.show_change(drawings[0], self.said, instead, look, self._side_px(look), len(drawings) > 1)

    def _draw_chosen(self) -> None:
        together = [] if self.strip is None or self.strip.isHidden() else [one.id for one in self.strip.together]
        shown, chosen = self._state.lesson, self._state.swing_id
        is_kept = shown is not None and chosen in shown.kept
        for n, row in enumerate(self._rows):
            if not row.isHidden():
                row.show_chosen(chosen, together, tr("kept for good") if is_kept and n == 0 else "")

    def _side_px(self, look: Look) -> float:
        return 3.4 * look.quiet_px

    def resizeEvent(self, a0: QResizeEvent | None) -> None:
        """How many lines the words take follows the width."""
        super().resizeEvent(a0)
        self._heads.updateGeometry()
        self._hanging.updateGeometry()
        self._share_room()

    def keyPressEvent(self, a0: QKeyEvent | None) -> None:
        """Every step by keyboard."""
        if a0 is None:
            return
        state = self._state
        steps = {
            Qt.Key.Key_Left: lambda: state.step_swing(-1),
            Qt.Key.Key_Right: lambda: state.step_swing(1),
            Qt.Key.Key_Home: lambda: state.step_swing(-10_000),
            Qt.Key.Key_End: lambda: state.step_swing(10_000),
            Qt.Key.Key_Up: lambda: state.step_measure(-1),
            Qt.Key.Key_Down: lambda: state.step_measure(1),
            Qt.Key.Key_Plus: lambda: state.stack(1),
            Qt.Key.Key_Minus: lambda: state.stack(-1),
            Qt.Key.Key_Return: state.open_swing,
            Qt.Key.Key_Enter: state.open_swing,
            Qt.Key.Key_E: self.put_right,
            Qt.Key.Key_Escape: state.close_lesson,
        }
        step = steps.get(Qt.Key(a0.key())) if a0.key() in {int(key) for key in steps} else None
        if step is None:
            super().keyPressEvent(a0)
        else:
            step()
