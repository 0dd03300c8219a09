"""How the mat lies in a lesson: from the lesson file or three steps on it, kept with the lesson."""

import json
import math
from collections.abc import Callable, Sequence
from dataclasses import asdict, dataclass, fields, replace
from datetime import date, datetime, time
from pathlib import Path
from typing import Any

from review.errors import BadInputError
from review.lesson import Lesson
from review.library import Library
from review.pressure import MatPlacement, PressureRecord, StepTimes, calibrate, find_stand_x_cm

_STEPS = ("stand_still", "weight_on_lead_foot", "weight_on_both_toes")
_NUMBERS = (
    "stance_width_cm",
    "lead_foot_flare_deg",
    "trail_foot_flare_deg",
    "edge_deg",
    "cell_width_cm",
    "cell_depth_cm",
    "rate_hz",
)
_ENDS = tuple(f"{step}_{end}" for step in _STEPS for end in ("from", "to"))
_KNOWN = {*_NUMBERS, "mirrored", "first_sample_at", *_ENDS}
_STANCE_CM = (5.0, 150.0)
_FLARE_DEG = (-30.0, 70.0)
_LARGEST_CELL_CM = 10.0
_RATE_ALIKE, _AVERAGED_ABOVE_HZ = 0.1, 500.0
"""A rate so near is the one expected; of faster long tables means are kept, which have another (``trace_table``)."""
_EDGE_SD_DEG = 2.0
"""Of a stick laid along the mat's edge by eye; common practice, no source."""


@dataclass(frozen=True)
class Mat:
    """A mat under a player, and how the feet stand on it.

    Flares are turned out, toe away from the other foot; None = not known. ``cell_cm`` is as in ``MatPlan``. ``doubt``
    says why the swings on it contradict how it lies; then nothing is told toward the target.
    """

    placement: MatPlacement
    lead_flare_deg: float | None = None
    trail_flare_deg: float | None = None
    cell_cm: tuple[float, float] | None = None
    doubt: str = ""

    @property
    def is_told(self) -> bool:
        """Whether it is known how the mat lies, and nothing speaks against it."""
        return self.placement.has_angle and not self.doubt

    @property
    def stand_x_cm(self) -> float:
        """How far toward the target of midway between the ankles the pressure is when standing still."""
        return find_stand_x_cm(self.lead_flare_deg, self.trail_flare_deg)

    def to_text(self) -> str:
        """The mat as text to be kept."""
        flares = [self.lead_flare_deg, self.trail_flare_deg]
        return json.dumps({**asdict(self.placement), "flares": flares, "cell_cm": self.cell_cm, "doubt": self.doubt})

    @classmethod
    def from_text(cls, text: str) -> "Mat":
        """The mat of its text."""
        kept = json.loads(text)
        lead, trail = kept["flares"]
        placement = {field.name: kept[field.name] for field in fields(MatPlacement) if field.name in kept}
        placement["origin_cm"] = tuple(placement["origin_cm"])
        cell = kept.get("cell_cm")
        cell_cm = None if cell is None else (cell[0], cell[1])
        return cls(MatPlacement(**placement), lead, trail, cell_cm, kept.get("doubt", ""))


@dataclass(frozen=True)
class MatPlan:
    """What a lesson file says of the mat.

    ``steps`` are the clock times of the three steps, first and last moment of each, or None to find them.
    ``edge_deg`` is the direction of the target line in the mat's own axes (from its x toward its y), by a stick along
    the edge; it serves where there is no calibration. ``first_sample_at`` is the clock of the trace's first sample,
    where its file tells none. ``cell_cm`` is width and depth of a cell, where the tables are of a grid of cells.
    ``rate_hz`` is how many samples a second the coach expects.
    """

    calibration: Path | None = None
    stance_cm: float | None = None
    lead_flare_deg: float | None = None
    trail_flare_deg: float | None = None
    steps: tuple[tuple[time, time], ...] | None = None
    edge_deg: float | None = None
    is_mirrored: bool = False
    first_sample_at: time | None = None
    cell_cm: tuple[float, float] | None = None
    rate_hz: float | None = None


def parse_mat(table: dict[str, Any], calibration: Path | None) -> MatPlan | None:
    """Read the part [pressure_mat] of a lesson file; None where nothing is said.

    Raises
    ------
    BadInputError
        A name is unknown, a number is none, or a step has only one end.
    """
    if not table and calibration is None:
        return None
    unknown = sorted(set(table) - _KNOWN)
    if unknown:
        raise BadInputError(f"[pressure_mat] names {unknown[0]!r}. Known: {', '.join(sorted(_KNOWN))}.")
    numbers = {name: _number(table, name) for name in _NUMBERS}
    stance = numbers["stance_width_cm"]
    if stance is not None and not _STANCE_CM[0] <= stance <= _STANCE_CM[1]:
        raise BadInputError(
            f"[pressure_mat] stance_width_cm: expected {_STANCE_CM[0]:g} to {_STANCE_CM[1]:g}, found {stance:g}."
        )
    for name in ("lead_foot_flare_deg", "trail_foot_flare_deg"):
        flare = numbers[name]
        if flare is not None and not _FLARE_DEG[0] <= flare <= _FLARE_DEG[1]:
            raise BadInputError(
                f"[pressure_mat] {name}: expected {_FLARE_DEG[0]:g} to {_FLARE_DEG[1]:g}, found {flare:g}; "
                "0 points straight ahead, + is turned out."
            )
    is_mirrored = table.get("mirrored", False)
    if not isinstance(is_mirrored, bool):
        raise BadInputError(f"[pressure_mat] mirrored: expected true or false, found {is_mirrored!r}.")
    there = [step for step in _STEPS if f"{step}_from" in table or f"{step}_to" in table]
    steps = None
    if there:
        missing = [name for name in _ENDS if name not in table]
        if missing:
            raise BadInputError(f"[pressure_mat] lacks {missing[0]}; give all three steps, or none to have them found.")
        times = [_time(table, name) for name in _ENDS]
        steps = tuple(zip(times[::2], times[1::2], strict=True))
    return MatPlan(
        calibration,
        stance,
        numbers["lead_foot_flare_deg"],
        numbers["trail_foot_flare_deg"],
        steps,
        numbers["edge_deg"],
        is_mirrored,
        _time(table, "first_sample_at") if "first_sample_at" in table else None,
        _cell(numbers["cell_width_cm"], numbers["cell_depth_cm"]),
        numbers["rate_hz"],
    )


def find_mat(plan: MatPlan, held_on: date, read: Callable[[Path], PressureRecord]) -> Mat:
    """Find how the mat lies.

    Parameters
    ----------
    read : reads the table of the three steps.

    Raises
    ------
    BadInputError
        The table of the steps cannot be read, or the steps contradict each other.
    """
    placement = MatPlacement(stance_cm=plan.stance_cm, is_approximate=True, has_angle=False, has_origin=False)
    if plan.calibration is not None:
        record = read(plan.calibration)
        stand_x_cm = find_stand_x_cm(plan.lead_flare_deg, plan.trail_flare_deg)
        placement = calibrate(record, _on_record(plan, record, held_on), plan.stance_cm, stand_x_cm)
    elif plan.edge_deg is not None:
        placement = replace(
            placement,
            angle_deg=plan.edge_deg,
            is_mirrored=plan.is_mirrored,
            angle_sd_deg=_EDGE_SD_DEG,
            has_angle=True,
        )
    return Mat(placement, plan.lead_flare_deg, plan.trail_flare_deg, plan.cell_cm)


def note_rate(plan: MatPlan | None, record: PressureRecord) -> tuple[str, ...]:
    """Say that a trace has another rate than the coach expects; nothing where it has that, or none was told."""
    if plan is None or plan.rate_hz is None or plan.rate_hz > _AVERAGED_ABOVE_HZ or not record.step_s > 0:
        return ()
    found_hz = 1 / record.step_s
    if abs(found_hz - plan.rate_hz) <= _RATE_ALIKE * plan.rate_hz:
        return ()
    return (f"{record.table} has about {found_hz:.0f} samples a second, the lesson file says {plan.rate_hz:g}",)


def load_mat(library: Library, lesson_id: str) -> Mat | None:
    """The mat kept with a lesson; None where none is, or what came with an archive cannot be one."""
    text = library.pressure_mat(lesson_id)
    try:
        return None if text is None else Mat.from_text(text)
    except (ValueError, TypeError, KeyError, IndexError, AttributeError):
        return None


def find_pressure_doubts(library: Library, lessons: Sequence[Lesson]) -> tuple[str, ...]:
    """Why nothing may be told toward the target, of lessons whose mat is in doubt; with their days, of several."""
    doubts = []
    for lesson in lessons:
        mat = load_mat(library, lesson.id)
        if mat is not None and mat.doubt:
            doubts.append(mat.doubt if len(lessons) == 1 else f"Lesson of {lesson.held_on}: {mat.doubt}")
    return tuple(doubts)


def _on_record(plan: MatPlan, record: PressureRecord, held_on: date) -> StepTimes | None:
    if plan.steps is None:
        return None
    if record.started_at is None:
        raise BadInputError(
            f"{record.table}: the steps are given by the clock, but this table has none; leave their times out "
            "to have the three steps found."
        )
    began = record.started_at
    spans = [
        tuple((datetime.combine(held_on, moment) - began).total_seconds() for moment in span) for span in plan.steps
    ]
    return StepTimes(*((span[0], span[1]) for span in spans))


def _cell(width_cm: float | None, depth_cm: float | None) -> tuple[float, float] | None:
    given = [one for one in (width_cm, depth_cm) if one is not None]
    if not given:
        return None
    width, depth = given[0], given[-1]
    if not (0 < width <= _LARGEST_CELL_CM and 0 < depth <= _LARGEST_CELL_CM):
        raise BadInputError(
            f"[pressure_mat] cell_width_cm and cell_depth_cm: expected more than 0 and up to {_LARGEST_CELL_CM:g}, "
            f"found {width:g} and {depth:g}."
        )
    return width, depth


def _number(table: dict[str, Any], name: str) -> float | None:
    value = table.get(name)
    if value is None:
        return None
    if isinstance(value, bool) or not isinstance(value, (int, float)) or not math.isfinite(value):
        raise BadInputError(f"[pressure_mat] {name}: expected a number, found {value!r}.")
    return float(value)


def _time(table: dict[str, Any], name: str) -> time:
    try:
        value = table[name] if isinstance(table[name], time) else time.fromisoformat(str(table[name]))
    except ValueError:
        value = None
    if value is None or value.tzinfo is not None:
        raise BadInputError(f'[pressure_mat] {name}: expected a time such as "10:12:05.68", found {table[name]!r}.')
    return value
