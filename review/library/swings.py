"""Clips, rows of the device's table, traces, and the swings they hang on."""

import os
import time
from collections.abc import Sequence
from pathlib import Path

from review.errors import BadInputError
from review.lesson import Clip, Shot, Swing, SwingKind, Trace
from review.library import files, forgetting, rows
from review.library.database import Database
from review.media import Footage, copy_part
from review.progress import Progress, silent


class Swings(Database):
    """What was recorded of a lesson."""

    def store_clip_file(self, path: Path, progress: Progress = silent) -> tuple[str, str]:
        """Copy a clip in; return its sha256 and its path inside the library. The original stays as it is.

        The copy stays for good once a clip names it (``add_clip``); else it goes when this run has ended.
        ``progress`` gets bytes done and bytes in all. Not to be called inside a transaction: others would wait for it.

        Raises
        ------
        BadInputError
            When the file is missing or cannot be read.
        MachineError
            When the disk is full or may not be written; no part of the copy is left.
        """
        self._check_free()
        return self._bring_back(*files.copy_in(path, self.folder / "clips", self._note_copy, progress))

    def store_clip_part(self, footage: Footage) -> tuple[str, str]:
        """Copy a part of a recording in, not encoded again; else as ``store_clip_file``.

        Raises
        ------
        BadInputError
            When the recording cannot be read or cut.
        """
        self._check_free()
        clips = self.folder / "clips"
        return self._bring_back(*files.write_in(lambda aside: copy_part(footage, aside), clips, self._note_copy))

    def _bring_back(self, sha256: str, name: str) -> tuple[str, str]:
        """A clip that was let go and is brought in again is there again, in every lesson that has it."""
        self._execute("UPDATE clip SET let_go_on = NULL WHERE file = ? AND let_go_on IS NOT NULL", (f"clips/{name}",))
        return sha256, f"clips/{name}"

    def _check_free(self) -> None:
        if self._depth:
            raise ValueError("store files before the transaction of their clips, remove them after it")

    def _note_copy(self, name: str) -> None:
        self._note_stored(f"clips/{name}")

    def _note_stored(self, file: str) -> None:
        values = {"file": file, "process": os.getpid(), "stored_s": time.time()}
        self._insert("stored", values, "INSERT OR REPLACE")

    def drop_unused_file(self, file: str) -> None:
        """Remove a stored copy, or what was made from a clip, when nothing names it any longer.

        A stopped run's next opening finishes it. Not to be called inside a transaction, which may still be undone.

        Raises
        ------
        MachineError
            When another program holds the file.
        """
        self._check_free()
        with self.transaction():
            for table in ("clip", "derived"):
                if self._execute(f"SELECT 1 FROM {table} WHERE file = ?", (file,)).fetchone() is not None:
                    return
            self._note_stored(file)
        forgetting.erase(self.folder, file)
        self._execute("DELETE FROM stored WHERE file = ?", (file,))

    def path_of(self, clip: Clip) -> Path:
        """Where the stored copy of a clip lies, or of the recording it is a part of."""
        return self.folder / clip.file

    def footage_of(self, clip: Clip) -> Footage:
        """The pictures and the sound of a clip."""
        return Footage(self.path_of(clip), clip.begin_s, clip.end_s)

    def clips_of_recording(self, recording: str) -> tuple[tuple[str, Clip], ...]:
        """All clips found in a recording (its sha256), of whichever pupil, each with its lesson's id."""
        found = self._execute("SELECT * FROM clip WHERE recording = ? ORDER BY begin_s", (recording,))
        return tuple((row["lesson_id"], rows.to_clip(row)) for row in found) if recording else ()

    def add_clip(self, lesson_id: str, clip: Clip) -> None:
        """Add a clip to a lesson; its file was stored before."""
        with self.transaction():
            self._insert("clip", {**rows.from_clip(clip), "lesson_id": lesson_id})
            self._execute("DELETE FROM stored WHERE file = ? AND process = ?", (clip.file, os.getpid()))

    def update_clip(self, clip: Clip) -> None:
        """Replace what is known of a clip."""
        self._update("clip", rows.from_clip(clip))

    def clips(self, lesson_id: str) -> tuple[Clip, ...]:
        """All clips of a lesson in order of capture."""
        found = self._execute(
            "SELECT * FROM clip WHERE lesson_id = ? ORDER BY captured_at, original_name, begin_s", (lesson_id,)
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

    def add_trace(self, lesson_id: str, trace: Trace) -> None:
        """Add a trace to a lesson, or replace the one with its id; ``replace_swings`` hangs it on a swing."""
        values = rows.from_trace(trace, lesson_id)
        if self._execute("SELECT 1 FROM trace WHERE lesson_id = ? AND id = ?", (lesson_id, trace.id)).fetchone():
            self._execute(
                "UPDATE trace SET started_at = :started_at, samples = :samples "
                "WHERE lesson_id = :lesson_id AND id = :id",
                values,
            )
        else:
            self._insert("trace", values)

    def traces(self, lesson_id: str) -> tuple[Trace, ...]:
        """All traces of a lesson in order of time, those without a swing too."""
        found = self._execute("SELECT * FROM trace WHERE lesson_id = ? ORDER BY started_at, rowid", (lesson_id,))
        return tuple(rows.to_trace(row) for row in found)

    def replace_swings(self, lesson_id: str, swings: Sequence[Swing]) -> None:
        """Write the swings of a lesson with what hangs on them; swings whose id stays keep their measures.

        Clips, rows and traces that no swing has any longer stay in the lesson.

        Raises
        ------
        BadInputError
            When a swing is in another lesson already; nothing is then changed.
        ValueError
            When a clip or a row that a swing names was never added to this lesson.
        """
        with self.transaction():
            kept = {swing.id for swing in swings}
            for row in self._execute("SELECT id FROM swing WHERE lesson_id = ?", (lesson_id,)).fetchall():
                if row["id"] not in kept:
                    self._execute("DELETE FROM swing WHERE id = ?", (row["id"],))
            self._execute("UPDATE clip SET swing_id = NULL WHERE lesson_id = ?", (lesson_id,))
            self._execute("UPDATE shot SET swing_id = NULL WHERE lesson_id = ?", (lesson_id,))
            self._execute("UPDATE trace SET swing_id = NULL WHERE lesson_id = ?", (lesson_id,))
            for swing in swings:
                self._write_swing(lesson_id, swing)

    def swings(self, lesson_id: str) -> tuple[Swing, ...]:
        """All swings of a lesson in order, with clips, shot and trace."""
        clips: dict[str, list[Clip]] = {}
        for row in self._execute(
            "SELECT * FROM clip WHERE lesson_id = ? AND swing_id IS NOT NULL ORDER BY camera, captured_at, begin_s",
            (lesson_id,),
        ):
            clips.setdefault(row["swing_id"], []).append(rows.to_clip(row))
        shots = {
            row["swing_id"]: rows.to_shot(row)
            for row in self._execute("SELECT * FROM shot WHERE lesson_id = ? AND swing_id IS NOT NULL", (lesson_id,))
        }
        traces = {
            row["swing_id"]: rows.to_trace(row)
            for row in self._execute("SELECT * FROM trace WHERE lesson_id = ? AND swing_id IS NOT NULL", (lesson_id,))
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
        there = self._execute("SELECT lesson_id FROM swing WHERE id = ?", (swing.id,)).fetchone()
        if there is None:
            self._insert("swing", values)
        elif there["lesson_id"] == lesson_id:
            self._update("swing", values)
        else:
            other = self._execute("SELECT held_on FROM lesson WHERE id = ?", (there["lesson_id"],)).fetchone()
            raise BadInputError(
                f"Swing {swing.order} is in the lesson of {other['held_on']} already, with the same clip or row. "
                "Add each clip and table to one lesson only; nothing was changed."
            )
        for clip in swing.clips:
            self._hang("clip", lesson_id, clip.id, swing.id)
        if swing.shot is not None:
            self._hang("shot", lesson_id, swing.shot.id, swing.id)
        if swing.trace is not None:
            self.add_trace(lesson_id, swing.trace)
            self._hang("trace", lesson_id, swing.trace.id, swing.id)

    def _hang(self, table: str, lesson_id: str, id: str, swing_id: str) -> None:
        done = self._execute(
            f"UPDATE {table} SET swing_id = ? WHERE lesson_id = ? AND id = ?", (swing_id, lesson_id, id)
        )
        if not done.rowcount:
            raise ValueError(f"{table} {id} is not in this lesson; add it before the swings")
