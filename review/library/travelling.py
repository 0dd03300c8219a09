"""The rows of a whole lesson, out of a library and into another: by the schema's own references, not by a list.

A table travels when ``TRAVELS`` names it and its references lead to the lesson; ``STAYS`` says why another does not.
"""

import os
import time
from collections.abc import Callable, Collection, Mapping, Sequence
from pathlib import Path
from typing import Any

from review.library import files
from review.library.database import Database

Rows = dict[str, list[dict[str, Any]]]

TRAVELS = frozenset(
    {
        *("pupil", "lesson", "batch", "swing", "clip", "shot", "trace", "key_frame", "measure", "drawing"),
        *("camera_setup", "player_setup", "pressure_mat", "said", "voice", "talk_over"),
    }
)
STAYS = {
    "live_lesson": "names folders of this computer",
    "arrival": "names files of this computer",
    "handout": "what was handed over here is known here",
    "seen_and_heard": "knowledge of a camera, of no lesson",
    "derived": "which file was made here from which clip",
    "stored": "what a run is just bringing in here",
    "chore": "work left over here",
    "written": "made from what travels",
    **dict.fromkeys(
        [f"written_words{part}" for part in ("", "_data", "_idx", "_docsize", "_config")], "index of what is written"
    ),
    "backup": "where this library was backed up",
    "backed_up": "whom a backup of this library holds",
    "rule": "how this library is kept",
    "kept_swing": "what is kept here is chosen here",
    "measured_again": "waits here to be accepted",
}
BLANK: dict[tuple[str, str], Any] = {
    ("pupil", "private_note"): "",
    ("pupil", "is_being_forgotten"): 0,
    ("key_frame", "note"): "",
    ("voice", "process"): 0,
    ("voice", "held_s"): 0.0,
}
"""Columns whose content stays, and what stands there instead."""


class Travelling(Database):
    """Whole lessons between libraries."""

    @property
    def schema_version(self) -> int:
        """The version of the tables."""
        return int(self._execute("PRAGMA user_version").fetchone()[0])

    def tables(self) -> tuple[str, ...]:
        """All tables, each after those it refers to."""
        found = self._execute("SELECT name FROM sqlite_master WHERE type = 'table' ORDER BY rowid").fetchall()
        names = [row["name"] for row in found if not row["name"].startswith("sqlite_")]
        ordered: list[str] = []
        while left := [name for name in names if name not in ordered]:
            free = [n for n in left if {parent for parent, *_ in self._references(n)} <= {*ordered, n}]
            ordered += free or left
        return tuple(ordered)

    def rows_of_lesson(self, lesson_id: str) -> Rows:
        """All rows of a lesson that may travel, with its pupil's, in the order in which they were written."""
        with self.transaction():  # one moment
            found: Rows = {}
            for table in self.tables():
                where = self._where(table)
                if table in TRAVELS and where:
                    rows = self._execute(f"SELECT * FROM {table} WHERE {where} ORDER BY rowid", {"lesson": lesson_id})
                    found[table] = [
                        {name: BLANK.get((table, name), row[name]) for name in row.keys()}  # noqa: SIM118
                        for row in rows.fetchall()
                    ]
            return found

    def is_of_others(self, file: str, pupil_id: str) -> bool:
        """Whether clips of another pupil lie in a file."""
        query = "SELECT 1 FROM clip JOIN lesson ON lesson.id = clip.lesson_id WHERE file = ? AND pupil_id <> ?"
        return self._execute(query, (file, pupil_id)).fetchone() is not None

    def find_taken(self, rows: Rows) -> str | None:
        """Name a table one of whose rows has an id that a row here has already; None when all are free."""
        for table in ("lesson", "batch", "swing", "clip", "voice", "talk_over"):
            for row in rows.get(table, ()):
                if self._execute(f"SELECT 1 FROM {table} WHERE id = ?", (row["id"],)).fetchone() is not None:
                    return table
        return None

    def store_file(self, folder: str, write: Callable[[Path], str]) -> str:
        """Store what ``write`` writes into ``clips`` or ``voice``; return its path inside; kept once rows name it.

        Raises
        ------
        MachineError
            When the disk is full or may not be written.
        """
        if self._depth:
            raise ValueError("store files before the transaction of their rows")

        def note(name: str) -> None:
            values = {"file": f"{folder}/{name}", "process": os.getpid(), "stored_s": time.time()}
            self._insert("stored", values, "INSERT OR REPLACE")

        (self.folder / folder).mkdir(exist_ok=True)
        _, name = files.write_in(write, self.folder / folder, note)
        return f"{folder}/{name}"

    def add_rows(self, rows: Mapping[str, Sequence[Mapping[str, Any]]], stored: Collection[str] = ()) -> None:
        """Write rows as they are, all or none; ``stored`` are the files that they name from now on."""
        with self.transaction():
            for table in self.tables():
                for row in rows.get(table, ()):
                    self._insert(table, dict(row))
            for file in stored:
                self._execute("DELETE FROM stored WHERE file = ? AND process = ?", (file, os.getpid()))

    def _references(self, table: str) -> list[tuple[str, str, str, str]]:
        """What a table refers to: the other table, own column, its column, what happens when that row goes."""
        found = self._execute(f"PRAGMA foreign_key_list({table})").fetchall()
        return [(row["table"], row["from"], row["to"], row["on_delete"]) for row in found]

    def _where(self, table: str) -> str:
        """Which rows of a table hang on the lesson ``:lesson``; '' when none can."""
        if table == "pupil":
            return "id = (SELECT pupil_id FROM lesson WHERE id = :lesson)"
        if table == "lesson":
            return "id = :lesson"
        for parent, own, its, on_delete in self._references(table):
            if on_delete == "CASCADE" and parent != "pupil" and (where := self._where(parent)):
                return f"{own} IN (SELECT {its} FROM {parent} WHERE {where})"
        return ""
