"""A pupil's lessons over the years, all read at once: swings with their rows, without clips and traces."""

from collections.abc import Collection
from dataclasses import dataclass

from review.lesson import Lesson, Measure, Shot, Swing, SwingKind
from review.library import finding_rows, rows
from review.library.lessons import Lessons


@dataclass(frozen=True)
class Taught:
    """A lesson and its swings in order, each with its row of the device's table, without clips and trace."""

    lesson: Lesson
    swings: tuple[Swing, ...]


class OverYears(Lessons):
    """What is read of many lessons in a few statements."""

    def taught(self, pupil_id: str) -> tuple[Taught, ...]:
        """Every lesson of a pupil, oldest first."""
        shots: dict[str, Shot] = {}
        for row in self._execute(
            "SELECT shot.* FROM lesson JOIN shot ON shot.lesson_id = lesson.id "
            "WHERE pupil_id = ? AND shot.swing_id IS NOT NULL",
            (pupil_id,),
        ):
            shots[row["swing_id"]] = rows.to_shot(row)
        swings: dict[str, list[Swing]] = {}
        for row in self._execute(
            "SELECT swing.* FROM lesson JOIN swing ON swing.lesson_id = lesson.id WHERE pupil_id = ? "
            "ORDER BY swing.lesson_id, position",
            (pupil_id,),
        ):
            swing = Swing(
                id=row["id"],
                order=row["position"],
                kind=SwingKind(row["kind"]),
                shot=shots.get(row["id"]),
                batch_id=row["batch_id"],
                left_out=row["left_out"],
            )
            swings.setdefault(row["lesson_id"], []).append(swing)
        return tuple(Taught(lesson, tuple(swings.get(lesson.id, ()))) for lesson in self.lessons(pupil_id))

    def measure_keys(self, pupil_id: str) -> frozenset[tuple[str, str]]:
        """Name and key frame of every measure found in any of a pupil's swings."""
        found = self._execute(
            "SELECT DISTINCT measure.name, key_frame FROM lesson JOIN swing ON swing.lesson_id = lesson.id "
            "JOIN measure ON measure.swing_id = swing.id WHERE pupil_id = ?",
            (pupil_id,),
        )
        return frozenset((row["name"], row["key_frame"]) for row in found)

    def measures_named(self, pupil_id: str, names: Collection[str]) -> dict[str, tuple[Measure, ...]]:
        """The measures of these names in a pupil's swings, by swing id."""
        found: dict[str, list[Measure]] = {}
        marks = ", ".join("?" * len(names))
        for row in self._execute(
            "SELECT measure.* FROM lesson JOIN swing ON swing.lesson_id = lesson.id "
            f"JOIN measure ON measure.swing_id = swing.id WHERE pupil_id = ? AND measure.name IN ({marks}) "
            "ORDER BY measure.rowid",
            (pupil_id, *names),
        ):
            found.setdefault(row["swing_id"], []).append(finding_rows.to_measure(row))
        return {swing_id: tuple(measures) for swing_id, measures in found.items()}

    def count_swings(self, pupil_id: str | None = None) -> dict[str, int]:
        """How many swings each lesson holds that holds any, of one pupil or of all."""
        if pupil_id is None:
            found = self._execute("SELECT lesson_id, COUNT(*) AS n FROM swing GROUP BY lesson_id")
        else:
            found = self._execute(
                "SELECT swing.lesson_id, COUNT(*) AS n FROM lesson JOIN swing ON swing.lesson_id = lesson.id "
                "WHERE pupil_id = ? GROUP BY swing.lesson_id",
                (pupil_id,),
            )
        return {row["lesson_id"]: row["n"] for row in found}
