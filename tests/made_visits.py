"""Made-up pupils of many visits with known truth: one measure in units of its swing-to-swing standard deviation."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np

from review.compare.cues import CueWorked, rank_cues
from review.compare.over_visits import Visit, gather_visits, list_given
from review.lesson import AimMeasure, Batch, Handedness, Lesson, Shot, Swing

PATH = ("club_path_deg", "")
TYPICAL_ERROR = 0.05


@dataclass(frozen=True)
class TrueVisit:
    """True means of the batches, and the cue given before each but the first."""

    means: tuple[float, ...]
    cues: tuple[str, ...] = ()


def play(
    visits: Sequence[TrueVisit], random: np.random.Generator, n_shots: int = 6, day_sd: float = 0.0
) -> tuple[Visit, ...]:
    """Let a pupil hit them; ``day_sd`` is how far the whole visit lies off by itself, which nobody knows of."""
    taught = []
    for number, visit in enumerate(visits, start=1):
        off = random.normal(0, day_sd) if day_sd else 0.0
        cues = ("", *visit.cues) + ("",) * len(visit.means)
        batches = tuple(Batch(f"{number}-{n}", n, None, cues[n - 1]) for n in range(1, len(visit.means) + 1))
        swings = []
        for batch, mean in zip(batches, visit.means, strict=True):
            for value in random.normal(mean + off, 1, n_shots):
                order = len(swings) + 1
                shot = Shot(f"{number}.{order}", order, "t", {"club_path_deg": float(value)})
                swings.append(Swing(f"{number}.{order}", order, shot=shot, batch_id=batch.id))
        lesson = Lesson(
            f"{number}",
            "p",
            date(2020, 1, 1) + timedelta(days=60 * number),
            aim_measures=(AimMeasure("club_path_deg"),),
            repeatability=(("club_path_deg", TYPICAL_ERROR),),
            batches=batches,
        )
        taught.append((lesson, tuple(swings)))
    return gather_visits(taught, {}, PATH, Handedness.RIGHT)


def rank(visits: Sequence[Visit], wanted: int = 0) -> tuple[CueWorked, ...]:
    """The cues of these visits by how surely they moved it."""
    return rank_cues(list_given(visits)[0], wanted)
