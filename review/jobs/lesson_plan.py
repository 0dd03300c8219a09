"""What a coach plans of a lesson, from a lesson file or from options."""

from dataclasses import dataclass
from datetime import date, time
from pathlib import Path

from review.jobs.pressure.mats import MatPlan
from review.lesson import AimMeasure, Consent, Handedness, View


@dataclass(frozen=True)
class CameraPlan:
    """One camera: which files are its own (a name pattern), where it stands, what the coach marked in its picture.

    ``players`` are the pupil's player set-ups made before this camera; ``time_scale`` is given when its files are slow
    motion (or are not, where it would be asked).
    """

    name: str
    files: str
    view: View | None = None
    setup: Path | None = None
    players: tuple[Path, ...] = ()
    time_scale: float | None = None


@dataclass(frozen=True)
class BatchPlan:
    """One batch as planned; ``start`` is the device's clock."""

    number: int
    start: time | None
    cue: str = ""
    feel: str = ""
    club: str = ""
    target: str = ""
    ball: str = ""


@dataclass(frozen=True)
class PupilPlan:
    """The pupil as the coach writes it down."""

    name: str
    handedness: Handedness
    stature_m: float | None = None
    consent: Consent | None = None
    is_minor: bool = False
    guardian: str | None = None


@dataclass(frozen=True)
class LessonPlan:
    """Everything ``add`` needs to know, from a lesson file or from options.

    ``camera_setups`` and ``player_setups`` pair a camera's name or a view with a file; ``time_scale`` holds for all
    clips and comes before that of their camera. ``begins`` and ``ends`` (camera's clock) limit the lesson in a long
    recording; ``keep_recordings`` True says that recordings show this pupil alone and may be kept whole.
    """

    pupil: PupilPlan
    held_on: date
    clips: tuple[Path, ...]
    shots: Path | None = None
    mapping: Path | None = None
    pressure: Path | None = None
    pressure_mapping: Path | None = None
    cameras: tuple[CameraPlan, ...] = ()
    camera_setups: tuple[tuple[str, Path], ...] = ()
    player_setups: tuple[tuple[str, Path], ...] = ()
    time_scale: float | None = None
    batches: tuple[BatchPlan, ...] = ()
    place: str = ""
    aim: str = ""
    club: str = ""
    target: str = ""
    ball: str = ""
    aim_measures: tuple[AimMeasure, ...] = ()
    repeatability: tuple[tuple[str, float], ...] = ()
    practice: tuple[str, ...] = ()
    check_alone: str = ""
    begins: time | None = None
    ends: time | None = None
    keep_recordings: bool | None = None
    mat: MatPlan | None = None
