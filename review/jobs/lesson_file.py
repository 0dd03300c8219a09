"""The coach's lesson file: pupil, batches, cameras and where the files lie (TOML, our own form)."""

from collections.abc import Callable
from datetime import date, datetime, time
from difflib import get_close_matches
from pathlib import Path
from typing import Any, TypeVar

from review.errors import BadInputError
from review.jobs.lesson_plan import BatchPlan, CameraPlan, LessonPlan, PupilPlan
from review.jobs.measuring.setup_files import read_toml
from review.jobs.pairing.speed import check_time_scale
from review.jobs.pressure.mats import parse_mat
from review.lesson import KINDS, AimMeasure, Consent, Handedness, KeyFrameName, Purpose, View, split_label
from review.lesson.measures import find_kind, say_kinds

__all__ = [
    "CLIP_ENDINGS",
    "BatchPlan",
    "CameraPlan",
    "LessonPlan",
    "PupilPlan",
    "find_clips",
    "parse_aim",
    "parse_purposes",
    "read_lesson_file",
]

CLIP_ENDINGS = frozenset({".mp4", ".mov", ".m4v", ".mkv", ".avi", ".webm"})
_T = TypeVar("_T")


def read_lesson_file(path: Path) -> LessonPlan:
    """Read a lesson file; names of files in it are relative to its folder.

    Raises
    ------
    BadInputError
        When it is missing, no TOML, lacks something needed, or a value cannot be used.
    """
    data = read_toml(path)
    base = path.parent
    try:
        lesson, pupil = _table(data, "lesson"), _table(data, "pupil")
        files = data.get("files", {})
        cameras = tuple(_camera(base, entry) for entry in data.get("camera", []))
        return LessonPlan(
            pupil=_pupil(pupil),
            held_on=_needed(lesson, "date", _date),
            clips=find_clips(base / files["clips"]) if "clips" in files else (),
            shots=_path(base, files, "shots"),
            mapping=_path(base, files, "mapping"),
            pressure=_path(base, files, "pressure"),
            pressure_mapping=_path(base, files, "pressure_mapping"),
            cameras=cameras,
            camera_setups=tuple((camera.name, camera.setup) for camera in cameras if camera.setup is not None),
            player_setups=tuple((camera.name, path) for camera in cameras for path in camera.players),
            batches=tuple(_batch(entry) for entry in data.get("batch", [])),
            place=str(lesson.get("place", "")),
            aim=str(lesson.get("aim", "")),
            club=str(data.get("club", {}).get("name", "")),
            target=str(lesson.get("target", "")),
            ball=str(lesson.get("ball", "")),
            aim_measures=tuple(parse_aim(text) for text in lesson.get("aim_measures", [])),
            repeatability=tuple(_repeatability(item) for item in data.get("repeatability", {}).items()),
            practice=tuple(str(line) for line in lesson.get("practice", [])),
            check_alone=str(lesson.get("check_alone", "")),
            begins=_time(lesson["begins"]) if "begins" in lesson else None,
            ends=_time(lesson["ends"]) if "ends" in lesson else None,
            mat=parse_mat(data.get("pressure_mat", {}), _path(base, files, "pressure_calibration")),
            keep_recordings=bool(files["keep_recordings"]) if "keep_recordings" in files else None,
        )
    except (ValueError, TypeError, AttributeError) as error:
        if isinstance(error, BadInputError):
            raise
        raise BadInputError(f"{path.name}: {error}. Correct that entry of the lesson file.") from error


def find_clips(folder: Path) -> tuple[Path, ...]:
    """All video files of a folder, by name.

    Raises
    ------
    BadInputError
        When there is no such folder or no video in it.
    """
    if not folder.is_dir():
        raise BadInputError(f"There is no folder {folder}; expected the folder that holds the lesson's clips.")
    clips = tuple(sorted(p for p in folder.iterdir() if p.suffix.lower() in CLIP_ENDINGS and p.is_file()))
    if not clips:
        raise BadInputError(
            f"There is no video in {folder}; expected files that end in {', '.join(sorted(CLIP_ENDINGS))}."
        )
    return clips


def parse_aim(text: str) -> AimMeasure:
    """Read 'club path' (or 'club_path_deg') or 'hip turn at impact'.

    Raises
    ------
    BadInputError
        When the measure or the key frame is unknown.
    """
    name, key_frame = split_label(text)
    kind = find_kind(name)
    if kind is None:
        near = get_close_matches(name, [one.label for one in KINDS.values()], 3, 0.0)
        raise BadInputError(f"The aim names {name!r}, which is not a measure. The nearest: {', '.join(near)}.")
    known = [k.value for k in KeyFrameName]
    if key_frame and key_frame not in known:
        raise BadInputError(f"The aim names the key frame {key_frame!r}. Known: {', '.join(known)}.")
    return AimMeasure(kind, key_frame)


def _table(data: dict[str, Any], name: str) -> dict[str, Any]:
    table = data.get(name)
    if not isinstance(table, dict):
        raise BadInputError(
            f"The lesson file has no [{name}] part; expected at least [lesson] with a date and [pupil]."
        )
    return table


def _needed(table: dict[str, Any], name: str, convert: Callable[[Any], _T]) -> _T:
    if name not in table:
        raise BadInputError(f"The lesson file lacks {name!r}; add it.")
    return convert(table[name])


def _date(value: Any) -> date:
    if isinstance(value, datetime):
        return value.date()
    return value if isinstance(value, date) else date.fromisoformat(str(value))


def _time(value: Any) -> time:
    return value if isinstance(value, time) else time.fromisoformat(str(value))


def _path(base: Path, files: dict[str, Any], name: str) -> Path | None:
    return base / str(files[name]) if name in files else None


def _pupil(table: dict[str, Any]) -> PupilPlan:
    handed = str(table.get("handedness", "")).lower()
    if handed not in {h.value for h in Handedness}:
        raise BadInputError(f"The pupil's handedness must be 'right' or 'left', got {handed!r}.")
    stature = table.get("stature_m")
    consent = table.get("consent")
    return PupilPlan(
        name=_needed(table, "name", str),
        handedness=Handedness(handed),
        stature_m=None if stature is None else float(stature),
        consent=None if consent is None else _consent(consent),
        is_minor=bool(table.get("is_minor", False)),
        guardian=table.get("guardian"),
    )


def _consent(table: dict[str, Any]) -> Consent:
    until = table.get("until")
    return Consent(
        given_by=_needed(table, "given_by", str),
        given_on=_needed(table, "given_on", _date),
        purposes=parse_purposes([str(p) for p in table.get("purposes", [])]),
        until=None if until is None else _date(until),
    )


def parse_purposes(words: list[str]) -> frozenset[Purpose]:
    """Read what a consent covers.

    Raises
    ------
    BadInputError
        When a word is none of keep, show, share, voice, measure.
    """
    known = {p.value for p in Purpose}
    unknown = [word for word in words if word not in known]
    if unknown:
        raise BadInputError(f"A consent cannot cover {unknown[0]!r}; known: {', '.join(sorted(known))}.")
    return frozenset(Purpose(word) for word in words)


def _camera(base: Path, table: dict[str, Any]) -> CameraPlan:
    view, time_scale, players = table.get("view"), table.get("time_scale"), table.get("player", [])
    known = [v.value for v in View]
    if view is not None and view not in known:
        raise BadInputError(f"A camera's view must be one of {', '.join(known)}, got {view!r}.")
    return CameraPlan(
        name=_needed(table, "name", str),
        files=_needed(table, "files", str),
        view=None if view is None else View(view),
        setup=_path(base, table, "setup"),
        players=tuple(base / str(name) for name in ([players] if isinstance(players, str) else players)),
        time_scale=None if time_scale is None else check_time_scale(float(time_scale), "A camera's time_scale"),
    )


def _batch(table: dict[str, Any]) -> BatchPlan:
    start = table.get("start")
    return BatchPlan(
        number=_needed(table, "number", int),
        start=None if start is None else _time(start),
        cue=str(table.get("cue", "")),
        feel=str(table.get("feel", "")),
        club=str(table.get("club", "")),
        target=str(table.get("target", "")),
        ball=str(table.get("ball", "")),
    )


def _repeatability(item: tuple[str, Any]) -> tuple[str, float]:
    said, value = item
    name = find_kind(said)
    if name is None:
        raise BadInputError(f"[repeatability] names {said!r}, which is not a measure. Known: {say_kinds()}.")
    if not float(value) > 0:
        raise BadInputError(f"[repeatability] {name} must be above 0, got {value}; leave it out when it is not known.")
    return name, float(value)
