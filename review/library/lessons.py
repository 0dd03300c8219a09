"""Pupils, lessons and batches in the library."""

import unicodedata
from collections.abc import Sequence

from review.errors import BadInputError
from review.lesson import Batch, Lesson, Pupil
from review.library import rows
from review.library.database import Database


class Lessons(Database):
    """Who was taught, when, and in which batches."""

    # pupils

    def add_pupil(self, pupil: Pupil) -> None:
        """Add a pupil."""
        self._insert("pupil", rows.from_pupil(pupil))

    def update_pupil(self, pupil: Pupil) -> None:
        """Replace what is known of a pupil."""
        self._update("pupil", rows.from_pupil(pupil))

    def pupil(self, pupil_id: str) -> Pupil:
        """Return one pupil; BadInputError when there is none with this id."""
        row = self._execute("SELECT * FROM pupil WHERE id = ?", (pupil_id,)).fetchone()
        if row is None:
            raise BadInputError("That pupil is no longer in the library.")
        return rows.to_pupil(row)

    def pupils(self) -> tuple[Pupil, ...]:
        """All pupils by name."""
        return tuple(rows.to_pupil(r) for r in self._execute("SELECT * FROM pupil ORDER BY name COLLATE NOCASE"))

    def find_pupils(self, name_part: str) -> tuple[Pupil, ...]:
        """Pupils whose name contains the text, whatever its case and accents."""
        wanted = _fold(name_part)
        return tuple(pupil for pupil in self.pupils() if wanted in _fold(pupil.name))

    # lessons

    def add_lesson(self, lesson: Lesson) -> None:
        """Add a lesson with its batches."""
        with self.transaction():
            self._insert("lesson", rows.from_lesson(lesson))
            self._set_batches(lesson.id, lesson.batches)

    def put_before_others(self, lesson_id: str) -> None:
        """Let a lesson be the first of its day, so that it is not taken for the one that was taught last."""
        self._execute(
            "UPDATE lesson SET rowid = (SELECT min(rowid) FROM lesson) - 1 WHERE id = ?",
            (lesson_id,),
        )

    def update_lesson(self, lesson: Lesson) -> None:
        """Replace a lesson's own data and its batches; swings stay."""
        with self.transaction():
            self._update("lesson", rows.from_lesson(lesson))
            self._set_batches(lesson.id, lesson.batches)

    def lesson(self, lesson_id: str) -> Lesson:
        """Return one lesson; BadInputError when there is none with this id."""
        row = self._execute("SELECT * FROM lesson WHERE id = ?", (lesson_id,)).fetchone()
        if row is None:
            raise BadInputError("That lesson is no longer in the library.")
        return rows.to_lesson(row, self._batches(lesson_id))

    def lessons(self, pupil_id: str | None = None) -> tuple[Lesson, ...]:
        """Lessons of one pupil or of all, oldest first."""
        if pupil_id is None:
            found = self._execute("SELECT * FROM lesson ORDER BY held_on, rowid").fetchall()
        else:
            found = self._execute(
                "SELECT * FROM lesson WHERE pupil_id = ? ORDER BY held_on, rowid", (pupil_id,)
            ).fetchall()
        batches: dict[str, list[Batch]] = {}
        of_pupil = "" if pupil_id is None else "WHERE lesson_id IN (SELECT id FROM lesson WHERE pupil_id = ?) "
        for row in self._execute(
            f"SELECT * FROM batch {of_pupil}ORDER BY lesson_id, number", () if pupil_id is None else (pupil_id,)
        ):
            batches.setdefault(row["lesson_id"], []).append(rows.to_batch(row))
        return tuple(rows.to_lesson(row, tuple(batches.get(row["id"], ()))) for row in found)

    def latest_lesson(self) -> Lesson | None:
        """The lesson held last, of whichever pupil; None when there is none."""
        known = self.lessons()
        return known[-1] if known else None

    def set_batches(self, lesson_id: str, batches: Sequence[Batch]) -> None:
        """Replace the batches of a lesson; swings of a batch that goes are then in none."""
        with self.transaction():
            self._set_batches(lesson_id, batches)

    def set_camera_setup(self, lesson_id: str, camera: str, setup: str) -> None:
        """Keep what the coach marked for a camera of a lesson: the text of its file.

        ``camera`` is the camera's name or its view.
        """
        self._insert("camera_setup", {"lesson_id": lesson_id, "camera": camera, "setup": setup}, "INSERT OR REPLACE")

    def camera_setups(self, lesson_id: str) -> dict[str, str]:
        """The set-ups kept for a lesson, by camera or view."""
        found = self._execute("SELECT camera, setup FROM camera_setup WHERE lesson_id = ?", (lesson_id,))
        return {row["camera"]: row["setup"] for row in found}

    def remove_camera_setup(self, lesson_id: str, camera: str) -> None:
        """Forget the set-up kept for a camera or view; nothing happens when there is none."""
        self._execute("DELETE FROM camera_setup WHERE lesson_id = ? AND camera = ?", (lesson_id, camera))

    def set_pressure_mat(self, lesson_id: str, mat: str) -> None:
        """Keep how the pressure mat lay in a lesson, as text, in the place of an older one."""
        self._insert("pressure_mat", {"lesson_id": lesson_id, "mat": mat}, "INSERT OR REPLACE")

    def pressure_mat(self, lesson_id: str) -> str | None:
        """How the pressure mat lay in a lesson, None where it is not known."""
        row = self._execute("SELECT mat FROM pressure_mat WHERE lesson_id = ?", (lesson_id,)).fetchone()
        return None if row is None else str(row["mat"])

    def set_player_setup(self, lesson_id: str, camera: str, model: str, file: str, setup: str) -> None:
        """Keep a player set-up for a camera of a lesson: its text and the name of the coach's file.

        ``camera`` is the camera's name or its view, ``model`` the pose model that it corrects.
        """
        values = {"lesson_id": lesson_id, "camera": camera, "model": model, "file": file, "setup": setup}
        self._insert("player_setup", values, "INSERT OR REPLACE")

    def remove_player_setups(self, lesson_id: str, camera: str) -> None:
        """Forget the player set-ups kept for a camera or view; nothing happens when there is none."""
        self._execute("DELETE FROM player_setup WHERE lesson_id = ? AND camera = ?", (lesson_id, camera))

    def player_setups(self, lesson_id: str) -> tuple[tuple[str, str, str], ...]:
        """The player set-ups kept for a lesson: camera or view, name of the coach's file, text."""
        found = self._execute("SELECT camera, file, setup FROM player_setup WHERE lesson_id = ?", (lesson_id,))
        return tuple((row["camera"], row["file"], row["setup"]) for row in found)

    def find_lesson(self, text: str) -> Lesson:
        """Find a lesson by 'last', its pupil's name, its day (2026-03-14) or the first letters of its id.

        'last' is the lesson added last of the latest day; one that was made for moved swings comes before those of its
        day. Of a pupil, named whole or in part, the latest lesson is meant.

        Raises
        ------
        BadInputError
            When none or several fit.
        """
        known = self.lessons()
        if not known:
            raise BadInputError("There is no lesson in this library yet; add one first.")
        if text == "last":
            return known[-1]
        pupils = self.find_pupils(text)
        whole = [pupil for pupil in pupils if pupil.name.casefold() == text.casefold()]
        fitting = [] if whole else [le for le in known if le.held_on.isoformat() == text or le.id.startswith(text)]
        if not fitting:
            fitting = [own[-1] for pupil in whole or pupils if (own := self.lessons(pupil.id))]
        if len(fitting) == 1:
            return fitting[0]
        listed = "; ".join(
            f"{le.held_on} {self.pupil(le.pupil_id).name} ({le.id[:8]})" for le in fitting or known[-10:]
        )
        if not fitting:
            raise BadInputError(f"No lesson fits {text!r}. The latest: {listed}.")
        raise BadInputError(f"Several lessons fit {text!r}: {listed}. Give the letters in brackets.")

    def _batches(self, lesson_id: str) -> tuple[Batch, ...]:
        found = self._execute("SELECT * FROM batch WHERE lesson_id = ? ORDER BY number", (lesson_id,))
        return tuple(rows.to_batch(row) for row in found)

    def _set_batches(self, lesson_id: str, batches: Sequence[Batch]) -> None:
        kept = {batch.id for batch in batches}
        for batch in self._batches(lesson_id):
            if batch.id not in kept:
                self._execute("DELETE FROM batch WHERE id = ?", (batch.id,))
        known = {batch.id for batch in self._batches(lesson_id)}
        # out of the way first, so that two batches may change places
        self._execute("UPDATE batch SET number = -number WHERE lesson_id = ?", (lesson_id,))
        for batch in batches:
            values = rows.from_batch(batch, lesson_id)
            if batch.id in known:
                self._update("batch", values)
            else:
                self._insert("batch", values)


def _fold(name: str) -> str:
    return "".join(c for c in unicodedata.normalize("NFKD", name.casefold()) if not unicodedata.combining(c))
