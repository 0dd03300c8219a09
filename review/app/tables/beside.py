"""What is asked beside the list of a table: what a column is, a club's name, an error, a name, where the table lies."""

import math
from collections.abc import Callable
from pathlib import Path
from typing import Any

from PyQt5.QtCore import Qt, pyqtSignal
from PyQt5.QtWidgets import QFileDialog, QLabel, QStackedWidget, QWidget

from review.app.language import tr
from review.app.number_words import say_label
from review.app.tables.asking import AskOneOf, AskText
from review.app.tables.lines import Line, LineKind, say_choice, say_meaning
from review.app.tables.looking import TableLooking
from review.jobs.tables.looking import list_units
from review.lesson import KINDS
from review.shots.terms import MEASURES, ROLES


class Beside(QStackedWidget):
    """Shows more about a line until something is asked; ``settled`` when nothing is asked any longer."""

    settled = pyqtSignal()
    asked = pyqtSignal()
    refused = pyqtSignal(str)
    path_given = pyqtSignal(Path)

    def __init__(self, looking: TableLooking, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName(tr("More about the line"))
        self._looking = looking
        self.more, self.one_of, self.text = QLabel(self), AskOneOf(self), AskText(self)
        self.more.setWordWrap(True)
        self.more.setTextFormat(Qt.TextFormat.PlainText)
        self.more.setAlignment(Qt.AlignmentFlag.AlignTop)
        for part in (self.more, self.one_of, self.text):
            self.addWidget(part)
        self._on_answer: Callable[[Any], None] = lambda _: None
        for asking in (self.one_of, self.text):
            asking.answered.connect(lambda answer: self._on_answer(answer))
            asking.left.connect(self.settle)

    @property
    def is_asking(self) -> bool:
        """Whether an answer is waited for."""
        return self.currentWidget() is not self.more

    def settle(self) -> None:
        """Ask nothing any longer."""
        self.setCurrentWidget(self.more)
        self.settled.emit()

    def ask_path(self) -> None:
        """Ask where the table lies; Enter on nothing opens the system's own dialog."""
        path = self._looking.path
        self.text.ask(tr("Where does the table lie? Enter on nothing looks for it."), "" if path is None else str(path))
        self._wait(self.text, self._take_path)

    def ask_name(self) -> None:
        """Ask under which name the mapping is kept."""
        looked = self._looking.looked
        if looked is not None:
            self.text.ask(tr("Your name for this device?"), self._looking.name or looked.proposal.mapping.name)
            self._wait(self.text, lambda said: self._done(lambda: self._looking.keep(said)))

    def ask_line(self, line: Line) -> None:
        """Ask what a line should be instead."""
        if line.kind is LineKind.CLUB:
            self.text.ask(tr("What is {club} called in your bag?", club=line.key), line.first.rpartition("→ ")[2])
            self._wait(self.text, lambda said: self._done(lambda: self._looking.name_club(line.key, said)))
        elif line.kind is LineKind.ERROR:
            kind = KINDS[line.key]
            self.text.ask(
                tr(
                    "By how much does one reading of {measure} err ({unit})?",
                    measure=say_label(line.key),
                    unit=kind.unit,
                )
            )
            self._wait(self.text, lambda said: self._take_error(line.key, said))
        else:
            self._ask_meaning(line.key)

    def _ask_meaning(self, header: str) -> None:
        looked = self._looking.looked
        if looked is None:
            return
        column = next(c for c in looked.proposal.columns if c.header == header)
        choices: list[tuple[str, object]] = [(say_choice(one), tuple(one.rsplit(" ", 1))) for one in column.choices]
        names = sorted((*MEASURES, *(role for role in ROLES if role != "ignore")), key=say_meaning)
        choices += [(say_meaning(name), (name,)) for name in names]
        choices += [(tr("leave it out"), ("ignore",)), (tr("as it would be read by itself"), ("",))]
        self.one_of.ask(tr("What is {column}?", column=header), choices)
        self._wait(self.one_of, lambda said: self._take_meaning(header, said))

    def _take_meaning(self, header: str, said: tuple[str, ...]) -> None:
        units = list_units(said[0]) if len(said) == 1 else ()
        if len(units) < 2:
            self._done(lambda: self._looking.say_column(header, *said))
            return
        choices: list[tuple[str, object]] = [(tr("as the table says"), (said[0], ""))]
        choices += [(unit, (said[0], unit)) for unit in units]
        question = tr("{column} is {measure}, in which unit?", column=header, measure=say_meaning(said[0]))
        self.one_of.ask(question, choices)
        self._wait(self.one_of, lambda both: self._done(lambda: self._looking.say_column(header, *both)))

    def _take_error(self, measure: str, said: str) -> None:
        try:
            sd = float(said.replace(",", "."))
        except ValueError:
            sd = math.nan
        if 0 < sd < math.inf:
            self._done(lambda: self._looking.say_error(measure, sd))
        else:
            self.refused.emit(tr("Expected a number above 0 such as 0.5, found {said}.", said=said or "–"))

    def _take_path(self, said: str) -> None:
        if not said:
            names = tr("Tables") + " (*.csv *.tsv *.txt *.xlsx *.ods *.json)"
            said, _ = QFileDialog.getOpenFileName(self, tr("A device's table"), "", names)
        if said:
            self.path_given.emit(Path(said.strip("'\"")).expanduser())

    def _wait(self, asking: AskOneOf | AskText, on_answer: Callable[[Any], None]) -> None:
        self._on_answer = on_answer
        self.setCurrentWidget(asking)
        self.asked.emit()

    def _done(self, say: Callable[[], None]) -> None:
        self.settle()
        say()
