"""The table that is looked at and what the coach has said of it; every change is looked at again beside the window."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

from PyQt5.QtCore import QObject, pyqtSignal

from review.app.language import tr
from review.app.state import ReviewState
from review.app.worker import Task
from review.errors import BadInputError
from review.jobs.adding import Added
from review.jobs.tables.adding import add_table
from review.jobs.tables.kept_mappings import keep_mapping
from review.jobs.tables.looking import LookedAt, TableWishes, look_at_table
from review.jobs.tables.looking_pressure import is_pressure_table
from review.progress import Progress
from review.shots import Certainty


class TableLooking(QObject):
    """One signal per fact: it was looked at anew, it was refused, the mapping was kept, the rows were added."""

    changed = pyqtSignal()
    refused = pyqtSignal(str)
    kept = pyqtSignal(str)
    added = pyqtSignal(object)
    mat_found = pyqtSignal(Path)

    def __init__(self, state: ReviewState, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._state = state
        self.path: Path | None = None
        self.looked: LookedAt | None = None
        self.name, self._is_kept = "", False
        self._columns: dict[str, str] = {}
        self._flipped: set[str] = set()
        self._clubs: dict[str, str] = {}
        self._errors: dict[str, float] = {}

    def open_table(self, path: Path) -> None:
        """Look at another table; the one before stays until this one can be read, or where this is a mat's."""

        def look(_: Progress) -> LookedAt | None:
            try:
                looked = look_at_table(folder, path, TableWishes())
            except BadInputError:
                if is_pressure_table(path, folder):
                    return None
                raise
            return None if looked.table is None and is_pressure_table(path, folder) else looked

        def take(looked: LookedAt | None) -> None:
            if looked is None:
                self.mat_found.emit(path)
                return
            self.path, self.looked, self.name = path, looked, ""
            self._columns, self._flipped, self._clubs, self._errors = {}, set(), {}, {}
            self.changed.emit()

        folder = self._state.library
        self._do(tr("Looking at the table"), look, take)

    # what the coach says

    def say_column(self, header: str, meaning: str, unit: str = "") -> None:
        """Say what a column is; '' as it would be read by itself."""
        self._columns.pop(header, None)
        if meaning:
            # of two columns said to be the same the last one is meant
            self._columns = {
                h: m for h, m in self._columns.items() if m.split(" ")[0] != meaning or meaning == "ignore"
            }
            self._columns[header] = f"{meaning} {unit}".strip()
        if meaning in ("", "ignore"):
            self._flipped.discard(header)
        self._look()

    def flip(self, header: str) -> None:
        """Turn the sign of a column round, or back."""
        self._flipped ^= {header}
        self._look(lambda: self._flipped.__ixor__({header}))

    def name_club(self, written: str, yours: str) -> None:
        """Say what a club is called in the coach's bag; '' as it is written."""
        self._clubs[written] = yours or written
        self._look()

    def say_error(self, measure: str, sd: float) -> None:
        """Say how far one reading errs."""
        self._errors[measure] = sd
        self._look()

    # what is done with it

    def keep(self, name: str) -> None:
        """Keep the mapping under the coach's name for the device, when nothing is open."""
        looked, folder = self.looked, self._state.library
        if looked is None:
            return
        if any(c.certainty is Certainty.ASKED and c.meaning for c in looked.proposal.columns):
            self.refused.emit(tr("Nothing was kept: say first in which unit the columns marked ? are."))
            return
        if looked.table is None:
            self.refused.emit(f"{looked.refusal} {tr('Nothing was kept.')}")
            return

        def done(_: Any) -> None:
            self.name, self._is_kept = name, True
            self.kept.emit(name)

        mapping = looked.proposal.mapping
        self._do(tr("Keeping the mapping"), lambda _: keep_mapping(folder, name, mapping), done, keeps=True)

    def add(self, lesson_id: str) -> None:
        """Add the rows to a lesson, read with the mapping just kept or the one that fits."""
        path, folder, name = self.path, self._state.library, self.name
        if path is None:
            return

        def done(added: Added) -> None:
            self.added.emit(added)

        self._do(
            tr("Adding the table"), lambda p: add_table(folder, lesson_id, path, Path(name) if name else None, p), done
        )

    @property
    def is_said(self) -> bool:
        """Whether the coach said something of this table that is not kept yet."""
        return bool(self._columns or self._flipped or self._clubs or self._errors) and not self._is_kept

    def _look(self, undo: Callable[[], Any] | None = None) -> None:
        self._is_kept = False
        path = self.path
        if path is None:
            return
        wishes = TableWishes(
            tuple(f"{header}={said}" for header, said in self._columns.items()),
            tuple(self._flipped),
            tuple(f"{written}={yours}" for written, yours in self._clubs.items()),
            tuple(self._errors.items()),
        )

        def take(looked: LookedAt) -> None:
            if self.path == path:
                self.looked = looked
                self.changed.emit()

        def refuse(why: str) -> None:
            if undo is not None:
                undo()
            self.refused.emit(why)

        self._look_at(path, wishes, take, refuse)

    def _look_at(
        self, path: Path, wishes: TableWishes, take: Callable[[LookedAt], None], refuse: Callable[[str], None]
    ) -> None:
        folder = self._state.library
        self._do(tr("Looking at the table"), lambda _: look_at_table(folder, path, wishes), take, refuse)

    def _do(
        self, name: str, work: Any, on_done: Callable[[Any], None], on_failed: Any = None, keeps: bool = False
    ) -> None:
        self._state.line.add(Task(name, work, on_done, on_failed or self.refused.emit, keeps))
