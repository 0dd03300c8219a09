"""What the coach chooses of a take-home: how clips are made, who is seen in them. All as the command has it."""

from PyQt5.QtWidgets import QGridLayout, QSizePolicy, QWidget

from review.app.language import tr
from review.app.look.toggle import Toggle
from review.lesson import Pupil
from review.takehome import ClipChoice, ClipOptions, Form


class Choices(QWidget):
    """Things to tick, in two columns; Tab goes from one to the next, Space ticks."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName(tr("What the take-home is like"))
        self.upright = Toggle(tr("Clips upright"), self)
        self.wide = Toggle(tr("Clips wide"), self)
        self.alone = Toggle(tr("Each swing alone, too"), self)
        self.held = Toggle(tr("Held at top and impact"), self)
        self.sound = Toggle(tr("Sound: others are heard"), self)
        self.zipped = Toggle(tr("As one zip file, too"), self)
        self.faces = Toggle(tr("Faces covered"), self)
        self.only_player = Toggle(tr("Only the player shown"), self)
        layout = QGridLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setVerticalSpacing(6)
        self.all = (
            *(self.upright, self.wide, self.alone, self.held),
            *(self.sound, self.zipped, self.faces, self.only_player),
        )
        for n, toggle in enumerate(self.all):
            toggle.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Fixed)
            layout.addWidget(toggle, n // 2, n % 2)

    def renew(self, pupil: Pupil, may: bool) -> None:
        """Begin as the command does; of a minor what is covered cannot be chosen."""
        is_on = {self.upright, self.alone, self.held} | ({self.faces, self.only_player} if pupil.is_minor else set())
        for toggle in self.all:
            toggle.setChecked(toggle in is_on)
            toggle.setEnabled(may and not (pupil.is_minor and toggle in (self.faces, self.only_player)))

    def choose(self) -> ClipChoice | None:
        """How clips are made; None where they are neither upright nor wide."""
        ticked = ((Form.PORTRAIT, self.upright), (Form.LANDSCAPE, self.wide))
        forms = tuple(form for form, toggle in ticked if toggle.isChecked())
        usual = ClipOptions()
        options = ClipOptions(
            freeze_at=usual.freeze_at if self.held.isChecked() else (), with_sound=self.sound.isChecked()
        )
        return ClipChoice(options, forms, self.alone.isChecked()) if forms else None
