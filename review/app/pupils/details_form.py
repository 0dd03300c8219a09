"""The form for who a pupil is: a new one, or one corrected."""

from PyQt5.QtWidgets import QLineEdit, QWidget

from review.app.language import say_number, tr
from review.app.look.toggle import Toggle
from review.app.pupils.form import Form, say_form_keys
from review.errors import BadInputError
from review.jobs.pupil_page import Details, read_stature
from review.lesson import Handedness, Pupil


class DetailsForm(Form):
    """Name and hand are enough; a pupil under age has a guardian."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(say_form_keys(), parent)
        self.setAccessibleName(tr("Who the pupil is"))
        self.name, self.stature, self.guardian = QLineEdit(self), QLineEdit(self), QLineEdit(self)
        self.hands = {
            Handedness.RIGHT: Toggle(tr("right-handed"), self),
            Handedness.LEFT: Toggle(tr("left-handed"), self),
        }
        self.minor = Toggle(tr("under age"), self)
        self.stature.setPlaceholderText(tr("such as 1.72 or 5'8, may be left empty"))
        self.guardian.setPlaceholderText(tr("who gives consent and gets the take-home"))
        self.add_row(tr("Name"), self.name)
        self.add_toggles(tr("Swings"), list(self.hands.values()), is_one_of=True)
        self.add_row(tr("Stature"), self.stature)
        self.add_toggles(tr("Age"), [self.minor])
        self.add_row(tr("Guardian"), self.guardian)
        self.minor.toggled.connect(lambda is_on: self.show_row(self.guardian, is_on))

    def show_pupil(self, pupil: Pupil | None) -> None:
        """Fill in what is known of a pupil, None for a new one."""
        self.begin(tr("New pupil") if pupil is None else tr("Correct {name}", name=pupil.name))
        self.name.setText("" if pupil is None else pupil.name)
        self.stature.setText("" if pupil is None or pupil.stature_m is None else say_number(pupil.stature_m, 2))
        self.guardian.setText("" if pupil is None or pupil.guardian is None else pupil.guardian)
        self.minor.setChecked(pupil is not None and pupil.is_minor)
        self.show_row(self.guardian, self.minor.isChecked())
        for hand, toggle in self.hands.items():
            toggle.setAutoExclusive(False)
            toggle.setChecked(pupil is not None and pupil.handedness is hand)
            toggle.setAutoExclusive(True)

    def read(self) -> Details:
        """What is written.

        Raises
        ------
        BadInputError
            When no hand is ticked or the stature is none.
        """
        hand = next((hand for hand, toggle in self.hands.items() if toggle.isChecked()), None)
        if not self.name.text().strip():
            raise BadInputError(tr("A pupil needs a name."))
        if hand is None:
            raise BadInputError(tr("Tick from which side the pupil swings: lead and trail go by it."))
        return Details(
            self.name.text(),
            hand,
            read_stature(self.stature.text()),
            self.minor.isChecked(),
            self.guardian.text() if self.minor.isChecked() else "",
        )
