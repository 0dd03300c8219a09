"""A lesson is begun, or the next pupil's: a name and a hand are enough, the rest is as in the lesson before."""

import re
from collections.abc import Callable
from pathlib import Path

from PyQt5.QtWidgets import QFileDialog, QHBoxLayout, QLineEdit, QPushButton, QVBoxLayout, QWidget

from review.app.language import tr
from review.app.live.earlier_field import EarlierField
from review.app.look import Look
from review.app.look.toggle import Toggle
from review.app.pupils.form import Form
from review.errors import BadInputError
from review.jobs.lesson_file import parse_aim
from review.jobs.live import LiveBefore, LiveRequest, name_cameras
from review.lesson import KINDS, Handedness, Pupil, Source

_BETWEEN = ";"


class BeginPage(Form):
    """Enter begins; Esc goes back, and the lesson that goes on goes on."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(tr("Tab next   ↓ earlier words   Space chooses   Enter begins   Esc back"), parent)
        self.setAccessibleName(tr("Begin a lesson"))
        layout = self.layout()
        if isinstance(layout, QVBoxLayout):
            layout.setContentsMargins(40, 26, 40, 16)
        self._before: LiveBefore | None = None
        self._is_begun = False
        self.name, self.club = EarlierField(self, after_typing=True), EarlierField(self)
        self.aim = EarlierField(self, is_list=True)
        self.hands = {
            Handedness.RIGHT: Toggle(tr("right-handed"), self),
            Handedness.LEFT: Toggle(tr("left-handed"), self),
        }
        self.minor, self.guardian = Toggle(tr("under age"), self), QLineEdit(self)
        self.folders, self.table = QLineEdit(self), QLineEdit(self)
        self.add_row(tr("Name"), self.name)
        self.add_toggles(tr("Swings"), list(self.hands.values()), is_one_of=True)
        self.add_toggles(tr("Age"), [self.minor])
        self.add_row(tr("Guardian"), self.guardian)
        self.guardian.setPlaceholderText(tr("who gives consent and gets the take-home"))
        self.minor.toggled.connect(lambda is_on: self.show_row(self.guardian, is_on))
        self.show_row(self.guardian, False)
        self.add_row(tr("Clips in"), self._with_button(self.folders, self._add_folder))
        self.add_row(tr("Device's table"), self._with_button(self.table, self._choose_table))
        self.add_row(tr("Club"), self.club)
        self.add_row(tr("Aim of the lesson"), self.aim)
        self.folders.setAccessibleName(tr("Clips in"))
        self.table.setAccessibleName(tr("Device's table"))
        self.folders.setPlaceholderText(tr("the folder in which the camera drops its clips; several with ; between"))
        self.table.setPlaceholderText(tr("what the device keeps writing or will export; may be left empty"))
        self.aim.offer(_list_aims(), is_shown=True)
        self.name.textChanged.connect(self._know)

    def set_look(self, look: Look) -> None:
        """All sizes come with the window's style."""

    def show_before(self, before: LiveBefore, pupil: Pupil | None = None) -> None:
        """Fill in what the lesson before had, and the pupil where it is known who comes; what was typed stays."""
        is_new = pupil is not None or not self._is_begun
        self._is_begun = True
        self._before = before
        self.begin(tr("The next pupil") if before.going_on else tr("Begin a lesson"))
        if is_new:
            self._empty()
        self.name.offer([name for name in before.hands if name != before.going_on])
        self.club.offer(before.words.clubs, is_shown=True)
        if not self.folders.isModified():
            self.folders.setText(f"{_BETWEEN} ".join(folder for folder, _ in before.watched.folders))
        if not self.table.isModified():
            self.table.setText(before.watched.table)
        if pupil is not None:
            self.name.setText(pupil.name)
            self.hands[pupil.handedness].setChecked(True)

    def _empty(self) -> None:
        for field in (self.name, self.club, self.aim, self.guardian):
            field.clear()
        for toggle in (*self.hands.values(), self.minor):
            toggle.setChecked(False)

    def forget_typed(self) -> None:
        """Fill all in anew for the next lesson: this one has begun with it."""
        self._is_begun = False
        for field in (self.folders, self.table):
            field.setModified(False)

    def take_focus(self) -> None:
        """Let the keyboard go to the name."""
        self.name.setFocus()

    def read(self) -> LiveRequest:
        """What is written.

        Raises
        ------
        BadInputError
            When the name, the hand, a guardian or the folder is missing, or the aim names no measure.
        """
        name = " ".join(self.name.text().split())
        hand = next((hand for hand, toggle in self.hands.items() if toggle.isChecked()), None)
        if not name:
            raise BadInputError(tr("A pupil needs a name."))
        if hand is None:
            raise BadInputError(tr("Tick from which side the pupil swings: lead and trail go by it."))
        guardian = " ".join(self.guardian.text().split()) if self.minor.isChecked() else ""
        if self.minor.isChecked() and not guardian:
            raise BadInputError(
                "A pupil under age needs the guardian's name: consent and take-home go by the guardian."
            )
        folders = [Path(part.strip()) for part in self.folders.text().split(_BETWEEN) if part.strip()]
        if not folders:
            raise BadInputError(tr("Choose the folder in which the camera drops its clips."))
        lost = next((folder for folder in folders if not folder.is_dir()), None)
        if lost is not None:
            raise BadInputError(tr("There is no folder {folder}. Choose the one with the clips.", folder=lost))
        named, _ = name_cameras([(f.absolute(), f.name if len(folders) > 1 else "") for f in folders])
        watched = None if self._before is None else self._before.watched
        is_as_before = watched is not None and [one for one, _ in watched.folders] == [one for one, _ in named]
        table = self.table.text().strip()
        return LiveRequest(
            pupil=name,
            handedness=hand,
            folders=() if is_as_before else named,
            table=Path(table) if table else None,
            without_table=not table,
            club=self.club.text().strip(),
            is_minor=self.minor.isChecked(),
            guardian=guardian or None,
            aim_measures=tuple(parse_aim(one) for part in re.split("[;,]", self.aim.text()) if (one := part.strip())),
        )

    def _know(self, name: str) -> None:
        """The hand of a pupil who is known, and the guardian."""
        guardians = {} if self._before is None else {k.casefold(): who for k, who in self._before.guardians.items()}
        is_known_minor = name.strip().casefold() in guardians
        if is_known_minor:
            self.guardian.setText(guardians[name.strip().casefold()])
            self.minor.setChecked(True)
        elif not self.minor.isEnabled():  # it was said of another pupil
            self.guardian.clear()
            self.minor.setChecked(False)
        self.minor.setEnabled(not is_known_minor)  # whether it is so no longer is said on the pupil's page
        known = {} if self._before is None else {k.casefold(): hand for k, hand in self._before.hands.items()}
        hand = known.get(name.strip().casefold())
        if hand is not None:
            self.hands[hand].setChecked(True)

    def _with_button(self, field: QLineEdit, choose: Callable[[], None]) -> QWidget:
        both = QWidget(self)
        button = QPushButton(tr("Choose …"), both)
        button.setAccessibleName(tr("Choose …"))
        button.setAutoDefault(False)
        button.clicked.connect(lambda: choose())
        layout = QHBoxLayout(both)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.addWidget(field, 1)
        layout.addWidget(button)
        both.setFocusProxy(field)
        return both

    def _add_folder(self) -> None:
        chosen = QFileDialog.getExistingDirectory(self, tr("Where the camera drops its clips"), self.folders.text())
        if chosen:
            there = self.folders.text().strip()
            self.folders.setText(f"{there}{_BETWEEN} {chosen}" if there and chosen not in there else chosen)
            self.folders.setModified(True)

    def _choose_table(self) -> None:
        chosen, _ = QFileDialog.getOpenFileName(self, tr("The table that the device writes"), self.table.text())
        if chosen:
            self.table.setText(chosen)
            self.table.setModified(True)


def _list_aims() -> list[str]:
    """Measures a lesson can be about, as they are written."""
    kinds = KINDS.values()
    at_impact = [f"{kind.label} at impact" for kind in kinds if kind.source is Source.POSE]
    return [kind.label for kind in kinds if kind.source is Source.DEVICE] + at_impact
