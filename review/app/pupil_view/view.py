"""The pupil view: fills a screen of its own, stepped by a presenter's remote, calm when nobody steps it."""

from collections.abc import Callable
from typing import Any

from PyQt5.QtCore import Qt, QTimer, pyqtSignal
from PyQt5.QtGui import QCloseEvent, QGuiApplication, QKeyEvent, QResizeEvent
from PyQt5.QtWidgets import QLayout, QStackedWidget, QVBoxLayout, QWidget

from review.app.language import tr
from review.app.look import DARK, Look, Theme, make_style
from review.app.pupil_view.panels import Felt, Numbers, large_label
from review.app.pupil_view.quiet_source import quiet_source
from review.app.pupil_view.steps import AT, Content, Shows, Step, gather
from review.app.side_by_side.following import renew_drawing, renew_pair
from review.app.side_by_side.pair_player import PairPlayer
from review.app.state import ReviewState
from review.app.swing_view.endings import Endings
from review.app.worker import Task
from review.jobs.showing.pair import ForPupil, PairShown, list_views, show_to_pupil
from review.lesson import Drawing
from review.lettering import capitalise

IDLE_S = 120.0
"""So long after the last key it hides what it shows; no source, to be tried in lessons."""
_BLANK = "\u00a0"
_NUMBER_PX, _PLAIN_PX = 46, 40
"""On a screen 768 high: capitals 33 and 29 pixels high (of this font 0.73 of its size), read at two metres."""


class PupilView(QWidget):
    """Shows the open lesson to the pupil; ``left`` when the coach goes back.

    Only the pupil's own clips, numbers and words are ever put on it; messages and errors go to the window.
    """

    left = pyqtSignal()
    changed = pyqtSignal()

    def __init__(self, state: ReviewState, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowFlags(Qt.WindowFlags(Qt.WindowType.Window) | Qt.WindowType.FramelessWindowHint)
        self.setObjectName("page")
        self.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAccessibleName(tr("Pupil view"))
        self.setCursor(Qt.CursorShape.BlankCursor)
        self._state, self._theme, self._asked = state, DARK, 0
        self._shown: ForPupil | None = None
        self._endings = Endings()
        self.player: PairPlayer | None = None
        self.content, self.at = Content(), 0
        self.is_hidden, self._is_swing_on, self._is_behind, self._view = False, False, False, 0
        self._pages, self._calm = QStackedWidget(self), QWidget(self)
        self._head = large_label("", self, "strong")
        self._words: QWidget | None = None
        self._pages.addWidget(self._calm)
        layout = QVBoxLayout(self)
        # long words must not make the view larger than its screen
        layout.setSizeConstraint(QLayout.SizeConstraint.SetNoConstraint)
        layout.addWidget(self._head)
        layout.addWidget(self._pages, 1)
        self._idle = QTimer(self)
        self._idle.setSingleShot(True)
        self._idle.timeout.connect(self._hide)
        self.set_idle_s(IDLE_S)
        state.lesson_changed.connect(self.leave)
        state.comparison_changed.connect(self._fill)
        state.lesson_renewed.connect(self._follow)
        state.drawing_changed.connect(self._show_drawing)

    def set_idle_s(self, idle_s: float) -> None:
        """Say after how long it hides."""
        self._idle.setInterval(round(1000 * idle_s))

    def set_theme(self, theme: Theme) -> None:
        """Take on other colours."""
        if theme != self._theme:
            self._theme = theme
            if self.player is not None:
                self.player.set_look(self.look)
            self._show()

    @property
    def look(self) -> Look:
        """Colours, and sizes for somebody at two metres."""
        scale = max(0.6, min(self.width() / 1366, self.height() / 768))
        number, plain = round(_NUMBER_PX * scale), round(_PLAIN_PX * scale)
        return Look(self._theme, number, plain, plain)

    @property
    def step(self) -> Step | None:
        """The step that is on; None where there is nothing to show."""
        steps = self.content.steps
        return steps[min(self.at, len(steps) - 1)] if steps else None

    @property
    def is_ready(self) -> bool:
        """Whether what the step shows is on the screen."""
        player = self.player
        return player is None or (bool(player.frames) and player.shown_frames == player.frames)

    # coming and going

    def open(self, first_id: str = "", last_id: str = "", view: int = 0) -> None:
        """Fill the second screen, or the only one, with two swings; without ids the typical ones."""
        self.is_hidden, self.at, self._view = False, 0, view
        parent = self.parentWidget()
        own = QGuiApplication.primaryScreen() if parent is None else parent.screen()
        place = next((screen for screen in QGuiApplication.screens() if screen is not own), own)
        if place is not None:
            self.setGeometry(place.geometry())
        self.showFullScreen()
        self.activateWindow()
        self.setFocus()
        self._idle.start()
        self._read(first_id, last_id, view)

    def leave(self) -> None:
        """Let go of everything, and give the screen back to the coach."""
        self._asked += 1
        self._idle.stop()
        self._shown, self.content = None, Content()
        self._close_player()
        self._show()
        if self.isVisible():
            self.hide()
            self.left.emit()

    def finish(self) -> None:
        """Leave, and wait until nothing runs: nothing may outlive the window."""
        self.leave()
        self._endings.wait()

    def hold_still(self, is_swing_on: bool) -> None:
        """While a swing is on nothing moves: what plays stands still, and nothing comes or goes by itself."""
        self._is_swing_on = is_swing_on
        if is_swing_on and self.player is not None:
            self.player.transport.pause()
        if not is_swing_on and self.isVisible():
            self._idle.start()
            self._fill()
            if self._is_behind:
                self._follow()

    # the remote

    def next(self) -> None:
        """The next step; after the last it stays."""
        self.at = min(self.at + 1, max(0, len(self.content.steps) - 1))
        self._show()

    def previous(self) -> None:
        """The step before."""
        self.at = max(self.at - 1, 0)
        self._show()

    def play_or_hold(self) -> None:
        """Play the clips from address to finish over and over, or hold them."""
        step, player = self.step, self.player
        if step is None or player is None or step.shows is not Shows.CLIPS or self._is_swing_on:
            return
        if player.transport.head is not None and player.transport.head.loop is None:
            player.toggle_loop()
        player.transport.toggle_playing()

    def keyPressEvent(self, a0: QKeyEvent | None) -> None:
        """Four keys of a remote, and their like on a keyboard; the first one after hiding only brings it back."""
        if a0 is None:
            return
        action = self._actions().get(a0.key())
        if action is None:
            return  # no other key may bring up anything in front of the pupil
        self._idle.start()
        if self.is_hidden:
            self.is_hidden = False
            self._show()
        else:
            action()

    def _actions(self) -> dict[int, Callable[[], None]]:
        keys = Qt.Key
        return {
            **dict.fromkeys((keys.Key_PageDown, keys.Key_Right), self.next),
            **dict.fromkeys((keys.Key_PageUp, keys.Key_Left), self.previous),
            **dict.fromkeys((keys.Key_B, keys.Key_Period, keys.Key_Space), self.play_or_hold),
            **dict.fromkeys((keys.Key_F5, keys.Key_Escape), self.leave),
        }

    # inside

    def _read(self, first_id: str, last_id: str, view: int) -> None:
        if self._state.lesson is None:
            return
        self._asked += 1
        asked, folder, lesson_id = self._asked, self._state.library, self._state.lesson.lesson.id

        def work(progress: Any) -> ForPupil:
            return show_to_pupil(folder, lesson_id, first_id, last_id, progress)

        def take(shown: ForPupil) -> None:
            if asked != self._asked:
                return
            self._shown = shown
            if shown.pair is None:
                self._close_player()
            elif self.player is None or not renew_pair(self.player, shown.pair):
                self._make_player(shown.pair, view)
            self._fill()

        # what is wrong is for the coach; the pupil sees the calm page
        self._state.line.add(Task(tr("Opening the swings"), work, take, self._state.trouble_came.emit))

    def _follow(self) -> None:
        """Take in what was corrected or undone; while a swing is on, after it."""
        self._is_behind = self._is_swing_on
        if self.isVisible() and not self._is_swing_on and self._shown is not None:
            pair = self._shown.pair
            ids = ("", "") if pair is None else (pair.first.swing.id, pair.last.swing.id)
            self._read(*ids, self._view)

    def _show_drawing(self, clip_id: str, drawing_id: str, drawing: Drawing | None) -> None:
        if self.player is not None:
            renew_drawing(self.player, clip_id, drawing_id, drawing)

    def _make_player(self, pair: PairShown, view: int) -> None:
        self._close_player()
        views, folder = list_views(pair.first, pair.last), self._state.library
        player = PairPlayer(pair, views[min(view, len(views) - 1)], lambda shown: quiet_source(folder, shown.clip))
        for part in (player.bar, player.place):
            part.hide()
        player.screens.toggle_lines()
        player.set_look(self.look)
        if pair.first.swing.id == pair.last.swing.id:
            player.screens.all[1].canvas.hide()  # one filmed swing: once, and large
        player.clips_opened.connect(lambda _: self._show())
        player.moved.connect(self._name_moment)
        self._pages.addWidget(player)
        self.player = player

    def _fill(self) -> None:
        """Gather what there is to show."""
        if not self.isVisible() or self._is_swing_on:
            return
        names = None if self.player is None else self.player.names
        content = gather(self._shown, names, self._state.comparison, self._state.measures)
        if content != self.content:
            self.content = content
            self._show()

    def _show(self) -> None:
        """Show the step that is on, standing still."""
        step, look = self.step, self.look
        self.setStyleSheet(make_style(look) + _strong(look))
        if self._words is not None:
            self._pages.removeWidget(self._words)
            self._words.deleteLater()
            self._words = None
        if self.player is not None:
            self.player.transport.pause()
        page: QWidget = self._calm
        self._head.setText("")
        if step is None or self.is_hidden:
            pass
        elif step.shows is Shows.CLIPS and self.player is not None:
            self._head.setText(capitalise(tr(step.at)) if step.at else "")
            self.player.relock(step.at)
            page = self.player
        elif step.shows is Shows.NUMBERS:
            page = self._words = Numbers(self.content.numbers, look, self)
        else:
            page = self._words = Felt(self.content.felt, self.content.measured, look, self)
        self._head.setVisible(bool(self._head.text()))
        if page is self._words:
            self._pages.addWidget(page)
        self._pages.setCurrentWidget(page)
        self.changed.emit()

    def _name_moment(self) -> None:
        """While it plays the head names what was passed; a place that stays, so that nothing jumps."""
        step, player = self.step, self.player
        if step is None or player is None or step.shows is not Shows.CLIPS or not player.transport.is_playing:
            return
        passed = player.last_passed(AT)
        said = capitalise(tr(passed)) if passed and not self.is_hidden else ""
        if self._head.text() != (said or _BLANK):
            self._head.setText(said or _BLANK)

    def _hide(self) -> None:
        if self._is_swing_on:
            return  # nothing changes by itself now; ``hold_still`` begins to count anew
        self.is_hidden = True
        self._show()

    def _close_player(self) -> None:
        if self.player is not None:
            self._endings.add(*self.player.screens.pumps)
            self.player.close_clips()
            self._pages.removeWidget(self.player)
            self.player.deleteLater()
            self.player = None

    def resizeEvent(self, a0: QResizeEvent | None) -> None:
        """Sizes follow the screen."""
        super().resizeEvent(a0)
        if self.player is not None:
            self.player.set_look(self.look)
        if self.isVisible():
            self._show()

    def closeEvent(self, a0: QCloseEvent | None) -> None:
        """Closed from outside is left."""
        self.leave()
        super().closeEvent(a0)


def _strong(look: Look) -> str:
    plain = f"font-size: {look.plain_px}px;"
    return f"QLabel#strong {{ {plain} font-weight: bold; }} QLabel#open {{ {plain} }}"
