"""The page of two swings: hung off the lesson chart, worked by keys, made quick to step through meanwhile."""

from collections.abc import Callable
from typing import Any

from PyQt5.QtCore import Qt, pyqtSignal
from PyQt5.QtGui import QKeyEvent
from PyQt5.QtWidgets import QWidget

from review.app.language import tr
from review.app.look import Look
from review.app.page import Page
from review.app.side_by_side.following import renew_drawing, renew_pair
from review.app.side_by_side.layout import PairLayout
from review.app.side_by_side.pair_player import PairPlayer
from review.app.side_by_side.player_keys import player_actions
from review.app.side_by_side.words import tell
from review.app.state import ReviewState
from review.app.swing_view.copying import Copying
from review.app.swing_view.endings import Endings
from review.app.worker import Task
from review.jobs.showing.pair import PairShown, list_views, show_pair
from review.jobs.showing.swing import open_clip
from review.lesson import Drawing


class SideBySide(Page):
    """Shows two swings of the open lesson; ``left`` when the coach goes back, ``pair_came`` with another pair."""

    pair_came = pyqtSignal()

    def __init__(self, state: ReviewState, parent: QWidget | None = None) -> None:
        super().__init__(tr("Side by side"), parent)
        self._state = state
        self._look: Look | None = None
        self._asked = 0
        self._ids: tuple[str, str] | None = None
        self._endings = Endings()
        self._copying = Copying(state, self._endings, self)
        self.pair: PairShown | None = None
        self.player: PairPlayer | None = None
        self.side, self._view = 1, 0
        self._layout = PairLayout(self)
        self.said, self.panel = self._layout.said, self._layout.panel
        state.comparison_changed.connect(self._tell)
        state.measures_chosen.connect(self._tell)
        state.lesson_changed.connect(self.close_pair)
        state.lesson_renewed.connect(self._follow)
        state.drawing_changed.connect(self._show_drawing)

    def set_look(self, look: Look) -> None:
        """Take on a look."""
        self._look = look
        self._layout.set_look(look)
        if self.player is not None:
            self.player.set_look(look)
        self._tell()

    @property
    def is_ready(self) -> bool:
        """Whether both pictures are on the screen."""
        return self.player is not None and None not in self.player.shown_frames

    @property
    def chosen(self) -> tuple[str, str, int]:
        """Both swings, by id, and the number of their view; empty where none are open."""
        pair = self.pair
        return ("", "", 0) if pair is None else (pair.first.swing.id, pair.last.swing.id, self._view)

    def open_pair(self, first_id: str = "", last_id: str = "") -> None:
        """Read two swings beside the window, then show them; without ids the typical ones of first and last batch."""
        if self._state.lesson is None:
            return
        self._asked, self._ids = self._asked + 1, (first_id, last_id)
        asked, folder, lesson_id = self._asked, self._state.library, self._state.lesson.lesson.id

        def work(progress: Any) -> PairShown:
            return show_pair(folder, lesson_id, first_id, last_id, progress)

        def take(pair: PairShown) -> None:
            if asked == self._asked:
                if not is_same:
                    self._layout.say("")
                self._ids = (pair.first.swing.id, pair.last.swing.id)
                self._show(pair)

        def fail(why: str) -> None:
            if asked != self._asked:
                return
            if is_same:  # what is no longer there is not shown any longer
                self.close_pair()
            self._layout.say(why)
            self.pair_came.emit()

        is_same = self.pair is not None and (first_id, last_id) == self.chosen[:2]
        if not is_same:
            self._layout.say(tr("Opening the swings"))
        self._state.line.add(Task(tr("Opening the swings"), work, take, fail, owner=self))

    def close_pair(self) -> None:
        """Let go of the clips; copies that are being made are given up. What runs ends by itself, see ``finish``."""
        self._asked, self._ids = self._asked + 1, None
        self.pair = None
        self._close_player()

    def finish(self) -> None:
        """Close, and wait until nothing runs: nothing may outlive the window."""
        self.close_pair()
        self._endings.wait()

    def step_side(self, by: int) -> None:
        """Put the next filmed swing, or the one before, on the side that is chosen."""
        if self.pair is None or self._state.lesson is None:
            return
        ids = [self.pair.first.swing.id, self.pair.last.swing.id]
        filmed = [swing.id for swing in self._state.lesson.swings if swing.clips]
        if ids[self.side] not in filmed:
            return
        at = filmed.index(ids[self.side]) + by
        if 0 <= at < len(filmed):
            ids[self.side] = filmed[at]
            self.open_pair(*ids)

    def choose_side(self, side: int) -> None:
        """Choose the side whose swing is changed."""
        self.side = side
        if self.player is not None:
            self.player.screens.set_leading(side)

    def next_view(self) -> None:
        """Look from the next camera that filmed both."""
        if self.pair is not None:
            views = list_views(self.pair.first, self.pair.last)
            if len(views) < 2:
                self._layout.say(tr("No other camera filmed both swings."))
                return
            self._view = (self._view + 1) % len(views)
            self._make_player()

    # inside

    def _follow(self) -> None:
        """What was corrected or undone is taken in by the swings that are open, or on their way."""
        if self._ids is not None:
            self.open_pair(*self._ids)

    def _show_drawing(self, clip_id: str, drawing_id: str, drawing: Drawing | None) -> None:
        if self.player is not None:
            renew_drawing(self.player, clip_id, drawing_id, drawing)

    def _show(self, pair: PairShown) -> None:
        before, self.pair = self.pair, pair
        if before is not None and self.player is not None and renew_pair(self.player, pair):
            self._tell()
            self.pair_came.emit()
            return
        self._view = min(self._view, len(list_views(pair.first, pair.last)) - 1)
        self._make_player()
        self._tell()
        self.pair_came.emit()

    def _make_player(self) -> None:
        assert self.pair is not None
        before = None if self.player is None else self.player.lock
        self._close_player()
        folder, views = self._state.library, list_views(self.pair.first, self.pair.last)
        player = self.player = PairPlayer(
            self.pair, views[self._view], lambda shown: lambda: open_clip(folder, shown.clip), self
        )
        if self._look is not None:
            player.set_look(self._look)
        player.refused.connect(self._layout.say)
        player.screens.looked_at.connect(self.choose_side)
        player.clips_opened.connect(lambda has_copies: self._begin(player, before, has_copies))
        self._layout.put(player)
        self.choose_side(self.side)

    def _begin(self, player: PairPlayer, before: Any, has_copies: bool) -> None:
        if player is not self.player:
            return
        if before is not None and before.at in player.names:  # another swing or camera is looked at the same way
            player.relock(before.at, before.is_time_altered)
        self._layout.make_room(player.aspect)
        self._tell()
        if not has_copies:
            self._make_copies(player)

    def _make_copies(self, player: PairPlayer) -> None:
        self._copying.begin(
            [one.shown.clip for one in player.screens.all if not one.is_lost],
            lambda problems: player.screens.reopen() if player is self.player and not problems else None,
        )

    def _close_player(self) -> None:
        self._copying.give_up()
        if self.player is not None:
            self._endings.add(*self.player.screens.pumps)
            self.player.close_clips()
            self._layout.removeWidget(self.player)
            self.player.hide()
            self.player.deleteLater()
            self.player = None

    def _tell(self) -> None:
        state = self._state
        key = state.measures[0] if state.measures else None
        own = None if self.pair is None else self.pair.compared
        self.panel.show_told(tell(own or state.comparison, key, state.why_not_compared))

    # keys

    def focusNextPrevChild(self, next: bool) -> bool:
        """Tab chooses a side."""
        return False

    def keyPressEvent(self, a0: QKeyEvent | None) -> None:
        """Everything by keys."""
        if a0 is None:
            return
        action = self._actions().get(a0.key())
        if action is None:
            by = 10 if a0.modifiers() & Qt.KeyboardModifier.ShiftModifier else 1
            action = player_actions(self.player, by).get(a0.key()) if self.player is not None else None
        if action is None:
            super().keyPressEvent(a0)
            return
        if a0.key() != Qt.Key.Key_Escape and self.player is not None:
            self._layout.say("")
        action()

    def _actions(self) -> dict[int, Callable[[], object]]:
        return {
            Qt.Key.Key_Escape: self._leave,
            Qt.Key.Key_Tab: lambda: self.choose_side(1 - self.side),
            Qt.Key.Key_Up: lambda: self.step_side(-1),
            Qt.Key.Key_Down: lambda: self.step_side(1),
            Qt.Key.Key_D: self.open_pair,
            Qt.Key.Key_V: self.next_view,
            Qt.Key.Key_M: lambda: self._state.step_measure(1),
        }

    def _leave(self) -> None:
        self.close_pair()
        self.left.emit()
