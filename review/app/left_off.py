"""Where the coach was, kept while the window is open: after a crash or a power cut it opens there again.

Kept are ids of the library and the kind of page, no names; a window that is closed takes the file away, and so does
one that finds the lesson gone, as after its pupil is forgotten. A lesson that goes on is taken up by ``live``.
"""

from __future__ import annotations

from dataclasses import asdict, dataclass, fields
from pathlib import Path

from PyQt5.QtCore import QEvent, QObject, QTimer

from review.app.kept_json import read_kept, write_kept
from review.app.pages_by_name import lead_to, name_page_on
from review.app.window import Window

_LOOK_EVERY_MS = 500


@dataclass(frozen=True)
class Place:
    """A lesson of a library, a swing of it or '', and the page: 'chart', 'swing', 'pair' or 'balls'."""

    library: str
    lesson_id: str
    swing_id: str = ""
    page: str = "chart"


class LeftOff(QObject):
    """Keeps the place of a window in ``file``, and goes back to it once the pupils are read."""

    def __init__(self, window: Window, file: Path) -> None:
        super().__init__(window)
        self._window, self._file = window, file
        self._wanted = read_place(file)
        self._kept: Place | None = None
        self._timer = QTimer(self)
        self._timer.timeout.connect(self.keep)
        window.installEventFilter(self)
        window.state.pupils_changed.connect(self._find)
        window.state.lesson_changed.connect(self._go_on)

    @property
    def place(self) -> Place | None:
        """Where the coach is; None on the first page and in a lesson that goes on."""
        window, state = self._window, self._window.state
        if state.lesson is None or window.live.is_on:
            return None
        name = name_page_on(window)
        page = name if name in ("swing", "pair", "balls") else "chart"
        return Place(str(state.library.resolve()), state.lesson.lesson.id, state.swing_id or "", page)

    def keep(self) -> None:
        """Keep the place, where it is another."""
        place = self.place
        if place != self._kept:
            self._kept = place
            write_place(place, self._file)

    def _find(self) -> None:
        """Open the lesson that was open, if it is still there."""
        wanted, state = self._wanted, self._window.state
        self._timer.start(_LOOK_EVERY_MS)
        if wanted is None or self._window.live.is_on or state.lesson is not None:
            return
        lessons = {lesson.id for shown in state.pupils or () for lesson in shown.lessons}
        if wanted.library == str(state.library.resolve()) and wanted.lesson_id in lessons:
            state.open_lesson(wanted.lesson_id)
        else:
            self._wanted = None
            write_place(None, self._file)

    def _go_on(self) -> None:
        """Choose what was chosen, on the page it was."""
        wanted, self._wanted = self._wanted, None
        window, shown = self._window, self._window.state.lesson
        if wanted is None or shown is None or shown.lesson.id != wanted.lesson_id:
            return
        if wanted.swing_id in {swing.id for swing in shown.swings}:
            window.state.choose_swing(wanted.swing_id)
        if wanted.page != "swing" or window.state.swing_id == wanted.swing_id:
            lead_to(window, wanted.page)

    def eventFilter(self, a0: QObject | None, a1: QEvent | None) -> bool:
        """A window that is closed begins anew next time."""
        if a0 is self._window and a1 is not None and a1.type() == QEvent.Type.Close:
            self._timer.stop()
            write_place(None, self._file)
        return super().eventFilter(a0, a1)


def read_place(file: Path) -> Place | None:
    """Read where the coach was; None where nothing usable is kept."""
    kept = read_kept(file)
    names = {field.name for field in fields(Place)}
    if kept is None or set(kept) != names or not all(isinstance(v, str) for v in kept.values()):
        return None
    return Place(**kept)


def write_place(place: Place | None, file: Path) -> None:
    """Keep a place, or take it away; where that cannot be, the window begins anew next time."""
    write_kept(None if place is None else asdict(place), file)
