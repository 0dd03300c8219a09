"""Takes swings from one lesson into another, with everything that hangs on them."""

from collections.abc import Collection, Sequence

from review.errors import BadInputError
from review.lesson import Swing
from review.library.database import Database


class Moving(Database):
    """Between lessons, and so between pupils."""

    def move_swings(
        self,
        lesson_id: str,
        swings: Sequence[Swing],
        to_lesson_id: str,
        batch_of: dict[str, str],
        loose_rows: Collection[str] = (),
    ) -> None:
        """Move swings with clips, rows, traces, marks, drawings and what was said of them; found numbers go.

        What was found on the body counts for the pupil it was found for, so it is found anew; the coach's own marks
        stay. Swings are numbered anew in both lessons, those that come after those that are there.

        Parameters
        ----------
        batch_of : the batch of the other lesson into which each swing goes, by swing id.
        loose_rows : ids of rows on no swing that go along.

        Raises
        ------
        BadInputError
            When the other lesson has one of the rows already; nothing is then changed.
        """
        with self.transaction():
            for swing in swings:
                items = {
                    "clip": [clip.id for clip in swing.clips],
                    "shot": [] if swing.shot is None else [swing.shot.id],
                    "trace": [] if swing.trace is None else [swing.trace.id],
                }
                for table, ids in items.items():
                    for id in ids:
                        self._move_item(table, id, lesson_id, to_lesson_id)
                for clip_id in items["clip"]:
                    self._execute("DELETE FROM key_frame WHERE clip_id = ? AND source <> 'coach'", (clip_id,))
                self._execute("DELETE FROM measure WHERE swing_id = ?", (swing.id,))
                self._execute(
                    "UPDATE swing SET lesson_id = ?, batch_id = ?, position = ? WHERE id = ?",
                    (to_lesson_id, batch_of[swing.id], 1_000_000 + swing.order, swing.id),
                )
            for id in loose_rows:
                self._move_item("shot", id, lesson_id, to_lesson_id)
            for renumbered in (lesson_id, to_lesson_id):
                found = self._execute("SELECT id FROM swing WHERE lesson_id = ? ORDER BY position", (renumbered,))
                for position, row in enumerate(found.fetchall(), start=1):
                    self._execute("UPDATE swing SET position = ? WHERE id = ?", (position, row["id"]))

    def _move_item(self, table: str, id: str, lesson_id: str, to_lesson_id: str) -> None:
        if self._execute(f"SELECT 1 FROM {table} WHERE lesson_id = ? AND id = ?", (to_lesson_id, id)).fetchone():
            raise BadInputError("The other lesson has that row of the table already; nothing was moved.")
        self._execute(f"UPDATE {table} SET lesson_id = ? WHERE lesson_id = ? AND id = ?", (to_lesson_id, lesson_id, id))
        self._execute("DELETE FROM said WHERE lesson_id = ? AND item = ? AND what = 'batch'", (lesson_id, id))
        for other in ("said", "arrival"):
            self._execute(
                f"UPDATE {other} SET lesson_id = ? WHERE lesson_id = ? AND item = ?", (to_lesson_id, lesson_id, id)
            )
