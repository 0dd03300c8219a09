"""What was found and drawn: key frames and drawings of a clip, measures of a swing."""

from collections.abc import Sequence

from review.lesson import Drawing, KeyFrame, Measure
from review.library import finding_rows
from review.library.database import Database


class Findings(Database):
    """What was found on the swings of a lesson, and what the coach drew."""

    def set_key_frames(self, clip_id: str, key_frames: Sequence[KeyFrame]) -> None:
        """Replace the found key frames of a clip; the coach's own marks stay and win."""
        with self.transaction():
            self._execute("DELETE FROM key_frame WHERE clip_id = ? AND source <> 'coach'", (clip_id,))
            for key_frame in key_frames:
                verb = "INSERT OR REPLACE" if key_frame.source == "coach" else "INSERT OR IGNORE"
                self._insert("key_frame", finding_rows.from_key_frame(key_frame, clip_id), verb)

    def remove_mark(self, clip_id: str, name: str) -> None:
        """Take a mark of the coach's off a clip; what was found stays."""
        self._execute("DELETE FROM key_frame WHERE clip_id = ? AND name = ? AND source = 'coach'", (clip_id, name))

    def key_frames(self, clip_id: str) -> tuple[KeyFrame, ...]:
        """Key frames of a clip in order of time."""
        found = self._execute("SELECT * FROM key_frame WHERE clip_id = ? ORDER BY time_s", (clip_id,))
        return tuple(finding_rows.to_key_frame(row) for row in found)

    def set_measures(self, swing_id: str, measures: Sequence[Measure], method: str) -> None:
        """Replace the measures of a swing that were made by the same family of methods.

        ``method`` says how they were made; its first word is the family ("body 1 quick": body). A measure at a key
        frame is there once: a newer one of another family takes its place.
        """
        family = method.split(maxsplit=1)[0]
        with self.transaction():
            self._execute(
                "DELETE FROM measure WHERE swing_id = ? AND (method = ? OR substr(method, 1, ?) = ?)",
                (swing_id, family, len(family) + 1, f"{family} "),
            )
            for measure in measures:
                self._insert("measure", finding_rows.from_measure(measure, swing_id, method), "INSERT OR REPLACE")

    def measures(self, lesson_id: str) -> dict[str, tuple[Measure, ...]]:
        """Measures of a lesson's swings by swing id."""
        found: dict[str, list[Measure]] = {}
        for row in self._execute(
            "SELECT measure.* FROM measure JOIN swing ON swing.id = measure.swing_id WHERE lesson_id = ? "
            "ORDER BY measure.rowid",
            (lesson_id,),
        ):
            found.setdefault(row["swing_id"], []).append(finding_rows.to_measure(row))
        return {swing_id: tuple(measures) for swing_id, measures in found.items()}

    def measure_methods(self, lesson_id: str) -> dict[str, frozenset[str]]:
        """How the measures of a lesson's swings were made, by swing id."""
        found: dict[str, set[str]] = {}
        for row in self._execute(
            "SELECT DISTINCT swing_id, method FROM measure JOIN swing ON swing.id = measure.swing_id "
            "WHERE lesson_id = ?",
            (lesson_id,),
        ):
            found.setdefault(row["swing_id"], set()).add(row["method"])
        return {swing_id: frozenset(methods) for swing_id, methods in found.items()}

    def method_of_measures(self, lesson_id: str) -> dict[tuple[str, str, str], str]:
        """How each measure of a lesson's swings was made, by swing id, name and key frame."""
        found = self._execute(
            "SELECT measure.* FROM measure JOIN swing ON swing.id = measure.swing_id WHERE lesson_id = ?", (lesson_id,)
        )
        return {(row["swing_id"], row["name"], row["key_frame"]): row["method"] for row in found}

    # drawings

    def add_drawing(self, clip_id: str, drawing: Drawing) -> None:
        """Add a drawing to a clip, or replace the one with its id."""
        self._insert("drawing", finding_rows.from_drawing(drawing, clip_id), "INSERT OR REPLACE")

    def remove_drawing(self, clip_id: str, drawing_id: str) -> None:
        """Take a drawing off a clip; nothing happens when it is not there."""
        self._execute("DELETE FROM drawing WHERE clip_id = ? AND id = ?", (clip_id, drawing_id))

    def drawings(self, clip_id: str) -> tuple[Drawing, ...]:
        """Drawings of a clip in order of their start."""
        found = self._execute("SELECT * FROM drawing WHERE clip_id = ? ORDER BY start_s, rowid", (clip_id,))
        return tuple(finding_rows.to_drawing(row) for row in found)
