"""What was spoken: files in ``voice/``, each with a row in its lesson; kept as long as something names it."""

import os
import sqlite3
import time
from collections.abc import Callable
from datetime import datetime
from pathlib import Path

from review.errors import BadInputError
from review.lesson import Purpose, Voice, VoiceOf
from review.library import files, forgetting, rows
from review.library.database import Database

FOLDER = "voice"

# named by what is said of a batch, or by a talk-over
_UNNAMED = """
SELECT * FROM voice WHERE NOT EXISTS (
    SELECT 1 FROM said WHERE said.lesson_id = voice.lesson_id AND said.value = voice.id
) AND NOT EXISTS (SELECT 1 FROM talk_over WHERE talk_over.voice_id = voice.id)
"""


class Voices(Database):
    """Voices of cues, feels and talk-overs.

    One that nothing names any longer stays until the run that took it off has ended, so that this can be undone.
    """

    def store_voice(self, write: Callable[[Path], str]) -> str:
        """Store what ``write`` writes into the file it is given (it returns the ending); return its path inside.

        It stays once ``add_voice`` names it. Not to be called inside a transaction: others would wait for it.

        Raises
        ------
        MachineError
            When the disk is full or may not be written; no part of it is left.
        """
        if self._depth:
            raise ValueError("store files before the transaction of their rows")
        _, name = files.write_in(write, self.folder / FOLDER, self._note_voice)
        return f"{FOLDER}/{name}"

    def _note_voice(self, name: str) -> None:
        values = {"file": f"{FOLDER}/{name}", "process": os.getpid(), "stored_s": time.time()}
        self._insert("stored", values, "INSERT OR REPLACE")

    def add_voice(self, lesson_id: str, voice: Voice) -> None:
        """Add a voice to a lesson; its file was stored before."""
        values = {
            "id": voice.id,
            "lesson_id": lesson_id,
            "file": voice.file,
            "duration_s": voice.duration_s,
            "recorded_at": voice.recorded_at.isoformat(),
            "is_pupils": voice.is_pupils,
            "process": os.getpid(),
            "held_s": time.time(),
        }
        with self.transaction():
            self._insert("voice", values)
            self._execute("DELETE FROM stored WHERE file = ? AND process = ?", (voice.file, os.getpid()))

    def hold_voice(self, voice_id: str) -> None:
        """Let a voice that is being taken off stay as long as this run goes on."""
        self._execute("UPDATE voice SET process = ?, held_s = ? WHERE id = ?", (os.getpid(), time.time(), voice_id))

    def voice(self, voice_id: str) -> Voice:
        """Return one voice; BadInputError when it is gone."""
        row = self._execute("SELECT * FROM voice WHERE id = ?", (voice_id,)).fetchone()
        if row is None:
            raise BadInputError("That voice is no longer in the library.")
        return _to_voice(row)

    def voices(self, lesson_id: str) -> dict[tuple[str, VoiceOf], Voice]:
        """The voices of a lesson's batches, by batch id and what was spoken."""
        found = self._execute(
            "SELECT said.item, said.what, voice.* FROM said JOIN voice ON voice.id = said.value "
            "AND voice.lesson_id = said.lesson_id WHERE said.lesson_id = ?",
            (lesson_id,),
        )
        said_as = {of.said_as: of for of in VoiceOf}
        return {(row["item"], said_as[row["what"]]): _to_voice(row) for row in found if row["what"] in said_as}

    def path_of_voice(self, voice: Voice) -> Path:
        """Where its file lies."""
        return self.folder / voice.file

    def move_voice(self, voice_id: str, to_lesson_id: str) -> None:
        """Let a voice be of another lesson; what named it has to be said there."""
        self._execute("UPDATE voice SET lesson_id = ? WHERE id = ?", (to_lesson_id, voice_id))

    def drop_voices(self) -> None:
        """Remove the voices that may not stay: a pupil's without consent, and those that nothing names any longer.

        Opening the library does so too, which does for what happens inside a transaction.

        Raises
        ------
        MachineError
            When another program holds a file; the next opening tries again.
        """
        if self._depth:
            return
        with self._explained():
            drop_voices(self._connection, self.folder)


def drop_voices(connection: sqlite3.Connection, folder: Path) -> None:
    """Do as ``Voices.drop_voices``; a stopped run's next opening finishes it."""
    if not _find_gone(connection):  # looked at first: another run may be writing for long
        return
    connection.execute("BEGIN IMMEDIATE")
    try:
        for row in _find_gone(connection):
            _erase(connection, folder, row)
        connection.execute("COMMIT")
    except BaseException:
        connection.execute("ROLLBACK")
        raise


def _find_gone(connection: sqlite3.Connection) -> list[sqlite3.Row]:
    if connection.execute("SELECT 1 FROM voice").fetchone() is None:
        return []
    unnamed = [row for row in connection.execute(_UNNAMED) if not files.is_alive(row["process"], row["held_s"])]
    return unnamed + _not_allowed(connection)


def _not_allowed(connection: sqlite3.Connection) -> list[sqlite3.Row]:
    """Voices of pupils whose consent does not cover them, or is withdrawn; one that only ended leaves them."""
    gone = []
    for pupil_row in connection.execute("SELECT * FROM pupil").fetchall():
        pupil = rows.to_pupil(pupil_row)
        consent = pupil.consent
        is_agreed = consent is not None and Purpose.VOICE in consent.purposes and consent.withdrawn_on is None
        if consent is None or not is_agreed or (pupil.is_minor and consent.given_by != pupil.guardian):
            query = "SELECT voice.* FROM voice JOIN lesson ON lesson.id = voice.lesson_id WHERE pupil_id = ?"
            gone += [row for row in connection.execute(query, (pupil.id,)) if row["is_pupils"]]
    return gone


def _erase(connection: sqlite3.Connection, folder: Path, row: sqlite3.Row) -> None:
    """Remove a voice, its file first: as long as its row stands, a stopped run still finds it."""
    shared = connection.execute("SELECT 1 FROM voice WHERE file = ? AND id <> ?", (row["file"], row["id"]))
    if shared.fetchone() is None:
        forgetting.erase(folder, row["file"])
    connection.execute("DELETE FROM said WHERE lesson_id = ? AND value = ?", (row["lesson_id"], row["id"]))
    connection.execute("DELETE FROM voice WHERE id = ?", (row["id"],))


def _to_voice(row: sqlite3.Row) -> Voice:
    return Voice(
        row["id"],
        row["file"],
        row["duration_s"],
        datetime.fromisoformat(row["recorded_at"]),
        bool(row["is_pupils"]),
    )
