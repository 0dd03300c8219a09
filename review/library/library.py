"""The coach's library: every pupil, lesson, swing and number, in one folder on this computer."""

import hashlib
import sqlite3
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from types import TracebackType
from typing import Any, Self

from numpy.typing import NDArray

from review.errors import BadInputError, MachineError
from review.lesson import Batch, Clip, KeyFrame, Lesson, Measure, Pupil, Shot, Swing, SwingKind
from review.library import files, rows
from review.library.migrations import migrate

_WAIT_S = 10.0


@dataclass(frozen=True)
class Forgotten:
    """What a pupil's removal took away, and which copies are beyond its reach."""

    n_lessons: int
    n_clips: int
    out_of_reach: tuple[str, ...]


class Library:
    """One open library; use it in a ``with`` block and from one thread."""

    def __init__(self, folder: Path, connection: sqlite3.Connection) -> None:
        self.folder = folder
        self._connection = connection
        self._is_inside = False

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
        if not create and not database.is_file():
            raise BadInputError(f"There is no library in {folder}. Add a lesson first, or name another with --library.")
        try:
            for part in (folder, folder / "clips", folder / "derived"):
                part.mkdir(parents=True, exist_ok=True)
            files.check_space(folder, 0)
        except OSError as error:
            if isinstance(error, MachineError):
                raise
            raise files.as_machine_error(error, folder) from error
        connection = None
        try:
            connection = sqlite3.connect(database, timeout=_WAIT_S, isolation_level=None)
            connection.row_factory = sqlite3.Row
            connection.execute("PRAGMA journal_mode = WAL")
            connection.execute("PRAGMA foreign_keys = ON")
            connection.execute("PRAGMA secure_delete = ON")
            migrate(connection)
        except sqlite3.Error as error:
            if connection is not None:
                connection.close()
            raise _explain(error, database) from error
        except BadInputError:
            if connection is not None:
                connection.close()
            raise
        files.sweep((folder / "clips", folder / "derived"))
        library = cls(folder, connection)
        library._finish_forgetting()
        return library

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()

    def close(self) -> None:
        """Close the database."""
        self._connection.close()

    @contextmanager
    def transaction(self) -> Iterator[None]:
        """Make everything inside one step: all of it happens or nothing. Inner ones join the outer one."""
        if self._is_inside:
            yield
            return
        self._execute("BEGIN IMMEDIATE")
        self._is_inside = True
        try:
            yield
            self._execute("COMMIT")
        except BaseException:
            if self._connection.in_transaction:
                self._connection.execute("ROLLBACK")
            raise
        finally:
            self._is_inside = False

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
        """Pupils whose name contains the text, whatever its case."""
        wanted = name_part.casefold()
        return tuple(pupil for pupil in self.pupils() if wanted in pupil.name.casefold())

    # lessons

    def add_lesson(self, lesson: Lesson) -> None:
        """Add a lesson with its batches."""
        with self.transaction():
            self._insert("lesson", rows.from_lesson(lesson))
            self._set_batches(lesson)

    def update_lesson(self, lesson: Lesson) -> None:
        """Replace a lesson's own data and its batches; swings stay."""
        with self.transaction():
            self._update("lesson", rows.from_lesson(lesson))
            self._set_batches(lesson)

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
        return tuple(rows.to_lesson(row, self._batches(row["id"])) for row in found)

    def find_lesson(self, text: str) -> Lesson:
        """Find a lesson by 'last', its day (2026-03-14) or the first letters of its id.

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
        fitting = [lesson for lesson in known if lesson.held_on.isoformat() == text or lesson.id.startswith(text)]
        if len(fitting) == 1:
            return fitting[0]
        listed = "; ".join(
            f"{le.held_on} {self.pupil(le.pupil_id).name} ({le.id[:8]})" for le in fitting or known[-10:]
        )
        if not fitting:
            raise BadInputError(f"No lesson fits {text!r}. The latest: {listed}.")
        raise BadInputError(f"Several lessons fit {text!r}: {listed}. Give the letters in brackets.")

    # clips, shots, swings

    def store_clip_file(self, path: Path) -> tuple[str, str]:
        """Copy a clip in; return its sha256 and its path inside the library. The original stays as it is."""
        sha256, name = files.copy_in(path, self.folder / "clips")
        return sha256, f"clips/{name}"

    def path_of(self, clip: Clip) -> Path:
        """Where the stored copy of a clip lies."""
        return self.folder / clip.file

    def add_clip(self, lesson_id: str, clip: Clip) -> None:
        """Add a clip to a lesson."""
        self._insert("clip", {**rows.from_clip(clip), "lesson_id": lesson_id})

    def update_clip(self, clip: Clip) -> None:
        """Replace what is known of a clip."""
        self._update("clip", rows.from_clip(clip))

    def clips(self, lesson_id: str) -> tuple[Clip, ...]:
        """All clips of a lesson in order of capture."""
        found = self._execute(
            "SELECT * FROM clip WHERE lesson_id = ? ORDER BY captured_at, original_name", (lesson_id,)
        )
        return tuple(rows.to_clip(row) for row in found)

    def add_shots(self, lesson_id: str, shots: Sequence[Shot]) -> int:
        """Add rows of a table; those there already are left as they are. Return how many were new."""
        new = 0
        with self.transaction():
            for shot in shots:
                new += self._insert("shot", rows.from_shot(shot, lesson_id), "INSERT OR IGNORE").rowcount
        return new

    def shots(self, lesson_id: str) -> tuple[Shot, ...]:
        """All rows of a lesson's tables in order."""
        found = self._execute("SELECT * FROM shot WHERE lesson_id = ? ORDER BY struck_at, row_number", (lesson_id,))
        return tuple(rows.to_shot(row) for row in found)

    def replace_swings(self, lesson_id: str, swings: Sequence[Swing]) -> None:
        """Write the swings of a lesson with what hangs on them; swings whose id stays keep their measures."""
        with self.transaction():
            kept = {swing.id for swing in swings}
            for row in self._execute("SELECT id FROM swing WHERE lesson_id = ?", (lesson_id,)).fetchall():
                if row["id"] not in kept:
                    self._execute("DELETE FROM swing WHERE id = ?", (row["id"],))
            self._execute("UPDATE clip SET swing_id = NULL WHERE lesson_id = ?", (lesson_id,))
            self._execute("UPDATE shot SET swing_id = NULL WHERE lesson_id = ?", (lesson_id,))
            for swing in swings:
                self._write_swing(lesson_id, swing)

    def swings(self, lesson_id: str) -> tuple[Swing, ...]:
        """All swings of a lesson in order, with clips, shot and trace."""
        clips: dict[str, list[Clip]] = {}
        for row in self._execute(
            "SELECT * FROM clip WHERE lesson_id = ? AND swing_id IS NOT NULL ORDER BY camera, captured_at", (lesson_id,)
        ):
            clips.setdefault(row["swing_id"], []).append(rows.to_clip(row))
        shots = {
            row["swing_id"]: rows.to_shot(row)
            for row in self._execute("SELECT * FROM shot WHERE lesson_id = ? AND swing_id IS NOT NULL", (lesson_id,))
        }
        traces = {
            row["swing_id"]: rows.to_trace(row)
            for row in self._execute(
                "SELECT trace.* FROM trace JOIN swing ON swing.id = trace.swing_id WHERE lesson_id = ?", (lesson_id,)
            )
        }
        return tuple(
            Swing(
                id=row["id"],
                order=row["position"],
                kind=SwingKind(row["kind"]),
                clips=tuple(clips.get(row["id"], ())),
                shot=shots.get(row["id"]),
                trace=traces.get(row["id"]),
                batch_id=row["batch_id"],
                pairing_probability=row["pairing_probability"],
                pairing_source=row["pairing_source"],
                left_out=row["left_out"],
            )
            for row in self._execute("SELECT * FROM swing WHERE lesson_id = ? ORDER BY position", (lesson_id,))
        )

    # key frames and measures

    def set_key_frames(self, clip_id: str, key_frames: Sequence[KeyFrame]) -> None:
        """Replace the found key frames of a clip; the coach's own marks stay and win."""
        with self.transaction():
            self._execute("DELETE FROM key_frame WHERE clip_id = ? AND source <> 'coach'", (clip_id,))
            for key_frame in key_frames:
                verb = "INSERT OR REPLACE" if key_frame.source == "coach" else "INSERT OR IGNORE"
                self._insert("key_frame", rows.from_key_frame(key_frame, clip_id), verb)

    def key_frames(self, clip_id: str) -> tuple[KeyFrame, ...]:
        """Key frames of a clip in order of time."""
        found = self._execute("SELECT * FROM key_frame WHERE clip_id = ? ORDER BY time_s", (clip_id,))
        return tuple(rows.to_key_frame(row) for row in found)

    def set_measures(self, swing_id: str, measures: Sequence[Measure], method: str) -> None:
        """Replace the body measures of a swing; ``method`` says how they were made."""
        with self.transaction():
            self._execute("DELETE FROM measure WHERE swing_id = ?", (swing_id,))
            for measure in measures:
                self._insert("measure", rows.from_measure(measure, swing_id, method))

    def measures(self, lesson_id: str) -> dict[str, tuple[Measure, ...]]:
        """Body measures of a lesson by swing id."""
        found: dict[str, list[Measure]] = {}
        for row in self._execute(
            "SELECT measure.* FROM measure JOIN swing ON swing.id = measure.swing_id WHERE lesson_id = ? "
            "ORDER BY measure.rowid",
            (lesson_id,),
        ):
            found.setdefault(row["swing_id"], []).append(rows.to_measure(row))
        return {swing_id: tuple(measures) for swing_id, measures in found.items()}

    # what can be made again

    def save_arrays(
        self, kind: str, key: str, arrays: Mapping[str, NDArray[Any]], text: Mapping[str, str], clip_sha256: str
    ) -> None:
        """Keep something that was made from a clip, so that it need not be made again."""
        path = self._derived(kind, key)
        with self.transaction():
            # the row comes first: a file without a row would outlive its pupil
            name = path.relative_to(self.folder).as_posix()
            self._insert("derived", {"file": name, "clip_sha256": clip_sha256}, "INSERT OR REPLACE")
        files.save_arrays(path, arrays, text)

    def load_arrays(self, kind: str, key: str) -> tuple[dict[str, NDArray[Any]], dict[str, str]] | None:
        """Return what was kept, None when it is not there or damaged."""
        return files.load_arrays(self._derived(kind, key))

    # hand-outs and forgetting

    def note_handout(self, lesson_id: str, what: str, to_whom: str, handed_at: datetime) -> None:
        """Note what was handed over, to whom and when."""
        self._insert(
            "handout", {"lesson_id": lesson_id, "what": what, "to_whom": to_whom, "handed_at": handed_at.isoformat()}
        )

    def handouts(self, pupil_id: str) -> tuple[str, ...]:
        """What was handed over of a pupil, in words."""
        found = self._execute(
            "SELECT handout.* FROM handout JOIN lesson ON lesson.id = handout.lesson_id WHERE pupil_id = ? "
            "ORDER BY handed_at",
            (pupil_id,),
        )
        return tuple(f"{row['what']}, to {row['to_whom']} on {row['handed_at'][:10]}" for row in found)

    def forget_pupil(self, pupil_id: str) -> Forgotten:
        """Remove everything of a pupil: rows, clips that no other pupil has, what was made from them, free pages.

        The wish is written down first; a run that is stopped is finished when the library is next opened.
        """
        out_of_reach = self.handouts(pupil_id)
        n_lessons = len(self.lessons(pupil_id))
        clips = self._execute(
            "SELECT COUNT(*) FROM clip JOIN lesson ON lesson.id = clip.lesson_id WHERE pupil_id = ?", (pupil_id,)
        ).fetchone()[0]
        self._execute("UPDATE pupil SET is_being_forgotten = 1 WHERE id = ?", (pupil_id,))
        self._finish_forgetting()
        return Forgotten(n_lessons, int(clips), out_of_reach)

    def _finish_forgetting(self) -> None:
        doomed = [r["id"] for r in self._execute("SELECT id FROM pupil WHERE is_being_forgotten = 1").fetchall()]
        for pupil_id in doomed:
            own = self._execute(
                "SELECT DISTINCT clip.sha256, clip.file FROM clip JOIN lesson ON lesson.id = clip.lesson_id "
                "WHERE pupil_id = :p AND sha256 NOT IN (SELECT sha256 FROM clip AS c JOIN lesson AS l "
                "ON l.id = c.lesson_id WHERE l.pupil_id <> :p)",
                {"p": pupil_id},
            ).fetchall()
            for clip in own:
                for row in self._execute(
                    "SELECT file FROM derived WHERE clip_sha256 = ?", (clip["sha256"],)
                ).fetchall():
                    (self.folder / row["file"]).unlink(missing_ok=True)
                (self.folder / clip["file"]).unlink(missing_ok=True)
            with self.transaction():
                for clip in own:
                    self._execute("DELETE FROM derived WHERE clip_sha256 = ?", (clip["sha256"],))
                self._execute("DELETE FROM pupil WHERE id = ?", (pupil_id,))
        if doomed:
            self._execute("VACUUM")
            self._execute("PRAGMA wal_checkpoint(TRUNCATE)")

    # inside

    def _derived(self, kind: str, key: str) -> Path:
        return self.folder / "derived" / kind / f"{hashlib.sha256(key.encode()).hexdigest()}.npz"

    def _batches(self, lesson_id: str) -> tuple[Batch, ...]:
        found = self._execute("SELECT * FROM batch WHERE lesson_id = ? ORDER BY number", (lesson_id,))
        return tuple(rows.to_batch(row) for row in found)

    def _set_batches(self, lesson: Lesson) -> None:
        kept = {batch.id for batch in lesson.batches}
        for batch in self._batches(lesson.id):
            if batch.id not in kept:
                self._execute("DELETE FROM batch WHERE id = ?", (batch.id,))
        known = {batch.id for batch in self._batches(lesson.id)}
        for batch in lesson.batches:
            values = rows.from_batch(batch, lesson.id)
            if batch.id in known:
                self._update("batch", values)
            else:
                self._insert("batch", values)

    def _write_swing(self, lesson_id: str, swing: Swing) -> None:
        values = {
            "id": swing.id,
            "lesson_id": lesson_id,
            "position": swing.order,
            "kind": swing.kind.value,
            "batch_id": swing.batch_id,
            "pairing_probability": swing.pairing_probability,
            "pairing_source": swing.pairing_source,
            "left_out": swing.left_out,
        }
        if self._execute("SELECT 1 FROM swing WHERE id = ?", (swing.id,)).fetchone():
            self._update("swing", values)
        else:
            self._insert("swing", values)
        for clip in swing.clips:
            self._execute("UPDATE clip SET swing_id = ? WHERE id = ?", (swing.id, clip.id))
        if swing.shot is not None:
            self._execute(
                "UPDATE shot SET swing_id = ? WHERE lesson_id = ? AND id = ?", (swing.id, lesson_id, swing.shot.id)
            )
        self._execute("DELETE FROM trace WHERE swing_id = ?", (swing.id,))
        if swing.trace is not None:
            self._insert("trace", rows.from_trace(swing.trace, swing.id))

    def _insert(self, table: str, values: rows.Values, verb: str = "INSERT") -> sqlite3.Cursor:
        names = ", ".join(values)
        marks = ", ".join(f":{name}" for name in values)
        return self._execute(f"{verb} INTO {table} ({names}) VALUES ({marks})", values)

    def _update(self, table: str, values: rows.Values) -> None:
        changes = ", ".join(f"{name} = :{name}" for name in values if name != "id")
        self._execute(f"UPDATE {table} SET {changes} WHERE id = :id", values)

    def _execute(self, statement: str, values: Sequence[Any] | rows.Values = ()) -> sqlite3.Cursor:
        try:
            return self._connection.execute(statement, values)
        except sqlite3.OperationalError as error:
            raise _explain(error, self.folder / "library.db") from error
        except sqlite3.DatabaseError as error:
            if isinstance(error, sqlite3.IntegrityError):
                raise
            raise _explain(error, self.folder / "library.db") from error


def _explain(error: sqlite3.Error, database: Path) -> BadInputError | MachineError:
    text = str(error)
    if "not a database" in text or "malformed" in text:
        return BadInputError(
            f"{database} is no library of this tool, or it is damaged ({text}). Bring back a backup, or choose another "
            "folder with --library; nothing was changed."
        )
    if "full" in text:
        return MachineError(f"The disk is full; {database} could not be written. Make room, then try again.")
    if "locked" in text or "busy" in text:
        return MachineError("The library is in use by another run of the program; wait until it is done.")
    return MachineError(f"{database} could not be used: {text}. Check that the folder may be written.")
