"""A pupil at a glance: what the last lesson came to on top, the lessons, the consent, whether there is a note."""

from datetime import date

from PyQt5.QtCore import Qt, QTimer
from PyQt5.QtGui import QResizeEvent
from PyQt5.QtWidgets import QHBoxLayout, QLabel, QListWidget, QListWidgetItem, QVBoxLayout, QWidget

from review.app.language import say_count, say_day, tr
from review.app.look import Look
from review.app.look.page_head import ElidedLabel, KeysLine
from review.app.look.two_lines import TwoLines
from review.app.over_years.words import make_speech
from review.app.pupils.words import LastTime, describe, say_consent, say_last_time, say_lesson
from review.app.sentences import say_sentences
from review.jobs.history.before import BeforeLesson, say_before
from review.jobs.showing.pupil import LessonJudged
from review.jobs.showing.pupils import PupilShown

_ID = int(Qt.ItemDataRole.UserRole)
_MOST_HANDED_OUT = 5


class Overview(QWidget):
    """Shows one pupil; it asks for nothing itself."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName(tr("The pupil at a glance"))
        self.name, self.who, self._hint = ElidedLabel(parent=self), ElidedLabel(parent=self), KeysLine(parent=self)
        self.name.setObjectName("title")
        for quiet in (self.who, self._hint):
            quiet.setObjectName("quiet")
        self.last, self.feel, self.look_first = self._label("number"), self._label("number"), self._label("number")
        self._last_title = self._label("heading")
        self.before: BeforeLesson | None = None
        self.consent, self.consent_more, self.note = self._label(""), self._label("quiet"), self._label("")
        self.lessons = QListWidget(self)
        self.lessons.setAccessibleName(tr("Lessons"))
        self._delegate, self._row_px = TwoLines(self), 0.0
        self._soon = QTimer(self)
        self._soon.setSingleShot(True)
        self._soon.timeout.connect(self._fit)
        self.lessons.setItemDelegate(self._delegate)
        left, right, both = QVBoxLayout(), QVBoxLayout(), QHBoxLayout()
        self._feel_title = self._heading(tr("The feel that went with it"))
        self._look_title = self._heading(tr("Look first at"))
        for part in (self._last_title, self.last, self._feel_title, self.feel, self._look_title, self.look_first):
            left.addWidget(part)
        left.addWidget(self._heading(tr("Lessons")))
        left.addWidget(self.lessons, 1)
        right.addWidget(self._heading(tr("Consent")))
        right.addWidget(self.consent)
        right.addWidget(self.consent_more)
        right.addWidget(self._heading(tr("Private note")))
        right.addWidget(self.note)
        self._handed_title, self.handed_out = self._heading(tr("Handed over")), self._label("quiet")
        right.addWidget(self._handed_title)
        right.addWidget(self.handed_out)
        right.addStretch(1)
        for column in (left, right):
            column.setSpacing(8)
        both.setSpacing(40)
        both.addLayout(left, 3)
        both.addLayout(right, 2)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(14)
        for above in (self.name, self.who):
            layout.addWidget(above)
        layout.addLayout(both, 1)
        layout.addWidget(self._hint)

    def show_pupil(self, shown: PupilShown, judged: tuple[LessonJudged, ...], today: date) -> None:
        """Show a pupil; ``judged`` may still be empty."""
        pupil = shown.pupil
        self.name.setText(pupil.name)
        self.who.setText(describe(pupil))
        first, *more = say_consent(pupil, today)
        self.consent.setText(first)
        self.consent_more.setText("\n".join(more))
        self.note.setText(tr("There is one: N shows it.") if pupil.private_note else tr("None: N writes one."))
        latest = shown.handed_out[: -_MOST_HANDED_OUT - 1 : -1]
        n_more = len(shown.handed_out) - len(latest)
        more_words = (tr("and {n} before", n=n_more),) if n_more else ()
        self.handed_out.setText("\n".join((*map(say_sentences, latest), *more_words)))
        for part in (self._handed_title, self.handed_out):
            part.setVisible(bool(shown.handed_out))
        self._hint.setText(
            tr(
                "Enter opens the lesson   Y the years   P phone clip   E correct   C consent   N note   Del forget   "
                "Esc pupils"
            )
        )
        self._show_last(shown, judged)
        chosen = self.lessons.currentRow()
        self.lessons.clear()
        said = {one.lesson.id: say_lesson(one) for one in judged}
        for lesson in shown.lessons:
            swings = say_count(shown.n_swings[lesson.id], "1 swing", "{n} swings")
            more = [part for part in (swings, said.get(lesson.id, ""), lesson.aim) if part]
            item = QListWidgetItem(f"{say_day(lesson.held_on)}\n{' · '.join(more)}")
            item.setData(_ID, lesson.id)
            self.lessons.addItem(item)
        self.lessons.setCurrentRow(max(0, min(chosen, self.lessons.count() - 1)))

    def chosen_lesson(self) -> str | None:
        """Id of the lesson that is chosen."""
        item = self.lessons.currentItem()
        return None if item is None else str(item.data(_ID))

    def set_look(self, look: Look) -> None:
        """Take on a look."""
        self._delegate.look = look
        self._row_px = 3.0 * look.number_px
        self.lessons.doItemsLayout()
        self._soon.start()

    def resizeEvent(self, a0: QResizeEvent | None) -> None:
        """Large words where they fit."""
        super().resizeEvent(a0)
        self._soon.start()

    def _fit(self) -> None:
        """Say what was and what comes large where it fits above one row of lessons; else smaller, or not all of it."""
        feel, look_first = (self._feel_title, self.feel), (self._look_title, self.look_first)
        room = self._hint.y() - self._last_title.y() - self._row_px
        for kind, gone in (("number", ()), ("", ()), ("", (feel,)), ("", (feel, look_first))):
            for label in (self.last, self.feel, self.look_first):
                label.setObjectName(kind)
                style = label.style()
                if style is not None:
                    style.unpolish(label)
                    style.polish(label)
            for title, label in (feel, look_first):
                for part in (title, label):
                    part.setVisible(bool(label.text()) and (title, label) not in gone)
            said = [label for label in (self.last, self.feel, self.look_first) if not label.isHidden()]
            heads_px = 1.6 * (len(said) + 1) * self._last_title.height()
            if sum(label.heightForWidth(self.last.width()) for label in said) + heads_px <= room:
                break
        beside = [self.consent, self.note, self.consent_more, self.handed_out]
        for label in beside:
            label.setVisible(bool(label.text()))
        room += self._row_px - 5 * self._last_title.height()
        while len(beside) > 2 and sum(label.heightForWidth(self.consent.width()) for label in beside) > room:
            beside.pop(2).hide()  # C shows all of the consent
        self._handed_title.setVisible(not self.handed_out.isHidden())

    def _show_last(self, shown: PupilShown, judged: tuple[LessonJudged, ...]) -> None:
        if not shown.lessons:
            self._last_title.setText(tr("No lesson yet"))
            said = LastTime((), "", "")
        else:
            self._last_title.setText(tr("Last time, {day}", day=say_day(shown.lessons[0].held_on)))
            said = say_last_time(judged[0]) if judged else LastTime((tr("Comparing …"),), "", "")
        feel, look_first = said.feel, said.look_first
        self._feel_title.setText(tr("The feel that went with it"))
        if self.before is not None and self.before.aims and judged:
            by_numbers = say_before(self.before, make_speech())
            self._feel_title.setText(tr("What moved it most surely, all lessons"))
            feel, look_first = by_numbers.best, by_numbers.look_first
        for title, label, text in (
            (None, self.last, "\n".join(said.verdicts)),
            (self._feel_title, self.feel, feel),
            (self._look_title, self.look_first, look_first),
        ):
            label.setText(text)
            for part in (title, label):
                if part is not None:
                    part.setVisible(bool(text))
        self._soon.start()

    def _label(self, kind: str) -> QLabel:
        made = QLabel(self)
        made.setObjectName(kind)
        made.setWordWrap(True)
        made.setAlignment(Qt.AlignmentFlag.AlignTop)
        made.setTextFormat(Qt.TextFormat.PlainText)
        return made

    def _heading(self, text: str) -> QLabel:
        made = self._label("heading")
        made.setText(text)
        return made
