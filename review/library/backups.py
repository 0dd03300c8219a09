"""What a backup needs of the library: a copy of the database at one moment, the files it names, where backups lie."""

import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from review.errors import BadInputError
from review.library.database import Database, explain
from review.library.migrations import check
from review.progress import Progress, silent

_PAGES = 256
"""Copied between two looks at whether the coach stopped it: 1 MB."""


@dataclass(frozen=True)
class KeptBackup:
    """A backup that was begun, and when it was whole (None: it was broken off, or goes on)."""

    id: str
    folder: str
    begun_at: datetime
    made_at: datetime | None


class Backups(Database):
    """Copies of the library elsewhere."""

    def copy_database(self, to: Path, progress: Progress = silent) -> None:
        """Copy the database as it is at this moment to a new file, while others go on reading and writing.

        Raises
        ------
        MachineError
            When the disk is full or may not be written.
        Cancelled
            By ``progress``; the file begun is the caller's to remove.
        """

        def report(_: int, remaining: int, total: int) -> None:
            progress(total - remaining, max(total, 1))

        with self._explained(), closing(sqlite3.connect(to, isolation_level=None)) as target:
            # held from here on, so that a write of another run does not make it begin anew
            self._connection.execute("BEGIN")
            try:
                self._connection.execute("SELECT 1 FROM pupil").fetchone()
                self._connection.backup(target, pages=_PAGES, progress=report)
            finally:
                self._connection.execute("ROLLBACK")
            # one file, without a log beside it
            target.execute("PRAGMA journal_mode = DELETE")

    def begin_backup(self, id: str, folder: Path, begun_at: datetime) -> None:
        """Note that a backup is begun and whom it will hold; what is broken off may hold them too."""
        with self.transaction():
            self._insert("backup", {"id": id, "folder": str(folder), "begun_at": begun_at.isoformat()})
            self._execute("INSERT INTO backed_up (backup_id, pupil_id) SELECT ?, id FROM pupil", (id,))

    def end_backup(self, id: str, folder: Path, made_at: datetime) -> None:
        """Note that a backup is whole; it takes the place of those that lay in the folder."""
        with self.transaction():
            self._execute(
                "UPDATE backup SET folder = ?, made_at = ? WHERE id = ?", (str(folder), made_at.isoformat(), id)
            )
            self._execute("DELETE FROM backup WHERE folder = ? AND id <> ?", (str(folder), id))

    def backups(self, pupil_id: str | None = None) -> tuple[KeptBackup, ...]:
        """Backups of this library, the latest last; those that may hold a pupil where one is named."""
        where = "" if pupil_id is None else "WHERE id IN (SELECT backup_id FROM backed_up WHERE pupil_id = ?)"
        asked = () if pupil_id is None else (pupil_id,)
        found = self._execute(f"SELECT * FROM backup {where} ORDER BY begun_at", asked)
        return tuple(
            KeptBackup(
                row["id"],
                row["folder"],
                datetime.fromisoformat(row["begun_at"]),
                None if row["made_at"] is None else datetime.fromisoformat(row["made_at"]),
            )
            for row in found
        )

    def named_files(self) -> frozenset[str]:
        """The clips and voices that rows name, as they lie in the library's folder; not those let go."""
        found = self._execute("SELECT file FROM clip WHERE let_go_on IS NULL UNION SELECT file FROM voice")
        return frozenset(row["file"] for row in found)


def count_in(database: Path) -> tuple[int, int]:
    """Count pupils and lessons of a library of whatever version, and leave it as it is.

    Raises
    ------
    BadInputError, MachineError
        When it cannot be read.
    """
    try:
        with closing(sqlite3.connect(f"{database.resolve().as_uri()}?mode=ro", uri=True)) as connection:
            n_pupils = connection.execute("SELECT COUNT(*) FROM pupil").fetchone()[0]
            n_lessons = connection.execute("SELECT COUNT(*) FROM lesson").fetchone()[0]
            return int(n_pupils), int(n_lessons)
    except sqlite3.Error as error:
        raise explain(error, database) from error


@contextmanager
def read_copy(database: Path) -> Iterator[Backups]:
    """Open a copied database for reading alone; nothing is written beside it.

    Raises
    ------
    BadInputError
        When it is damaged, no library, or of a newer version.
    """
    uri = f"{database.resolve().as_uri()}?mode=ro&immutable=1"
    try:
        with closing(sqlite3.connect(uri, uri=True, isolation_level=None)) as connection:
            connection.row_factory = sqlite3.Row
            check(connection)
            said = connection.execute("PRAGMA quick_check(1)").fetchone()[0]
            if said != "ok":
                raise BadInputError(f"The database in the backup is damaged ({said}).")
            yield Backups(database.parent, connection)
    except sqlite3.Error as error:
        raise explain(error, database) from error
