"""What the pupil sees of one step: a head, beneath it two swings, numbers, words, or nothing."""

from PyQt5.QtWidgets import QLayout, QStackedWidget, QVBoxLayout, QWidget

from review.app.language import tr
from review.app.look import Look
from review.app.pupil_view.panels import Felt, Numbers, large_label
from review.app.pupil_view.steps import AT, Content, Shows, Step
from review.app.side_by_side.pair_player import PairPlayer
from review.lettering import capitalise

_BLANK = "\u00a0"


class Stage(QWidget):
    """Shows a step, standing still; the clips only play when asked to."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName(tr("Pupil view"))
        self.player: PairPlayer | None = None
        self._step: Step | None = None
        self._pages, self._calm = QStackedWidget(self), QWidget(self)
        self.head = large_label("", self, "strong")
        self._words: QWidget | None = None
        self._pages.addWidget(self._calm)
        layout = QVBoxLayout(self)
        # long words must not make the view larger than its screen
        layout.setSizeConstraint(QLayout.SizeConstraint.SetNoConstraint)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.addWidget(self.head)
        layout.addWidget(self._pages, 1)

    @property
    def is_calm(self) -> bool:
        """Whether nothing is shown."""
        return self._pages.currentWidget() is self._calm

    def bring(self, player: PairPlayer) -> None:
        """Have two swings ready."""
        player.moved.connect(self._name_moment)
        self._pages.addWidget(player)
        self.player = player

    def let_go(self) -> PairPlayer | None:
        """Take the two swings off, and give them back with their clips closed."""
        player, self.player = self.player, None
        if player is not None:
            player.close_clips()
            self._pages.removeWidget(player)
            player.deleteLater()
        return player

    def show_step(self, step: Step | None, content: Content, look: Look) -> None:
        """Show a step of what there is, None = nothing."""
        self._step = step
        if self._words is not None:
            self._pages.removeWidget(self._words)
            self._words.deleteLater()
            self._words = None
        self.hold()
        page: QWidget = self._calm
        self.head.setText("")
        if step is None:
            pass
        elif step.shows is Shows.CLIPS and self.player is not None:
            self.head.setText(capitalise(tr(step.at)) if step.at else "")
            self.player.relock(step.at)
            page = self.player
        elif step.shows is Shows.NUMBERS:
            page = self._words = Numbers(content.numbers, look, self)
        else:
            page = self._words = Felt(content.felt, content.measured, look, self)
        self.head.setVisible(bool(self.head.text()))
        if page is self._words:
            self._pages.addWidget(page)
        self._pages.setCurrentWidget(page)

    def play_or_hold(self) -> None:
        """Play the clips that are shown from address to finish over and over, or hold them."""
        player = self._playable
        if player is not None:
            if player.transport.head is not None and player.transport.head.loop is None:
                player.toggle_loop()
            player.transport.toggle_playing()

    def hold(self) -> None:
        """Let what plays stand still."""
        if self.player is not None:
            self.player.transport.pause()

    @property
    def _playable(self) -> PairPlayer | None:
        return self.player if self._step is not None and self._step.shows is Shows.CLIPS else None

    def _name_moment(self) -> None:
        """While it plays the head names what was passed; a place that stays, so that nothing jumps."""
        player = self._playable
        if player is not None and player.transport.is_playing:
            passed = player.last_passed(AT)
            said = capitalise(tr(passed)) if passed else _BLANK
            if self.head.text() != said:
                self.head.setText(said)
