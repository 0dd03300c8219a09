"""Lessons followed as they happen: what is watched, what arrived when, what the coach said by key."""

import json
import sqlite3
from collections.abc import Iterable
from datetime import datetime

from review.errors import BadInputError
from review.lesson import Arrival, Clip, LiveLesson, Said, Shot, Watched
from review.library import rows
from review.library.swings import Swings


class LiveLessons(Swings):
    """What a lesson needs so that a run that was stopped goes on where it was."""

    def set_live_lesson(self, live: LiveLesson) -> None:
        """Begin to follow a lesson, or replace what is known of following it."""
        values = {
            "lesson_id": live.lesson_id,
            "began_at": live.began_at.isoformat(),
            "ended_at": None if live.ended_at is None else live.ended_at.isoformat(),
            "watched": json.dumps(
                {
                    "folders": live.watched.folders,
                    "cameras": live.watched.cameras,
                    "table": live.watched.table,
                    "mapping": live.watched.mapping,
                    "body": live.watched.body,
                }
            ),
            "rows_before": json.dumps(sorted(live.rows_before)),
        }
        self._insert("live_lesson", values, "INSERT OR REPLACE")

    def live_lessons(self) -> tuple[LiveLesson, ...]:
        """All lessons that were followed, in the order in which they began."""
        return tuple(_to_live(row) for row in self._execute("SELECT * FROM live_lesson ORDER BY began_at"))

    def note_arrival(self, lesson_id: str, arrival: Arrival) -> None:
        """Note when a clip or a row arrived; the first time counts when it is noted again."""
        values = {
            "lesson_id": lesson_id,
            "item": arrival.item,
            "seen_at": arrival.seen_at.isoformat(),
            "path": arrival.path,
            "size": arrival.size,
            "changed_ns": arrival.changed_ns,
        }
        self._insert("arrival", values, "INSERT OR IGNORE")
        self._execute(
            "UPDATE arrival SET path = :path, size = :size, changed_ns = :changed_ns "
            "WHERE lesson_id = :lesson_id AND item = :item",
            {name: value for name, value in values.items() if name != "seen_at"},
        )

    def arrivals(self, lesson_id: str) -> tuple[Arrival, ...]:
        """What arrived in a lesson, in order."""
        found = self._execute("SELECT * FROM arrival WHERE lesson_id = ? ORDER BY seen_at, rowid", (lesson_id,))
        return tuple(_to_arrival(row) for row in found)

    def find_arrival(self, path: str) -> Arrival | None:
        """What was last taken in from a file, in whichever lesson; None when nothing was."""
        row = self._execute(
            "SELECT * FROM arrival WHERE path = ? ORDER BY seen_at DESC, rowid DESC", (path,)
        ).fetchone()
        return None if row is None else _to_arrival(row)

    def lessons_with_content(self, sha256: str) -> tuple[str, ...]:
        """Ids of the lessons that have a clip of that content."""
        found = self._execute("SELECT DISTINCT lesson_id FROM clip WHERE sha256 = ?", (sha256,))
        return tuple(row["lesson_id"] for row in found)

    def say(self, lesson_id: str, said: Iterable[Said]) -> None:
        """Keep what was said of clips and rows; the newest counts."""
        with self.transaction():
            for one in said:
                values = {
                    "lesson_id": lesson_id,
                    "item": one.item,
                    "what": one.what,
                    "value": one.value,
                    "said_by": one.by,
                }
                self._insert("said", values, "INSERT OR REPLACE")

    def said(self, lesson_id: str) -> tuple[Said, ...]:
        """What was said of a lesson's clips and rows."""
        found = self._execute("SELECT * FROM said WHERE lesson_id = ? ORDER BY rowid", (lesson_id,))
        return tuple(Said(row["item"], row["what"], row["value"], row["said_by"]) for row in found)

    def replace_said(self, lesson_id: str, said: Iterable[Said]) -> None:
        """Put what was said in place of all that was said before."""
        with self.transaction():
            self._execute("DELETE FROM said WHERE lesson_id = ?", (lesson_id,))
            self.say(lesson_id, said)

    def update_shot(self, lesson_id: str, shot: Shot) -> None:
        """Replace what a row of the table says; it stays with its swing."""
        values = rows.from_shot(shot, lesson_id)
        changes = ", ".join(f"{name} = :{name}" for name in values if name not in ("id", "lesson_id"))
        self._execute(f"UPDATE shot SET {changes} WHERE lesson_id = :lesson_id AND id = :id", values)

    def replace_clip(self, clip_id: str, by: Clip) -> tuple[str, ...]:
        """Put a clip that shows more into the place of another, in its lesson; returns as ``remove_clip``.

        Its swing, what was said of it, the coach's marks and drawings go over. What was found on it goes.
        """
        with self.transaction():
            there = self._execute("SELECT lesson_id, swing_id FROM clip WHERE id = ?", (clip_id,)).fetchone()
            if there is None:
                raise BadInputError("That clip is no longer in the library.")
            self.add_clip(there["lesson_id"], by)
            self._execute("UPDATE clip SET swing_id = ? WHERE id = ?", (there["swing_id"], by.id))
            self._execute(
                "UPDATE OR REPLACE said SET item = ? WHERE lesson_id = ? AND item = ?",
                (by.id, there["lesson_id"], clip_id),
            )
            self._execute("UPDATE key_frame SET clip_id = ? WHERE clip_id = ? AND source = 'coach'", (by.id, clip_id))
            self._execute("UPDATE drawing SET clip_id = ? WHERE clip_id = ?", (by.id, clip_id))
            self._execute("DELETE FROM measure WHERE swing_id = ?", (there["swing_id"],))
            return self.remove_clip(clip_id)

    def remove_clip(self, clip_id: str) -> tuple[str, ...]:
        """Remove a clip; return the files that nothing needs any longer: its copy and what was made from it.

        They stay until this is kept for good: ``drop_unused_file`` removes them after the transaction, or the next
        opening after a run that was stopped.
        """
        with self.transaction():
            row = self._execute("SELECT file, content, lesson_id FROM clip WHERE id = ?", (clip_id,)).fetchone()
            if row is None:
                return ()
            self._execute("DELETE FROM clip WHERE id = ?", (clip_id,))
            for table in ("arrival", "said"):
                self._execute(f"DELETE FROM {table} WHERE lesson_id = ? AND item = ?", (row["lesson_id"], clip_id))
            left = []
            # of one file several clips may be parts, in this lesson or another
            if not self._has_clip("content", row["content"]):
                made = self._execute("SELECT file FROM derived WHERE clip_content = ?", (row["content"],))
                left += [one["file"] for one in made.fetchall()]
                self._execute("DELETE FROM derived WHERE clip_content = ?", (row["content"],))
            if not self._has_clip("file", row["file"]):
                left.append(row["file"])
            for file in left:
                self._note_stored(file)
            return tuple(left)

    def _has_clip(self, column: str, value: str) -> bool:
        return self._execute(f"SELECT 1 FROM clip WHERE {column} = ?", (value,)).fetchone() is not None


def _to_live(row: sqlite3.Row) -> LiveLesson:
    watched = json.loads(row["watched"])
    return LiveLesson(
        lesson_id=row["lesson_id"],
        began_at=datetime.fromisoformat(row["began_at"]),
        ended_at=None if row["ended_at"] is None else datetime.fromisoformat(row["ended_at"]),
        watched=Watched(
            folders=tuple((path, camera) for path, camera in watched["folders"]),
            cameras=tuple((name, pattern) for name, pattern in watched["cameras"]),
            table=watched["table"],
            mapping=watched["mapping"],
            body=watched.get("body", "thorough"),
        ),
        rows_before=frozenset(json.loads(row["rows_before"])),
    )


def _to_arrival(row: sqlite3.Row) -> Arrival:
    return Arrival(row["item"], datetime.fromisoformat(row["seen_at"]), row["path"], row["size"], row["changed_ns"])
