"""Where the parts of the page of two swings lie."""

from PyQt5.QtWidgets import QGridLayout, QLabel, QWidget

from review.app.language import tr
from review.app.look import Look
from review.app.look.page_head import ElidedLabel, KeysLine, PageHead
from review.app.side_by_side.change_panel import ChangePanel

_UPRIGHT = 1.5
"""Two pictures narrower than that together leave their words room beside them."""


class PairLayout(QGridLayout):
    """The head, the pictures, what changed beneath them or beside narrow ones, at the foot what is said."""

    def __init__(self, page: QWidget) -> None:
        super().__init__(page)
        self.title = ElidedLabel(tr("Side by side"))
        self.title.setObjectName("quiet")
        self.keys = KeysLine(
            tr("← → both one frame   Space play   K lock   O one over the other   Tab ↑ ↓ swings   V camera   ? keys")
        )
        self.said, self.panel = QLabel(page), ChangePanel(page)
        self.said.setObjectName("quiet")
        self.said.setWordWrap(True)
        self.addWidget(PageHead(self.title, self.keys), 0, 0, 1, 2)
        self.addWidget(self.said, 3, 0, 1, 2)
        self.setRowStretch(1, 1)
        self.setColumnStretch(0, 5)
        self._place_panel(is_beside=False)

    def set_look(self, look: Look) -> None:
        """Take on a look."""
        self.setContentsMargins(*(4 * (look.quiet_px // 2,)))
        self.panel.set_look(look)

    def put(self, pictures: QWidget) -> None:
        """Lay out the pictures of two swings."""
        self.addWidget(pictures, 1, 0)

    def make_room(self, aspect: float) -> None:
        """Give the words their place, now that the width of both pictures by their height is known."""
        self._place_panel(is_beside=aspect < _UPRIGHT)

    def say(self, words: str) -> None:
        """Say what is to be said, '' = nothing."""
        self.said.setText(words)
        self.said.setVisible(bool(words))

    def _place_panel(self, is_beside: bool) -> None:
        self.panel.stand(is_beside)
        self.removeWidget(self.panel)
        self.addWidget(self.panel, 1 if is_beside else 2, 1 if is_beside else 0)
        self.setColumnStretch(1, 3 if is_beside else 0)
