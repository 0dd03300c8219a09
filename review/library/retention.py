"""How long clips are kept: the coach's rule, swings kept for good, clips let go while their numbers stay."""

import os
import time
from collections.abc import Collection
from dataclasses import dataclass
from datetime import date

from review.library import forgetting
from review.library.database import Database

_WEEKS = "weeks clips are kept"

# what the coach drew on, marked or talked over is chosen by that; a take-home of a time before swings were noted for
# it keeps all of its lesson; a clip on no swing yet waits for one
_CHOSEN = """
clip.swing_id IS NULL
OR clip.swing_id IN (SELECT swing_id FROM kept_swing)
OR clip.id IN (SELECT clip_id FROM drawing)
OR clip.id IN (SELECT clip_id FROM key_frame WHERE source = 'coach')
OR clip.lesson_id IN (SELECT lesson_id FROM talk_over)
OR clip.lesson_id IN (SELECT lesson_id FROM live_lesson WHERE ended_at IS NULL)
OR (
    clip.lesson_id IN (SELECT lesson_id FROM handout WHERE what LIKE 'take-home%')
    AND clip.lesson_id NOT IN (
        SELECT s.lesson_id FROM kept_swing JOIN swing AS s ON s.id = kept_swing.swing_id WHERE why = 'take-home'
    )
)
"""


@dataclass(frozen=True)
class OldClip:
    """A stored file of which all clips may be let go: the day of its latest lesson, and how many swings show on it."""

    file: str
    held_on: date
    n_swings: int


class Retention(Database):
    """What is kept for good, and what goes after a while."""

    @property
    def weeks_kept(self) -> int | None:
        """After how many weeks clips of swings that are not kept for good may go; None = never."""
        row = self._execute("SELECT value FROM rule WHERE name = ?", (_WEEKS,)).fetchone()
        return None if row is None else int(row["value"])

    def set_weeks_kept(self, weeks: int | None) -> None:
        """Set the rule; nothing goes by that alone."""
        if weeks is None:
            self._execute("DELETE FROM rule WHERE name = ?", (_WEEKS,))
        else:
            self._insert("rule", {"name": _WEEKS, "value": str(weeks)}, "INSERT OR REPLACE")

    def keep_swings(self, swing_ids: Collection[str], why: str = "coach") -> None:
        """Keep the clips of swings for good; ``why`` is 'coach' (chosen) or 'take-home' (shown in one)."""
        with self.transaction():
            for id in swing_ids:
                self._insert("kept_swing", {"swing_id": id, "why": why}, "INSERT OR IGNORE")

    def unkeep_swings(self, swing_ids: Collection[str]) -> None:
        """Take back the coach's choice; a swing in a take-home stays kept."""
        with self.transaction():
            for id in swing_ids:
                self._execute("DELETE FROM kept_swing WHERE swing_id = ? AND why = 'coach'", (id,))

    def kept_swings(self, lesson_id: str) -> frozenset[str]:
        """Ids of the lesson's swings that the coach chose to keep for good."""
        query = "SELECT swing_id FROM kept_swing JOIN swing ON id = swing_id WHERE lesson_id = ? AND why = 'coach'"
        return frozenset(row["swing_id"] for row in self._execute(query, (lesson_id,)))

    def old_clips(self, before: date) -> tuple[OldClip, ...]:
        """Stored clips of lessons held before a day, the oldest first, none of which is kept for good."""
        found = self._execute(
            "SELECT file, MAX(held_on) AS latest, COUNT(DISTINCT swing_id) AS n FROM clip "
            "JOIN lesson ON lesson.id = clip.lesson_id "
            f"WHERE let_go_on IS NULL AND file NOT IN (SELECT file FROM clip WHERE {_CHOSEN}) "
            "GROUP BY file HAVING latest < ? ORDER BY latest, file",
            (before.isoformat(),),
        )
        return tuple(OldClip(row["file"], date.fromisoformat(row["latest"]), row["n"]) for row in found)

    def old_clips_kept(self, before: date) -> dict[str, int]:
        """How many stored clips of lessons held before a day stay for good, by why."""
        found = self._execute(
            "SELECT why, COUNT(*) AS n FROM (SELECT file, MAX(held_on) AS latest, MIN(CASE "
            "WHEN clip.swing_id IS NULL THEN 'on no swing yet' "
            "WHEN clip.swing_id IN (SELECT swing_id FROM kept_swing WHERE why = 'coach') THEN 'chosen' "
            "WHEN clip.swing_id IN (SELECT swing_id FROM kept_swing) THEN 'in a take-home' "
            "WHEN clip.lesson_id IN (SELECT lesson_id FROM talk_over) THEN 'talked over' "
            "WHEN clip.id IN (SELECT clip_id FROM drawing) THEN 'drawn on' "
            "WHEN clip.id IN (SELECT clip_id FROM key_frame WHERE source = 'coach') THEN 'marked' "
            "WHEN clip.lesson_id IN (SELECT lesson_id FROM live_lesson WHERE ended_at IS NULL) THEN 'of a lesson that "
            "goes on' "
            f"WHEN {_CHOSEN} THEN 'in a take-home' END) AS why "
            "FROM clip JOIN lesson ON lesson.id = clip.lesson_id WHERE let_go_on IS NULL "
            "GROUP BY file HAVING latest < ?) WHERE why IS NOT NULL GROUP BY why ORDER BY n DESC",
            (before.isoformat(),),
        )
        return {row["why"]: row["n"] for row in found}

    def let_go(self, clip: OldClip, before: date, today: date) -> bool:
        """Remove a stored clip that may still go, and the review copies made from it; rows and numbers stay.

        Returns whether it went: meanwhile it may have been chosen. A run stopped in between has noted the clip as let
        go; opening the library finishes it.

        Raises
        ------
        MachineError
            When another program holds the file.
        """
        with self.transaction():
            query = (
                "SELECT 1 FROM clip JOIN lesson ON lesson.id = clip.lesson_id "
                f"WHERE file = ? AND (held_on >= ? OR {_CHOSEN})"
            )
            if self._execute(query, (clip.file, before.isoformat())).fetchone() is not None:
                return False
            self._execute("UPDATE clip SET let_go_on = ? WHERE file = ?", (today.isoformat(), clip.file))
            values = {"file": clip.file, "process": os.getpid(), "stored_s": time.time()}
            self._insert("stored", values, "INSERT OR REPLACE")
        with self._explained():
            forgetting.erase_let_go(self._connection, self.folder, clip.file)
        self._execute("DELETE FROM stored WHERE file = ?", (clip.file,))
        return True

    def clips_let_go(self, lesson_id: str) -> dict[str, date]:
        """Clips of a lesson whose pictures were let go, by id, and when."""
        query = "SELECT id, let_go_on FROM clip WHERE lesson_id = ? AND let_go_on IS NOT NULL"
        return {row["id"]: date.fromisoformat(row["let_go_on"]) for row in self._execute(query, (lesson_id,))}

    def when_let_go(self, clip_id: str) -> date | None:
        """When a clip's pictures were let go; None while they are here."""
        row = self._execute("SELECT let_go_on FROM clip WHERE id = ?", (clip_id,)).fetchone()
        return None if row is None or row["let_go_on"] is None else date.fromisoformat(row["let_go_on"])
