"""Watching the table that a device writes: read anew when it changed, never half a row."""

import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path

from review.errors import BadInputError
from review.jobs.tables.kept_mappings import find_mapping
from review.lesson import Shot
from review.shots import ColumnMapping, read_shot_table
from review.tables import narrow_text

STEADY_S = 0.5
"""A table that stayed as it is for so long is read."""
LAST_LINE_S = 3.0
"""A last line without its end counts as whole when nothing was added for so long."""
PATIENCE_S = 10.0
"""After so long the coach is told that the table cannot be read."""
_RETRY_S = 1.0
_WORKBOOK = b"PK\x03\x04"


@dataclass
class TableWatch:
    """One table file; ``look`` gives its rows whenever they may have changed.

    Without a ``mapping`` the one that is kept in the ``library``'s folder for such a table is used.
    """

    path: Path
    mapping: ColumnMapping | None
    on_date: date
    clock_s: Callable[[], float] = time.monotonic
    library: Path | None = None
    _stamp: tuple[int, int] | None = None
    _steady_since_s: float = 0.0
    _is_read: bool = False
    _try_at_s: float = 0.0
    _failing_since_s: float | None = None
    _told: str = ""
    _notes: set[str] = field(default_factory=set)

    def look(self) -> tuple[Sequence[Shot] | None, tuple[str, ...]]:
        """Return every row of the table when it was read anew (None otherwise), and what the coach should know."""
        at_s = self.clock_s()
        try:
            stat = self.path.stat()
        except OSError:
            # not there yet, or taken away to be written anew: rows that are known stay
            self._stamp, self._is_read = None, False
            return None, ()
        stamp = (stat.st_size, stat.st_mtime_ns)
        if stamp != self._stamp:
            self._stamp, self._steady_since_s, self._is_read = stamp, at_s, False
            self._try_at_s = at_s + STEADY_S
        steady_s = at_s - self._steady_since_s
        if self._is_read or at_s < self._try_at_s:
            return None, ()
        try:
            content = self.path.read_bytes()
            content = content if content.startswith(_WORKBOOK) else narrow_text(content)
            rows, notes, is_whole = self._read(content, steady_s >= LAST_LINE_S)
        except (BadInputError, OSError) as error:
            self._try_at_s = at_s + _RETRY_S
            return None, self._fail(at_s, error)
        self._is_read = is_whole
        self._try_at_s = self._steady_since_s + LAST_LINE_S
        self._failing_since_s = None
        self._told = ""
        # the lines a note names change as the table grows; it is told once all the same
        new = {note.partition(":")[0]: note for note in notes}
        told = tuple(note for kind, note in new.items() if kind not in self._notes)
        self._notes.update(new)
        return rows, tuple(f"{self.path.name}: {note}" for note in told)

    def _read(self, content: bytes, is_settled: bool) -> tuple[Sequence[Shot], tuple[str, ...], bool]:
        """Rows, notes, and whether nothing was left for later."""
        is_workbook = content.startswith(_WORKBOOK)
        if not (is_workbook or is_settled or content.endswith((b"\n", b"\r"))):
            return self._read_rows(_without_last_line(content))[0], (), False
        try:
            return *self._read_rows(content), True
        except BadInputError as error:
            if is_workbook or not is_settled:
                raise
            try:
                rows, notes = self._read_rows(_without_last_line(content))
            except BadInputError:
                raise error from None
            return rows, (*notes, f"the last line is left out: {error}"), True

    def _read_rows(self, content: bytes) -> tuple[Sequence[Shot], tuple[str, ...]]:
        if not content.strip():
            raise BadInputError(f"{self.path.name} is empty.")
        notes: tuple[str, ...] = ()
        if self.mapping is None and self.library is not None:
            found = find_mapping(self.library, self.path)
            self.mapping, notes = found.mapping, found.notes
        table = read_shot_table(self.path, self.mapping, self.on_date, content)
        return table.shots, (*notes, *table.notes, *table.questions)

    def _fail(self, at_s: float, error: Exception) -> tuple[str, ...]:
        """Tell once, after a while, that the table cannot be read."""
        if self._failing_since_s is None:
            self._failing_since_s = at_s
        if at_s - self._failing_since_s < PATIENCE_S:
            return ()
        why = f"{self.path.name} cannot be read ({error.strerror})." if isinstance(error, OSError) else str(error)
        if why == self._told:
            return ()
        self._told = why
        return (f"{why} Rows read so far stay; the table is read again when it changes.",)


def _without_last_line(content: bytes) -> bytes:
    whole, newline, _ = content.rstrip(b"\r\n").rpartition(b"\n")
    return whole + newline
