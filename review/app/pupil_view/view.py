"""The pupil view: fills a screen of its own, stepped by a presenter's remote, calm when nobody steps it."""

from PyQt5.QtCore import Qt, QTimer, pyqtSignal
from PyQt5.QtGui import QCloseEvent, QGuiApplication, QKeyEvent, QResizeEvent
from PyQt5.QtWidgets import QLayout, QVBoxLayout, QWidget

from review.app.language import tr
from review.app.look import DARK, Look, Theme
from review.app.pupil_view.quiet_player import make_quiet_player
from review.app.pupil_view.reading import Reading
from review.app.pupil_view.remote import remote_actions
from review.app.pupil_view.sizes import fit_look, make_large_style
from review.app.pupil_view.stage import Stage
from review.app.pupil_view.steps import Content, Step, gather
from review.app.side_by_side.following import renew_drawing, renew_pair
from review.app.side_by_side.pair_player import PairPlayer
from review.app.state import ReviewState
from review.app.swing_view.endings import Endings
from review.jobs.showing.pair import ForPupil, PairShown
from review.lesson import Drawing

IDLE_S = 120.0
"""So long after the last key it hides what it shows; no source, to be tried in lessons."""


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
        self._state, self._theme = state, DARK
        self._reading = Reading(state, self._take)
        self._shown: ForPupil | None = None
        self._endings = Endings()
        self.content, self.at = Content(), 0
        self.is_hidden, self._is_swing_on, self._is_behind, self._view = False, False, False, 0
        self.stage = Stage(self)
        layout = QVBoxLayout(self)
        # long words must not make the view larger than its screen
        layout.setSizeConstraint(QLayout.SizeConstraint.SetNoConstraint)
        layout.addWidget(self.stage)
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
    def player(self) -> PairPlayer | None:
        """The two swings, None where there are none."""
        return self.stage.player

    @property
    def look(self) -> Look:
        """Colours, and sizes for somebody at two metres."""
        return fit_look(self._theme, self.width(), self.height())

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
        self._reading.ask(first_id, last_id)

    def leave(self) -> None:
        """Let go of everything, and give the screen back to the coach."""
        self._reading.drop()
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
        if is_swing_on:
            self.stage.hold()
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
        """Play the clips from address to finish over and over, or hold them; never while a swing is on."""
        if not self._is_swing_on:
            self.stage.play_or_hold()

    def keyPressEvent(self, a0: QKeyEvent | None) -> None:
        """Four keys of a remote, and their like on a keyboard; the first one after hiding only brings it back."""
        if a0 is None:
            return
        action = remote_actions(self).get(a0.key())
        if action is None:
            return
        self._idle.start()
        if self.is_hidden:
            self.is_hidden = False
            self._show()
        else:
            action()

    # inside

    def _take(self, shown: ForPupil) -> None:
        self._shown = shown
        if shown.pair is None:
            self._close_player()
        elif self.player is None or not renew_pair(self.player, shown.pair):
            self._make_player(shown.pair)
        self._fill()

    def _follow(self) -> None:
        """Take in what was corrected or undone; while a swing is on, after it."""
        self._is_behind = self._is_swing_on
        if self.isVisible() and not self._is_swing_on and self._shown is not None:
            pair = self._shown.pair
            ids = ("", "") if pair is None else (pair.first.swing.id, pair.last.swing.id)
            self._reading.ask(*ids)

    def _show_drawing(self, clip_id: str, drawing_id: str, drawing: Drawing | None) -> None:
        if self.player is not None:
            renew_drawing(self.player, clip_id, drawing_id, drawing)

    def _make_player(self, pair: PairShown) -> None:
        self._close_player()
        player = make_quiet_player(self._state.library, pair, self._view)
        player.set_look(self.look)
        player.clips_opened.connect(lambda _: self._show())
        self.stage.bring(player)

    def _fill(self) -> None:
        """Gather what there is to show."""
        if not self.isVisible() or self._is_swing_on:
            return
        names = None if self.player is None else self.player.names
        pair = None if self._shown is None else self._shown.pair
        compared = (pair and pair.compared) or self._state.comparison
        content = gather(self._shown, names, compared, self._state.measures)
        if content != self.content:
            self.content = content
            self._show()

    def _show(self) -> None:
        """Show the step that is on, standing still."""
        look = self.look
        self.setStyleSheet(make_large_style(look))
        self.stage.show_step(None if self.is_hidden else self.step, self.content, look)
        self.changed.emit()

    def _hide(self) -> None:
        if self._is_swing_on:
            return  # nothing changes by itself now; ``hold_still`` begins to count anew
        self.is_hidden = True
        self._show()

    def _close_player(self) -> None:
        player = self.stage.let_go()
        if player is not None:
            self._endings.add(*player.screens.pumps)

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
