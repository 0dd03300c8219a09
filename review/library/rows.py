"""Between rows of the database and the plain types: pupil, lesson, batch, clip, shot, trace."""

import io
import json
import sqlite3
from datetime import date, datetime
from typing import Any

import numpy as np

from review.lesson import (
    AimMeasure,
    Batch,
    Clip,
    Consent,
    Handedness,
    Lesson,
    Pupil,
    Purpose,
    Shot,
    Trace,
    View,
)

Values = dict[str, Any]


def from_pupil(pupil: Pupil) -> Values:
    consent = pupil.consent
    return {
        "id": pupil.id,
        "name": pupil.name,
        "handedness": pupil.handedness.value,
        "stature_m": pupil.stature_m,
        "is_minor": pupil.is_minor,
        "guardian": pupil.guardian,
        "private_note": pupil.private_note,
        "consent_by": consent.given_by if consent else None,
        "consent_on": consent.given_on.isoformat() if consent else None,
        "consent_for": ",".join(sorted(p.value for p in consent.purposes)) if consent else None,
        "consent_until": consent.until.isoformat() if consent and consent.until else None,
        "consent_withdrawn": consent.withdrawn_on.isoformat() if consent and consent.withdrawn_on else None,
    }


def to_pupil(row: sqlite3.Row) -> Pupil:
    consent = None
    if row["consent_by"] is not None:
        consent = Consent(
            given_by=row["consent_by"],
            given_on=date.fromisoformat(row["consent_on"]),
            purposes=frozenset(Purpose(word) for word in row["consent_for"].split(",") if word),
            until=None if row["consent_until"] is None else date.fromisoformat(row["consent_until"]),
            withdrawn_on=None if row["consent_withdrawn"] is None else date.fromisoformat(row["consent_withdrawn"]),
        )
    return Pupil(
        id=row["id"],
        name=row["name"],
        handedness=Handedness(row["handedness"]),
        stature_m=row["stature_m"],
        consent=consent,
        is_minor=bool(row["is_minor"]),
        guardian=row["guardian"],
        private_note=row["private_note"],
    )


def from_lesson(lesson: Lesson) -> Values:
    return {
        "id": lesson.id,
        "pupil_id": lesson.pupil_id,
        "held_on": lesson.held_on.isoformat(),
        "place": lesson.place,
        "aim": lesson.aim,
        "aim_measures": json.dumps([[a.name, a.key_frame] for a in lesson.aim_measures]),
        "repeatability": json.dumps(lesson.repeatability),
        "practice_plan": json.dumps(lesson.practice_plan),
        "check_alone": lesson.check_alone,
    }


def to_lesson(row: sqlite3.Row, batches: tuple[Batch, ...]) -> Lesson:
    return Lesson(
        id=row["id"],
        pupil_id=row["pupil_id"],
        held_on=date.fromisoformat(row["held_on"]),
        place=row["place"],
        aim=row["aim"],
        aim_measures=tuple(AimMeasure(*pair) for pair in json.loads(row["aim_measures"])),
        repeatability=tuple((name, float(value)) for name, value in json.loads(row["repeatability"])),
        batches=batches,
        practice_plan=tuple(json.loads(row["practice_plan"])),
        check_alone=row["check_alone"],
    )


def from_batch(batch: Batch, lesson_id: str) -> Values:
    return {
        "id": batch.id,
        "lesson_id": lesson_id,
        "number": batch.number,
        "started_at": _text(batch.started_at),
        "cue": batch.cue,
        "feel": batch.feel,
        "club": batch.club,
        "target": batch.target,
        "ball": batch.ball,
        "is_closed": batch.is_closed,
    }


def to_batch(row: sqlite3.Row) -> Batch:
    return Batch(
        id=row["id"],
        number=row["number"],
        started_at=_time(row["started_at"]),
        cue=row["cue"],
        feel=row["feel"],
        club=row["club"],
        target=row["target"],
        ball=row["ball"],
        is_closed=bool(row["is_closed"]),
    )


def from_clip(clip: Clip) -> Values:
    return {
        "id": clip.id,
        "sha256": clip.sha256,
        "file": clip.file,
        "original_name": clip.original_name,
        "camera": clip.camera,
        "view": None if clip.view is None else clip.view.value,
        "captured_at": _text(clip.captured_at),
        "captured_resolution_s": clip.captured_resolution_s,
        "duration_s": clip.duration_s,
        "n_frames": clip.n_frames,
        "time_scale": clip.time_scale,
        "time_scale_source": clip.time_scale_source,
        "strike_s": clip.strike_s,
        "begin_s": clip.begin_s,
        "end_s": clip.end_s,
        "recording": clip.recording,
        "content": clip.content,
        "strikes": json.dumps(clip.strikes),
    }


def to_clip(row: sqlite3.Row) -> Clip:
    return Clip(
        id=row["id"],
        sha256=row["sha256"],
        file=row["file"],
        original_name=row["original_name"],
        camera=row["camera"],
        view=None if row["view"] is None else View(row["view"]),
        captured_at=_time(row["captured_at"]),
        captured_resolution_s=row["captured_resolution_s"],
        duration_s=row["duration_s"],
        n_frames=row["n_frames"],
        time_scale=row["time_scale"],
        time_scale_source=row["time_scale_source"],
        strike_s=row["strike_s"],
        begin_s=row["begin_s"],
        end_s=row["end_s"],
        recording=row["recording"],
        strikes=tuple((float(time_s), float(p)) for time_s, p in json.loads(row["strikes"])),
    )


def from_shot(shot: Shot, lesson_id: str) -> Values:
    return {
        "id": shot.id,
        "lesson_id": lesson_id,
        "row_number": shot.row_number,
        "table_name": shot.table,
        "measured": json.dumps(shot.values),
        "extra": json.dumps(shot.extra),
        "struck_at": _text(shot.struck_at),
        "time_resolution_s": shot.time_resolution_s,
        "club": shot.club,
    }


def to_shot(row: sqlite3.Row) -> Shot:
    return Shot(
        id=row["id"],
        row_number=row["row_number"],
        table=row["table_name"],
        values=json.loads(row["measured"]),
        extra=json.loads(row["extra"]),
        struck_at=_time(row["struck_at"]),
        time_resolution_s=row["time_resolution_s"],
        club=row["club"],
    )


def from_trace(trace: Trace, lesson_id: str) -> Values:
    packed = io.BytesIO()
    arrays = {"time_s": trace.time_s, "xy_cm": trace.xy_cm}
    for name, force in (("force_n", trace.force_n), ("lead_force_n", trace.lead_force_n)):
        if force is not None:
            arrays[name] = force
    if trace.is_clock_of_shot:
        arrays["is_clock_of_shot"] = np.ones(1)
    np.savez_compressed(packed, **arrays)  # type: ignore[arg-type]
    return {
        "id": trace.id,
        "lesson_id": lesson_id,
        "started_at": _text(trace.started_at),
        "samples": packed.getvalue(),
    }


def to_trace(row: sqlite3.Row) -> Trace:
    with np.load(io.BytesIO(row["samples"])) as arrays:
        return Trace(
            id=row["id"],
            started_at=datetime.fromisoformat(row["started_at"]),
            time_s=arrays["time_s"],
            xy_cm=arrays["xy_cm"],
            force_n=arrays["force_n"] if "force_n" in arrays.files else None,
            lead_force_n=arrays["lead_force_n"] if "lead_force_n" in arrays.files else None,
            is_clock_of_shot="is_clock_of_shot" in arrays.files,
        )


def _text(at: datetime | None) -> str | None:
    if at is not None and at.tzinfo is not None:
        raise ValueError(f"times are kept as naive local time, got {at.isoformat()}")
    return None if at is None else at.isoformat()


def _time(text: str | None) -> datetime | None:
    return None if text is None else datetime.fromisoformat(text)
