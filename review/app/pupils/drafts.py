"""Forms that were left half written: what stood in them is there when they are opened again; never on the disk."""

from PyQt5.QtWidgets import QLineEdit

from review.app.look.toggle import Toggle
from review.app.pupils.form import Form

Written = tuple[tuple[str, ...], tuple[bool, ...]]


class Drafts:
    """Drafts by form and pupil; ``bring_back`` after a form was filled, ``put_aside`` when it is left."""

    def __init__(self) -> None:
        self._aside: dict[tuple[type[Form], str], Written] = {}
        self._filled: dict[type[Form], tuple[str, Written]] = {}

    def bring_back(self, form: Form, pupil_id: str) -> bool:
        """Write into a filled form what was left in it for this pupil ('' = a new one); whether there was any."""
        self._filled[type(form)] = (pupil_id, read_written(form))
        draft = self._aside.get((type(form), pupil_id))
        if draft is None:
            return False
        for toggle, is_on in zip(form.findChildren(Toggle), draft[1], strict=True):
            toggle.setChecked(is_on)
        for line, text in zip(form.findChildren(QLineEdit), draft[0], strict=True):
            line.setText(text)
        return True

    def put_aside(self, form: Form) -> bool:
        """Put aside what is not as the form was filled; whether there was any."""
        pupil_id, filled = self._filled.get(type(form), ("", ((), ())))
        written = read_written(form)
        if written == filled:
            self._aside.pop((type(form), pupil_id), None)
            return False
        self._aside[type(form), pupil_id] = written
        return True

    def drop(self, pupil_id: str) -> None:
        """Let go of what is kept by now, or of a pupil who is forgotten."""
        self._aside = {key: draft for key, draft in self._aside.items() if key[1] != pupil_id}


def read_written(form: Form) -> Written:
    """What stands in a form's lines and what is ticked."""
    lines, ticks = form.findChildren(QLineEdit), form.findChildren(Toggle)
    return tuple(line.text() for line in lines), tuple(tick.isChecked() for tick in ticks)
