"""Packs a whole lesson into one file."""

import base64
import hashlib
import json
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any

from review.errors import BadInputError
from review.jobs.handing_out.noting import noted
from review.jobs.handing_out.privacy import NOBODY_NAMED, Privacy, settle_privacy
from review.jobs.measuring.kept_landmarks import list_kept
from review.lesson import Lesson, Pupil, Purpose
from review.library import Library
from review.progress import Progress, silent
from review.takehome.archive import Entry, Manifest, open_archive, write_archive


@dataclass(frozen=True)
class Packed:
    """What is in the file."""

    n_clips: int
    n_landmarks: int
    size_bytes: int
    for_whom: str
    notes: tuple[str, ...]


def pack_lesson(
    library: Library,
    lesson: Lesson,
    to: Path,
    for_whom: str = "",
    with_landmarks: bool = True,
    with_minors_face: bool = False,
    progress: Progress = silent,
) -> Packed:
    """Write a lesson with its pupil, clips, voices and, where wanted, landmarks to the file ``to``.

    The coach's private note does not travel; a pupil's voice needs consent to it, numbers of the body consent to
    measure. An earlier archive of the same lesson is replaced in one step.

    Parameters
    ----------
    for_whom : who receives it; where that is not said nobody is noted, of a minor the guardian.
    with_minors_face : the coach means it, though the pupil is under age: clips are in it as filmed, and the name.

    Raises
    ------
    BadInputError
        When consent to share is missing, the pupil is under age and it is not meant, or ``to`` is something else.
    MachineError
        When the file cannot be written.
    """
    pupil = library.pupil(lesson.pupil_id)
    now = datetime.now().replace(microsecond=0)
    privacy = settle_privacy(pupil, now.date(), for_whom=for_whom)
    if pupil.is_minor and not with_minors_face:
        raise BadInputError(
            "The pupil is under age: an archive holds the clips as filmed, with the face, and the name. If that is "
            "meant and agreed with the guardian, add --with-face-and-name; for others use takehome or export."
        )
    _check_target(to, lesson)
    rows = library.rows_of_lesson(lesson.id)
    _leave_out(rows, privacy, pupil, now)
    n_let_go = _leave_out_let_go(rows)
    for clip in rows["clip"]:
        if library.is_of_others(clip["file"], pupil.id):
            raise BadInputError(
                f"{clip['original_name']} is a clip of another pupil's lesson too and cannot be given away. Move those "
                "swings to one pupil first (lesson-review move). Nothing was written."
            )
    named = {row["file"] for table in ("clip", "voice") for row in rows[table]}
    entries = [Entry(f"rows/{table}.json", _as_json(listed)) for table, listed in rows.items()]
    entries += [Entry(name, library.folder / name) for name in sorted(named)]
    keys: dict[str, str] = {}
    if with_landmarks and privacy.with_body:
        for known in library.clips(lesson.id):
            for key, path in list_kept(library, known, pupil.handedness).items():
                name = f"landmarks/{hashlib.sha256(key.encode()).hexdigest()}.npz"
                if path.is_file() and name not in keys:
                    keys[name] = key
                    entries.append(Entry(name, path))
    about = Manifest(library.schema_version, lesson.id, lesson.held_on.isoformat(), {}, keys)
    to_whom = privacy.for_whom if for_whom.strip() or pupil.is_minor else NOBODY_NAMED
    with noted(library, lesson.id, f"whole lesson in {to.name}", to_whom, now):
        write_archive(entries, about, to, progress)
    notes: tuple[str, ...] = (
        "Whoever reads it in has the clips as filmed, with what the camera wrote into them (place and device, where it "
        "does): their copy needs consent too.",
    )
    if not privacy.with_body:
        notes = (*notes, "Numbers and points of the body are left out: there is no consent to measure.")
    if n_let_go:
        notes = (*notes, f"Clips that were let go are not in it: {n_let_go}. Their numbers are.")
    return Packed(len({row["file"] for row in rows["clip"]}), len(keys), to.stat().st_size, to_whom, notes)


def _check_target(to: Path, lesson: Lesson) -> None:
    """Only an earlier archive of this lesson may be replaced."""
    if not to.exists():
        return
    if to.is_file():
        try:
            with open_archive(to) as there:
                if there.manifest.lesson_id == lesson.id:
                    return
        except BadInputError:
            pass
    raise BadInputError(f"{to} is there already and is no archive of this lesson; choose another name.")


def _leave_out(rows: dict[str, list[dict[str, Any]]], privacy: Privacy, pupil: Pupil, now: datetime) -> None:
    """Take out what consent does not cover."""
    if not privacy.with_body:
        rows["measure"] = []
    may_speak = pupil.allows(Purpose.VOICE, now.date())
    # one that was taken off stays only while that can be undone here
    named = {row["value"] for row in rows["said"]} | {row["voice_id"] for row in rows["talk_over"]}
    gone = {row["id"] for row in rows["voice"] if row["id"] not in named or (row["is_pupils"] and not may_speak)}
    rows["voice"] = [row for row in rows["voice"] if row["id"] not in gone]
    rows["said"] = [row for row in rows["said"] if row["value"] not in gone]
    rows["talk_over"] = [row for row in rows["talk_over"] if row["voice_id"] not in gone]


def _leave_out_let_go(rows: dict[str, list[dict[str, Any]]]) -> int:
    """Take out clips whose pictures are here no longer, and what hangs on them; return how many."""
    gone = {row["id"] for row in rows["clip"] if row["let_go_on"] is not None}
    rows["clip"] = [row for row in rows["clip"] if row["id"] not in gone]
    for table in ("key_frame", "drawing"):
        rows[table] = [row for row in rows[table] if row["clip_id"] not in gone]
    return len(gone)


def _as_json(rows: list[dict[str, Any]]) -> bytes:
    def pack(value: Any) -> dict[str, str]:
        return {"base64": base64.b64encode(value).decode("ascii")}

    return json.dumps(rows, indent=1, sort_keys=True, ensure_ascii=False, allow_nan=False, default=pack).encode("utf-8")
