"""What a lesson's pressure traces say, for the screen, a file or a picture."""

from pathlib import Path
from typing import Any

from review.charts import PHONE, Canvas, PressurePicture, draw_pressure_picture, write_drawing
from review.jobs.pressure.means import average_ways
from review.jobs.pressure.measuring import LessonPressure, SwingPressure
from review.jobs.pressure.swapped import tell_swapped
from review.lesson import Batch, Lesson, Pupil
from review.pressure import say_patterns, tell_pattern


def group_by_batch(lesson: Lesson, read: LessonPressure) -> list[tuple[Batch, list[SwingPressure]]]:
    """The swings that count by batch, in order; batches without a trace are left out."""
    grouped = [
        (batch, [one for one in read.swings if one.swing.batch_id == batch.id and not one.swing.left_out])
        for batch in lesson.batches
    ]
    return [(batch, swings) for batch, swings in grouped if swings]


def tell_batch(swings: list[SwingPressure]) -> str:
    """What the pressure does in a batch, in plain words; '' where it cannot be told."""
    return say_patterns([tell_pattern(one.measures) for one in swings])


def make_pressure_report(lesson: Lesson, read: LessonPressure) -> dict[str, Any]:
    """Everything read of a lesson's traces, for a file."""
    mat = read.mat
    return {
        "lesson": {"id": lesson.id, "date": str(lesson.held_on)},
        "mat": None
        if mat is None
        else {
            "angle_deg": mat.placement.angle_deg,
            "mirrored": mat.placement.is_mirrored,
            "origin_cm": list(mat.placement.origin_cm),
            "stance_cm": mat.placement.stance_cm,
            "approximate": mat.placement.is_approximate,
        },
        "note": tell_swapped(read),
        "batches": [
            {"number": batch.number, "pattern": tell_batch(swings)} for batch, swings in group_by_batch(lesson, read)
        ],
        "swings": [_report_swing(one) for one in read.swings],
        "not_read": {str(order): why for order, why in read.problems.items()},
    }


def draw_pressure(lesson: Lesson, pupil: Pupil, read: LessonPressure, to: Path, canvas: Canvas = PHONE) -> Path:
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
    write_drawing(draw_pressure_picture(picture_pressure(lesson, pupil, read), canvas), path)
    return path


def picture_pressure(lesson: Lesson, pupil: Pupil, read: LessonPressure) -> PressurePicture:
    """The picture of first and last batch, not yet drawn."""
    ways = [way for batch, swings in group_by_batch(lesson, read) if (way := average_ways(batch.number, swings))]
    shown = ways if len(ways) < 2 else [ways[0], ways[-1]]
    mat = read.mat
    is_known = mat is not None and mat.placement.has_angle
    notes = [] if is_known else ["How the mat lies is not known: drawn in the mat's own axes, without feet."]
    if is_known and any(one.path.placement.is_approximate for one in read.swings):
        notes.append("The feet's place is approximate.")
    return PressurePicture(
        tuple(shown),
        pupil.handedness,
        None if mat is None or not is_known else mat.placement.stance_cm,
        None if mat is None else mat.lead_flare_deg,
        None if mat is None else mat.trail_flare_deg,
        pupil.stature_m,
        f"Lesson of {lesson.held_on}",
        notes,
        is_known,
    )


def _report_swing(one: SwingPressure) -> dict[str, Any]:
    pattern = tell_pattern(one.measures)
    return {
        "swing": one.swing.order,
        "placed_by": one.placed.by,
        "approximate": one.path.placement.is_approximate,
        "placed_within_s": one.placed.within_s,
        "pattern": "" if pattern is None else pattern.value,
        "measures": [
            {
                "name": m.name,
                "key_frame": m.key_frame,
                "value": m.value,
                "low": m.low,
                "high": m.high,
                "unit": m.kind.unit.strip(),
                "why_missing": m.why_missing,
            }
            for m in one.measures
        ],
    }
