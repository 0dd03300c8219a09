"""The coach's library: every pupil, lesson, swing and number, in one folder on this computer."""

import sqlite3
from datetime import datetime
from pathlib import Path

from review.errors import BadInputError, MachineError
from review.library import files, forgetting, voices
from review.library.backups import Backups
from review.library.cameras import Cameras
from review.library.database import WAIT_S, explain, use_log
from review.library.derived import Derived
from review.library.findings import Findings
from review.library.forgetting import Forgotten
from review.library.live import LiveLessons
from review.library.measured_again import MeasuredAgainRows
from review.library.migrations import check, migrate
from review.library.moving import Moving
from review.library.over_years import OverYears
from review.library.retention import Retention
from review.library.searching import Searching
from review.library.swings import Swings
from review.library.talk_overs import TalkOvers
from review.library.travelling import Travelling
from review.library.voices import Voices
from review.progress import Progress, silent

RESTORING = "restoring.json"
"""Lies in a folder while a backup is brought back into it."""


class Library(
    OverYears,
    Searching,
    LiveLessons,
    Swings,
    Moving,
    Findings,
    Cameras,
    Voices,
    TalkOvers,
    Derived,
    Travelling,
    Backups,
    Retention,
    MeasuredAgainRows,
):
    """One open library; use it in a ``with`` block and from one thread.

    ``finished_forgetting`` tells of pupils whose removal an earlier run began and opening has finished.
    """

    def __init__(self, folder: Path, connection: sqlite3.Connection) -> None:
        super().__init__(folder, connection)
        self.finished_forgetting: tuple[Forgotten, ...] = ()

    @staticmethod
    def is_there(folder: Path) -> bool:
        """Whether a library lies in a folder."""
        return (folder / "library.db").is_file()

    @classmethod
    def open(cls, folder: Path, create: bool = True) -> "Library":
        """Open the library in a folder, making it when ``create`` is set.

        Raises
        ------
        BadInputError
            When there is none (and none is to be made), or the file is no library, or of a newer version.
        MachineError
            When the folder cannot be read or written.
        """
        database = folder / "library.db"
        if (folder / RESTORING).exists() and not cls.is_there(folder):
            raise BadInputError(
                f"Bringing a backup back into {folder} was broken off, so there is no library yet. Do it once more: "
                "lesson-review restore BACKUP; what lies there already is used again."
            )
        if not create and not cls.is_there(folder):
            raise BadInputError(f"There is no library in {folder}. Add a lesson first, or name another with --library.")
        try:
            folder.mkdir(parents=True, exist_ok=True)
            if (folder / RESTORING).exists():
                (folder / RESTORING).unlink()
            if not database.exists():  # an old one opens on a full disk too: forgetting makes room
                files.check_space(folder, 0)
        except MachineError:
            raise
        except (FileExistsError, NotADirectoryError) as error:
            raise BadInputError(
                f"{folder} cannot be a library: a file is in the way. Choose another folder with --library."
            ) from error
        except OSError as error:
            raise files.as_machine_error(error, folder) from error
        connection = None
        try:
            connection = sqlite3.connect(database, timeout=WAIT_S, isolation_level=None)
            connection.row_factory = sqlite3.Row
            check(connection)
            use_log(connection)
            connection.execute("PRAGMA foreign_keys = ON")
            connection.execute("PRAGMA secure_delete = ON")
            migrate(connection)
            parts = (folder / "clips", folder / "derived", folder / voices.FOLDER)
            for part in parts:
                part.mkdir(exist_ok=True)
            files.sweep(parts)
            forgetting.drop_strays(connection, folder)
            voices.drop_voices(connection, folder)
        except sqlite3.Error as error:
            if connection is not None:
                connection.close()
            raise explain(error, database) from error
        except OSError as error:
            if connection is not None:
                connection.close()
            raise error if isinstance(error, MachineError) else files.as_machine_error(error, folder) from error
        except BadInputError:
            if connection is not None:
                connection.close()
            raise
        library = cls(folder, connection)
        try:
            library.finished_forgetting = library._finish_forgetting()
        except MachineError:
            pass  # held by another program or run: the mark stays for the next opening, this one is of use all the same
        except BadInputError:
            connection.close()
            raise
        return library

    # hand-outs and forgetting

    def note_handout(self, lesson_id: str, what: str, to_whom: str, handed_at: datetime) -> int:
        """Note what was handed over, to whom and when; return the note's number."""
        values = {"lesson_id": lesson_id, "what": what, "to_whom": to_whom, "handed_at": handed_at.isoformat()}
        return self._insert("handout", values).lastrowid or 0

    def settle_handout(self, number: int, what: str) -> None:
        """Put other words into a note on a hand-over; with none it goes: nothing was handed over."""
        if what:
            self._execute("UPDATE handout SET what = ? WHERE id = ?", (what, number))
        else:
            self._execute("DELETE FROM handout WHERE id = ?", (number,))

    def last_handout(self, lesson_id: str) -> tuple[int, str]:
        """Number and words of the latest note on a hand-over of a lesson; 0 where there is none."""
        query = "SELECT id, what FROM handout WHERE lesson_id = ? ORDER BY id DESC LIMIT 1"
        row = self._execute(query, (lesson_id,)).fetchone()
        return (0, "") if row is None else (row["id"], row["what"])

    def handouts(self, pupil_id: str) -> tuple[str, ...]:
        """What was handed over of a pupil, in words."""
        with self._explained():
            return forgetting.handouts(self._connection, pupil_id)

    def look_before_forgetting(self, pupil_id: str) -> Forgotten:
        """What :meth:`forget_pupil` would take away, and what it cannot reach: what was handed over, and backups."""
        with self._explained():
            return forgetting.look_ahead(self._connection, pupil_id)

    def forget_pupil(self, pupil_id: str, progress: Progress = silent) -> Forgotten:
        """Remove everything of a pupil: rows, clips that no other pupil has, what was made from them, free pages.

        The wish is written down first; a run that is stopped is finished when the library is next opened.

        Raises
        ------
        BadInputError
            When there is no such pupil.
        MachineError
            When a file is held by another program, or another run keeps the library busy; do it again then.
        """
        if self._depth:
            raise ValueError("a pupil cannot be forgotten inside a transaction")
        self.pupil(pupil_id)
        with self._explained():
            # listed before, since removal may be finished by another run
            handed_out = forgetting.out_of_reach(self._connection, pupil_id)
            forgetting.mark(self._connection, pupil_id)
        done = self._finish_forgetting(progress)
        return next((f for f in done if f.pupil_id == pupil_id), Forgotten(pupil_id, 0, 0, handed_out))

    def _finish_forgetting(self, progress: Progress = silent) -> tuple[Forgotten, ...]:
        with self._explained():
            return forgetting.finish(self._connection, self.folder, progress)
