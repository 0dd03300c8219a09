"""Made-up libraries of pupils who came back over the years, made through the library's own functions."""

from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import date, timedelta
from pathlib import Path

import numpy as np

from review.lesson import AimMeasure, Batch, Handedness, Lesson, Measure, Pupil, Shot, Swing
from review.library import Library

BELT, POCKET = "turn the belt first", "left pocket goes back"
QUIET, LATE = "quiet hands", "hands wait"


@dataclass(frozen=True)
class MadeBatch:
    """True means of a batch: club path in degrees, hip turn at impact in degrees."""

    path_deg: float
    hips_deg: float
    cue: str = ""
    feel: str = ""
    n: int = 6
    club: str = "6-iron"


@dataclass(frozen=True)
class MadeVisit:
    """A lesson with its batches."""

    held_on: date
    batches: tuple[MadeBatch, ...]
    aim: str = "path less in-to-out"
    aim_measures: tuple[AimMeasure, ...] = field(
        default=(AimMeasure("club_path_deg"), AimMeasure("hip_turn_deg", "impact"))
    )


FIVE_VISITS = (
    MadeVisit(
        date(2024, 3, 14),
        (MadeBatch(6.2, 18), MadeBatch(5.6, 20, QUIET, LATE), MadeBatch(2.2, 33, BELT, POCKET)),
    ),
    MadeVisit(date(2024, 6, 3), (MadeBatch(2.4, 31), MadeBatch(2.0, 33, QUIET))),
    MadeVisit(date(2024, 11, 9), (MadeBatch(6.0, 19), MadeBatch(2.6, 30, BELT, POCKET), MadeBatch(1.8, 34, BELT))),
    MadeVisit(
        date(2025, 4, 20), (MadeBatch(3.9, 26), MadeBatch(3.7, 27, QUIET), MadeBatch(1.4, 35, BELT, "belt leads"))
    ),
    MadeVisit(date(2026, 2, 8), (MadeBatch(1.6, 34), MadeBatch(1.5, 34, "slower back"))),
)
"""What moved at the first visit has held at the second, come back at the third; half of that at the fourth; held."""


def add_years(
    library: Library,
    visits: tuple[MadeVisit, ...] = FIVE_VISITS,
    pupil: Pupil | None = None,
    seed: int = 9,
    note: str = "",
) -> Pupil:
    """Add a pupil with these visits; shots scatter by 0.7 degrees of path, hips by 3 with an error of each set-up."""
    random = np.random.default_rng(seed)
    pupil = pupil or Pupil("years", "Jonas Made-Up", Handedness.RIGHT, private_note=note)
    library.add_pupil(pupil)
    for number, visit in enumerate(visits, start=1):
        lesson_id = f"{pupil.id}-{number}"
        batches = tuple(
            Batch(f"{lesson_id}-{n}", n, None, made.cue, made.feel, made.club)
            for n, made in enumerate(visit.batches, start=1)
        )
        library.add_lesson(
            Lesson(
                lesson_id,
                pupil.id,
                visit.held_on,
                aim=visit.aim,
                aim_measures=visit.aim_measures,
                repeatability=(("club_path_deg", 0.4), ("hip_turn_deg", 2.0)),
                batches=batches,
            )
        )
        off_deg = float(random.normal(0, 4))
        shots, swings, body = [], [], {}
        for batch, made in zip(batches, visit.batches, strict=True):
            for _ in range(made.n):
                order = len(swings) + 1
                values = {
                    "club_path_deg": round(float(random.normal(made.path_deg, 0.7)), 1),
                    "club_speed_mph": round(float(random.normal(84, 1)), 1),
                }
                shot = Shot(f"{lesson_id}-{order}", order, "range.csv", values, club=made.club)
                shots.append(shot)
                swings.append(Swing(f"{lesson_id}-s{order}", order, shot=shot, batch_id=batch.id))
                hips = float(random.normal(made.hips_deg, 3)) + off_deg
                body[swings[-1].id] = Measure(
                    "hip_turn_deg", hips, "impact", hips - 9, hips + 9, 3.0, 4.0, f"camera {number}"
                )
        library.add_shots(lesson_id, shots)
        library.replace_swings(lesson_id, swings)
        for swing_id, measure in body.items():
            library.set_measures(swing_id, [measure], "body 1 thorough")
    return pupil


def make_years_library(folder: Path) -> Path:
    """A library with the pupil of five visits."""
    with Library.open(folder) as library:
        add_years(library)
    return folder


def add_many(
    library: Library,
    n_pupils: int,
    n_lessons: int = 10,
    n_batches: int = 3,
    n_shots: int = 10,
    tell: Callable[[int], None] = lambda _: None,
) -> None:
    """Add many pupils at once for measuring speed: shots, two measures of the body each, cues, feels and notes."""
    random = np.random.default_rng(4)
    words = np.array([f"{a}{b}" for a in ("bel", "poc", "hip", "arm", "knee", "slo", "wri", "tur") for b in "abcdefgh"])
    for p in range(n_pupils):
        if p % 100 == 0:
            tell(p)
        with library.transaction():
            visits = tuple(
                MadeVisit(
                    date(2016, 1, 1) + timedelta(days=90 * v + p % 80),
                    tuple(
                        MadeBatch(
                            float(random.normal(4 - b, 1)),
                            20 + 5 * b,
                            " ".join(random.choice(words, 4)) if b else "",
                            " ".join(random.choice(words, 5)) if b else "",
                            n_shots,
                        )
                        for b in range(n_batches)
                    ),
                    " ".join(random.choice(words, 3)),
                )
                for v in range(n_lessons)
            )
            pupil = Pupil(
                f"p{p:05d}", f"Pupil {p:05d}", Handedness.RIGHT, private_note=" ".join(random.choice(words, 6))
            )
            add_years(library, visits, pupil, seed=p)
