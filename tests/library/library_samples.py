"""A small made-up lesson for the tests of the library."""

from datetime import date, datetime
from typing import Any

import numpy as np

from review.lesson import AimMeasure, Batch, Clip, Handedness, Lesson, Measure, Pupil, Shot, Swing, Trace
from review.library import Library


def pupil(id: str = "p1", name: str = "Test Pupil", **more: Any) -> Pupil:
    return Pupil(id, name, Handedness.RIGHT, **more)


def lesson(id: str = "l1", pupil_id: str = "p1", held_on: date = date(2026, 3, 14), **more: Any) -> Lesson:
    values: dict[str, Any] = {
        "place": "bay 2",
        "aim": "hips open sooner",
        "aim_measures": (AimMeasure("hip_turn_deg", "impact"), AimMeasure("club_path_deg")),
        "repeatability": (("club_path_deg", 0.8),),
        "batches": (
            Batch(f"{id}-1", 1, datetime(2026, 3, 14, 10, 0, 0), "", "", "6-iron"),
            Batch(f"{id}-2", 2, None, "turn the belt", "left pocket back", "6-iron", False),
        ),
        "practice_plan": ("ten slow ones", "ten with a ball"),
        "check_alone": "look where the belt points",
    }
    return Lesson(id, pupil_id, held_on, **(values | more))


def clip(id: str, sha256: str = "", **more: Any) -> Clip:
    values: dict[str, Any] = {
        "captured_at": datetime(2026, 3, 14, 10, 1, 2, 500000),
        "duration_s": 2.5,
        "n_frames": 150,
    }
    content = sha256 or f"{id:0>64}"
    return Clip(id, content, f"clips/{content}.mp4", f"{id}.mp4", **(values | more))


def shot(id: str, row_number: int) -> Shot:
    return Shot(
        id,
        row_number,
        "range.csv",
        {"club_path_deg": 6.1, "carry_yd": 151.25},
        {"note": "ünder the ball"},
        datetime(2026, 3, 14, 10, 1, row_number),
        0.001,
        "6-iron",
    )


def trace(id: str) -> Trace:
    time_s = np.linspace(0.0, 1.0, 11)
    return Trace(id, datetime(2026, 3, 14, 10, 1, 0), time_s, np.stack([time_s, -time_s], 1), 700 + time_s)


def swing(id: str, order: int, **more: Any) -> Swing:
    return Swing(id, order, **more)


def measure() -> Measure:
    return Measure("hip_turn_deg", 33.0, "impact", 25.0, 41.0, 3.0, 4.0, "set-up 1")


def fill(library: Library) -> None:
    """One pupil with one lesson of two batches."""
    library.add_pupil(pupil())
    library.add_lesson(lesson())
