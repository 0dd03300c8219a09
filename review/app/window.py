"""The window: the start page, the lesson chart, what is opened from it; the bar and the line at its edges."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from PyQt5.QtCore import Qt
from PyQt5.QtGui import QCloseEvent, QKeyEvent, QKeySequence, QResizeEvent
from PyQt5.QtWidgets import QMainWindow, QShortcut, QStackedWidget, QVBoxLayout, QWidget

from review.app.error_bar import ErrorBar
from review.app.key_map import KeysPage
from review.app.language import speak, tr
from review.app.lesson_pages import LessonPages
from review.app.live.part import LivePart
from review.app.look import Look, make_style
from review.app.look.choice import Choice, write_choice
from review.app.look.dress import dress, speak_in_dialogs
from review.app.other_pages import OtherPages
from review.app.page import Page
from review.app.pages_by_name import lead_to, name_page_on
from review.app.pupils.start_page import StartPage
from review.app.questions.asked import OpenQuestions
from review.app.state import ReviewState
from review.app.status_line import StatusLine
from review.app.two_swings import TwoSwings
from review.app.unfinished import say_why_not_now
from review.app.window_keys import find_action

if TYPE_CHECKING:  # loaded with the first lesson
    from review.app.lesson_chart.view import LessonChart
    from review.app.swing_view.page import SwingPage


class Window(QMainWindow):
    """Shows one page at a time."""

    def __init__(self, library: Path, choice: Choice, choice_file: Path | None = None) -> None:
        super().__init__()
        self.choice, self._choice_file = choice, choice_file
        speak(choice.language)
        speak_in_dialogs(choice.language)
        self.state = ReviewState(library, self)
        self.state.kept_in = None if choice_file is None else choice_file.parent
        self.questions = OpenQuestions(self.state, self)
        self.bar = ErrorBar(self)
        self.bar.dismissed.connect(self._focus_page)
        self._build()
        for typed in ("?", "Shift+?"):  # by which of them it comes hangs on the keyboard; lists would eat it
            key = QShortcut(QKeySequence(typed), self)
            key.activated.connect(self.toggle_keys)
            key.activatedAmbiguously.connect(self.toggle_keys)
        self.questions.changed.connect(lambda: self.status.show_questions(len(self.questions)))
        self.state.trouble_came.connect(self.bar.say)
        self.state.step_told.connect(self._tell)
        self.state.lesson_changed.connect(self.leave_swing)
        self.state.swing_opened.connect(lambda swing_id: self.lesson_pages.show_swing(swing_id))
        self.state.pupils_changed.connect(self._focus_page)
        self.resize(1366, 768)

    def _build(self) -> None:
        """Make the pages anew: at the start, and when the language is another."""
        self.setWindowTitle(tr("Lesson review"))
        self.bar.set_words()
        self.pages = QStackedWidget(self)
        self.start_page = StartPage(self.state, self)
        self.keys_page = KeysPage(self)
        self._under_keys: QWidget | None = None
        self.lesson_pages = LessonPages(self.state, self.pages, self._show_page, self._show_lesson, lambda: self.look)
        self.others = OtherPages(
            *(self.state, self.questions, self.pages, self._show_page, self._go_back, self._show_pupils),
            *(lambda: self.choice, self.choose_look),
        )
        self.start_page.pupil_asked.connect(self.others.ask_pupil)
        self.start_page.new_asked.connect(lambda: self.others.ask_pupil(""))
        self.start_page.search_asked.connect(lambda: self.others.ask("search"))
        self.two_swings = TwoSwings(self.state, self.pages, self._show_page, self._show_lesson, self._come_back)
        self.live = LivePart(
            *(self.state, self.pages, self._show_page, self._show_lesson, self._hold_still),
            lambda: self.others.ask("cautions"),
        )
        self.live.consent_asked.connect(lambda pupil_id: self.others.ask_pupil(pupil_id, for_consent=True))
        self.status = StatusLine((self.state.line, self.state.long_line), self.state.library, self)
        self.status.show_questions(len(self.questions))
        self.live.measuring.connect(self.status.show_live)
        for page in (self.start_page, self.keys_page):
            self.pages.addWidget(page)
        middle = QWidget(self)
        layout = QVBoxLayout(middle)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(0)
        for part in (self.bar, self.pages, self.status):
            layout.addWidget(part)
        layout.setStretch(1, 1)
        # long words are shortened to the window: they must not make it wider, or hold it at a size
        middle.setMinimumSize(1, 1)
        self.setMinimumSize(800, 480)
        self.setCentralWidget(middle)
        self._show_lesson()

    # pages

    def _show_pupils(self) -> None:
        page = self.others.pupil
        if page is not None and page.shown is not None:
            self.start_page.choose(page.shown.pupil.id)
        self._show_page(self.start_page)

    def show_view(self) -> None:
        """Turn the screen to the pupil."""
        if self.state.lesson is None:
            self.status.say(tr("The pupil view shows a lesson: open one first."))
        else:
            self.two_swings.show_view()

    def _hold_still(self, is_swing_on: bool) -> None:
        """While a swing is on nothing plays and nothing is recorded."""
        self.two_swings.hold_still(is_swing_on)
        self.lesson_pages.hold_still(is_swing_on)

    def _come_back(self) -> None:
        self.activateWindow()
        self._focus_page()

    def leave_swing(self) -> None:
        """Close the swing that is open, and show the lesson."""
        self.lesson_pages.close_swing()
        self.others.forget_where()
        self._show_lesson()

    def _show_lesson(self) -> None:
        if self.live.is_on:
            self.live.show_page()
        elif self.state.lesson is None:
            self._show_page(self.start_page)
        else:
            self.lesson_pages.show_chart()

    @property
    def chart(self) -> LessonChart | None:
        """The chart of a lesson, None until one was shown."""
        return self.lesson_pages.chart

    @property
    def swing_page(self) -> SwingPage | None:
        """The page of one swing, None until one was shown."""
        return self.lesson_pages.swing

    def _go_back(self, page: QWidget | None) -> None:
        """Show the page another one was opened from, where there still is one."""
        if page is None or page is self.chart or self.pages.indexOf(page) < 0:
            self._show_lesson()
        else:
            self._show_page(page)

    def _show_page(self, page: QWidget) -> None:
        self.pages.setCurrentWidget(page)
        self._focus_page()

    def _tell(self, words: str) -> None:
        """Say what was done: beside what a coach who draws looks at, else at the foot."""
        if not self.lesson_pages.tell(words):
            self.status.say(words)

    def _focus_page(self) -> None:
        page = self.pages.currentWidget()
        if isinstance(page, Page):
            page.take_focus()

    def toggle_keys(self) -> None:
        """Show the keys, or the page they were asked for on."""
        on, under = self.pages.currentWidget(), self._under_keys
        if on is not self.keys_page:
            self.keys_page.show_for("live" if self.live.is_on and on is self.live.page else name_page_on(self))
            self._under_keys = on
            self._show_page(self.keys_page)
        else:
            self._go_back(under)

    # look

    @property
    def look(self) -> Look:
        """The look at the window's present size."""
        return Look.fit(self.choice.theme, self.width(), self.height(), self.choice.text_size)

    def choose_look(self, choice: Choice) -> None:
        """Take on another theme, text size or language, and keep it for the next start."""
        if choice.language != self.choice.language and (why_not := say_why_not_now(self)):
            self._tell(why_not)
            choice = replace(choice, language=self.choice.language)
        was, self.choice = self.choice, choice
        if choice.language != was.language:
            was_on, row, pair = name_page_on(self), self.others.settings_row, self.two_swings.chosen
            speak(choice.language)
            speak_in_dialogs(choice.language)
            self.lesson_pages.finish_swing()
            self.two_swings.finish()
            self.others.finish()
            is_live = self.live.is_on
            self.live.finish()
            self._build()
            if is_live:
                self.live.go_on_if_left()
            lead_to(self, was_on, pair, row)
        self._apply_look()
        if self._choice_file is not None:
            write_choice(choice, self._choice_file)

    def _apply_look(self) -> None:
        look = self.look
        dress(look.theme)
        self.setStyleSheet(make_style(look))
        self.start_page.set_look(look)
        self.others.set_look(look)
        self.two_swings.set_look(look)
        self.two_swings.set_idle_s(self.choice.idle_s)
        self.live.set_look(look)
        self.lesson_pages.set_look(look)

    # what Qt tells

    def resizeEvent(self, a0: QResizeEvent | None) -> None:
        """Sizes follow the window."""
        super().resizeEvent(a0)
        self._apply_look()

    def keyPressEvent(self, a0: QKeyEvent | None) -> None:
        """Keys that hold on every page."""
        if a0 is None:
            return
        key = a0.key()
        if key == Qt.Key.Key_Escape and not self.bar.isHidden():
            self.bar.dismiss()
        elif key == Qt.Key.Key_Escape and self.pages.currentWidget() is self.keys_page:
            self.toggle_keys()
        elif action := find_action(self, key, bool(a0.modifiers() & Qt.KeyboardModifier.ControlModifier)):
            action()
        else:
            super().keyPressEvent(a0)

    def closeEvent(self, a0: QCloseEvent | None) -> None:
        """Wait for what runs beside the window."""
        self.state.line.close()
        self.state.long_line.close()
        self.lesson_pages.finish()
        self.two_swings.finish()
        self.others.finish()
        self.live.finish()
        super().closeEvent(a0)
