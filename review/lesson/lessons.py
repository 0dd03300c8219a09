"""The lesson and its batches."""

from dataclasses import dataclass
from datetime import date, datetime


@dataclass(frozen=True)
class Batch:
    """Consecutive shots with one intention: a cue (asked for), a feel (reported), a club, a target and a ball.

    ``started_at`` is the device's clock, naive local time. A batch is open until it is closed.
    """

    id: str
    number: int
    started_at: datetime | None = None
    cue: str = ""
    feel: str = ""
    club: str = ""
    is_closed: bool = True
    target: str = ""
    ball: str = ""

    def __post_init__(self) -> None:
        if self.number < 1:
            raise ValueError(f"batches count from 1, got {self.number}")


@dataclass(frozen=True)
class AimMeasure:
    """One of the few measures a lesson is about, at a key frame where that makes sense."""

    name: str
    key_frame: str = ""


@dataclass(frozen=True)
class Lesson:
    """One visit. ``aim`` is prose, ``aim_measures`` the measures it is about.

    ``repeatability`` maps a measure name to its known typical error (one standard deviation, in the
    measure's unit) as the device states it or the coach has tested it. ``practice_plan`` are the
    coach's own lines for the pupil, ``check_alone`` how the pupil can check it without the coach.
    """

    id: str
    pupil_id: str
    held_on: date
    place: str = ""
    aim: str = ""
    aim_measures: tuple[AimMeasure, ...] = ()
    repeatability: tuple[tuple[str, float], ...] = ()
    batches: tuple[Batch, ...] = ()
    practice_plan: tuple[str, ...] = ()
    check_alone: str = ""
