"""What a lesson's pressure traces say, for the screen, a file or a picture."""

from collections.abc import Collection, Mapping
from pathlib import Path
from typing import Any

import numpy as np

from review.charts import PHONE, Canvas, PressurePicture, draw_pressure_picture, write_drawing
from review.jobs.pressure.batch_means import average_pressure
from review.jobs.pressure.doubts import DOUBTFUL, tell_set_right
from review.jobs.pressure.means import average_ways, is_impact_known
from review.jobs.pressure.measuring import LessonPressure, SwingPressure
from review.jobs.pressure.trail_foot import FootMean, average_foot, find_missing, pick_foot, say_foot
from review.lesson import KINDS, Batch, Handedness, Lesson, Measure, Pupil
from review.pressure import BOTH_WAYS, MatPlacement, say_patterns, tell_pattern

NOT_PLACED = "How the mat lies is not known."
_NOT_KNOWN = "what it does before impact is not known"
_NOT_TOLD = "what it does before impact is not told"

Body = Mapping[str, Collection[Measure]]
"""A lesson's kept measures by swing."""


def group_by_batch(lesson: Lesson, read: LessonPressure) -> list[tuple[Batch, list[SwingPressure]]]:
    """The swings that count by batch, in order; batches without a trace are left out."""
    grouped = [
        (batch, [one for one in read.swings if one.swing.batch_id == batch.id and not one.swing.left_out])
        for batch in lesson.batches
    ]
    return [(batch, swings) for batch, swings in grouped if swings]


def tell_batch(swings: list[SwingPressure]) -> str:
    """What the pressure does in a batch, in plain words, or how badly impact is known; '' where nothing is known."""
    patterns = [tell_pattern(one.measures) for one in swings]
    if any(patterns) and not is_impact_known(swings):
        return f"the moment of impact is known to {max(one.placed.within_s for one in swings):.2f} s only"
    return say_patterns(patterns)


def is_told(swings: list[SwingPressure]) -> bool:
    """Whether it is told which way the pressure goes before impact."""
    return bool(tell_batch(swings)) and is_impact_known(swings)


def tell_mat(read: LessonPressure) -> str:
    """What the steps set right; '' where nothing, or where the mat is in doubt."""
    return "" if read.doubt else tell_set_right(read.mat, n_traces=len(read.swings))


def average_feet(swings: list[SwingPressure], body: Body) -> tuple[FootMean, ...]:
    """What the pictures say of the trail foot in a batch."""
    return average_foot([body.get(one.swing.id, ()) for one in swings])


def find_missing_feet(swings: list[SwingPressure], body: Body) -> tuple[tuple[str, str], ...]:
    """What the pictures cannot say of the trail foot in a batch, and why."""
    return find_missing([body.get(one.swing.id, ()) for one in swings])


def make_pressure_report(lesson: Lesson, read: LessonPressure, body: Body) -> dict[str, Any]:
    """Everything read of a lesson's traces, and of the trail foot beside them, for a file; None where not known."""
    return {
        "lesson": {"id": lesson.id, "date": str(lesson.held_on)},
        "mat": None if read.mat is None else _report_mat(read.mat.placement),
        "doubt": read.doubt,
        "note": tell_mat(read),
        "batches": [
            {
                "number": batch.number,
                "pattern": tell_batch(swings),
                "means": [
                    {"name": m.name, "key_frame": m.key_frame, "mean": m.mean, "half_90": m.half, "swings": m.n_swings}
                    for m in average_pressure(swings)
                ],
                "trail_foot_means": [
                    {"name": m.name, "key_frame": m.key_frame, "mean": m.mean, "unit": _unit(m), "swings": m.n_swings}
                    for m in average_feet(swings, body)
                ],
                "trail_foot_missing": dict(find_missing_feet(swings, body)),
            }
            for batch, swings in group_by_batch(lesson, read)
        ],
        "swings": [_report_swing(one, body) for one in read.swings],
        "not_read": {str(order): why for order, why in read.problems.items()},
    }


def draw_pressure(
    lesson: Lesson, pupil: Pupil, read: LessonPressure, body: Body, to: Path, canvas: Canvas = PHONE
) -> Path:
    """Draw the mean ways of the first and last batch into a folder.

    Raises
    ------
    BadInputError
        No batch has a way to draw.
    MachineError
        The picture could not be written.
    """
    to.mkdir(parents=True, exist_ok=True)
    path = to / "pressure.png"
    write_drawing(draw_pressure_picture(picture_pressure(lesson, pupil, read, body), canvas), path)
    return path


def picture_pressure(lesson: Lesson, pupil: Pupil, read: LessonPressure, body: Body | None = None) -> PressurePicture:
    """The picture of first and last batch, not yet drawn; with ``body`` what each does and its trail foot in words."""
    grouped = group_by_batch(lesson, read)
    ways = [way for batch, swings in grouped if (way := average_ways(batch.number, swings))]
    shown = ways if len(ways) < 2 else [ways[0], ways[-1]]
    mat = read.mat
    has_angle = mat is not None and mat.placement.has_angle
    is_known = has_angle and not read.doubt
    notes = [] if has_angle else [NOT_PLACED, "Drawn in the mat's own axes, without feet."]
    if has_angle and read.doubt:
        notes.append(f"Drawn without feet and target: {DOUBTFUL}.")
    if is_known and any(one.path.placement.is_approximate for one in read.swings):
        notes.append("The feet's place is approximate.")
    said: list[str] = []
    if body is not None:
        said += [read.doubt] if read.doubt else []
        drawn = {way.number for way in shown}
        if any(is_told(swings) for batch, swings in grouped if batch.number in drawn):
            notes.append(BOTH_WAYS)
        for batch, swings in grouped:
            if batch.number in drawn:
                said += _say_batch(batch, swings, body, pupil.handedness, is_doubtful=bool(read.doubt))
    return PressurePicture(
        tuple(shown),
        pupil.handedness,
        _find_stance_cm(read) if is_known else None,
        None if mat is None else mat.lead_flare_deg,
        None if mat is None else mat.trail_flare_deg,
        pupil.stature_m,
        under=f"Lesson of {lesson.held_on}",
        said=said,
        notes=notes,
        is_placed=is_known,
    )


def _find_stance_cm(read: LessonPressure) -> float | None:
    """How wide the player stands on most swings."""
    stances = [one.path.placement.stance_cm for one in read.swings if one.path.placement.stance_cm is not None]
    return float(np.median(stances)) if stances else None


def _say_batch(
    batch: Batch, swings: list[SwingPressure], body: Body, handedness: Handedness, is_doubtful: bool
) -> list[str]:
    foot = say_foot(average_feet(swings, body), handedness)
    told = tell_batch(swings) or (_NOT_TOLD if is_doubtful else _NOT_KNOWN)
    said = [f"Batch {batch.number}: {told}."]
    return said + ([f"Its trail foot: {foot}."] if foot else [])


def _report_mat(mat: MatPlacement) -> dict[str, Any]:
    return {
        "angle_deg": mat.angle_deg if mat.has_angle else None,
        "mirrored": mat.is_mirrored if mat.has_angle else None,
        "origin_cm": _report_origin(mat),
        "stance_cm": mat.stance_cm,
        "approximate": mat.is_approximate,
    }


def _report_origin(mat: MatPlacement) -> list[float] | None:
    return list(mat.origin_cm) if mat.has_origin else None


def _report_swing(one: SwingPressure, body: Body) -> dict[str, Any]:
    pattern = tell_pattern(one.measures)
    return {
        "swing": one.swing.order,
        "placed_by": one.placed.by,
        "approximate": one.path.placement.is_approximate,
        "placed_within_s": one.placed.within_s,
        "impact_in_trace_s": one.placed.impact_s,
        "key_frames_s": one.moments_s,
        "origin_cm": _report_origin(one.path.placement),
        "stance_cm": one.path.placement.stance_cm,
        "pattern": "" if pattern is None else pattern.value,
        "measures": [_report_measure(m) for m in one.measures],
        "trail_foot": [_report_measure(m) for m in pick_foot(body.get(one.swing.id, ()))],
    }


def _report_measure(m: Measure) -> dict[str, Any]:
    return {
        "name": m.name,
        "key_frame": m.key_frame,
        "value": m.value,
        "low": m.low,
        "high": m.high,
        "unit": _unit(m),
        "bound": m.bound.value,
        "why_missing": m.why_missing,
    }


def _unit(m: Measure | FootMean) -> str:
    return KINDS[m.name].unit.strip()
