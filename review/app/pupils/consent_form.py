"""The form for a consent: who gives it, to what, until when."""

from datetime import date

from PyQt5.QtCore import Qt
from PyQt5.QtWidgets import QLabel, QLineEdit, QWidget

from review.app.language import tr
from review.app.look.toggle import Toggle
from review.app.pupils.form import Form
from review.app.pupils.words import say_consent_kept, say_purpose
from review.errors import BadInputError
from review.lesson import Consent, Pupil, Purpose


class ConsentForm(Form):
    """What is kept here takes the place of the consent on record; it counts from today on."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(tr("Space ticks   Enter keeps; with none ticked: refused, withdrawn   Esc back"), parent)
        self.setAccessibleName(tr("Consent"))
        self.given_by, self.until, self.guardian = QLineEdit(self), QLineEdit(self), QLineEdit(self)
        self.on_record, self.minor = QLabel(self), Toggle(tr("under age"), self)
        self.on_record.setWordWrap(True)
        self.on_record.setTextFormat(Qt.TextFormat.PlainText)
        self.on_record.setAccessibleName(tr("Consent on record"))
        self.purposes = {purpose: Toggle(say_purpose(purpose), self) for purpose in Purpose}
        self.until.setPlaceholderText(tr("a day such as 2027-03-31; empty: until it is withdrawn"))
        self.guardian.setPlaceholderText(tr("who gives consent and gets the take-home"))
        self.rows.addWidget(self.on_record, self.rows.rowCount(), 0, 1, 2)
        self.add_toggles(tr("Age"), [self.minor])
        self.add_row(tr("Guardian"), self.guardian)
        self.add_row(tr("Given by"), self.given_by)
        self.add_toggles(tr("Agrees to"), list(self.purposes.values()))
        self.add_row(tr("Last day"), self.until)
        self._name = ""
        self.minor.toggled.connect(self._turn_minor)
        self.guardian.textEdited.connect(self.given_by.setText)

    def show_pupil(self, pupil: Pupil, today: date) -> None:
        """Fill in what is on record, and who has to give it."""
        self._name = pupil.name
        self.on_record.setText(say_consent_kept(pupil, today))
        self.guardian.setText(pupil.guardian or "")
        self.minor.setChecked(pupil.is_minor)
        self.show_row(self.guardian, pupil.is_minor)
        self.begin(tr("What {name} agrees to", name=pupil.guardian if pupil.is_minor else pupil.name))
        self.given_by.setText((pupil.guardian or "") if pupil.is_minor else pupil.name)
        running = pupil.consent if pupil.consent is not None and pupil.consent.is_running(today) else None
        for purpose, toggle in self.purposes.items():
            toggle.setChecked(running is not None and purpose in running.purposes)
        self.until.setText(running.until.isoformat() if running is not None and running.until is not None else "")

    def take_focus(self) -> None:
        """Let the keyboard go to the first purpose: who gives it is filled in already."""
        next(iter(self.purposes.values())).setFocus()

    def _turn_minor(self, is_on: bool) -> None:
        """Of a pupil under age the guardian gives it."""
        self.show_row(self.guardian, is_on)
        self.given_by.setText(self.guardian.text() if is_on else self._name)

    def read_guardian(self) -> str:
        """The guardian of a pupil under age, '' of one who is not.

        Raises
        ------
        BadInputError
            When nobody is named.
        """
        if not self.minor.isChecked():
            return ""
        guardian = " ".join(self.guardian.text().split())
        if not guardian:
            raise BadInputError(
                "A pupil under age needs the guardian's name: consent and take-home go by the guardian."
            )
        return guardian

    def read(self, today: date) -> Consent:
        """What is written, given today.

        Raises
        ------
        BadInputError
            When nobody gives it, or the last day is none or past.
        """
        said = self.until.text().strip()
        try:
            until = date.fromisoformat(said) if said else None
        except ValueError:
            raise BadInputError(tr("The last day is a day such as 2027-03-31; got {said}.", said=said)) from None
        if until is not None and until < today:
            raise BadInputError(tr("The last day is past; to end a consent, withdraw it."))
        if not self.given_by.text().strip():
            raise BadInputError(tr("A consent needs the name of the person who gives it."))
        given = frozenset(purpose for purpose, toggle in self.purposes.items() if toggle.isChecked())
        return Consent(" ".join(self.given_by.text().split()), today, given, until)
