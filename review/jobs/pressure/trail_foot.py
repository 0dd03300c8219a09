"""What the pictures say of the trail foot beside its pressure: twist, slip and heel-off, by swing and by batch."""

from collections import Counter
from collections.abc import Collection, Sequence
from dataclasses import dataclass

import numpy as np

from review.lesson import Bound, Handedness, Measure
from review.lesson.words import say_value

FOOT = (
    ("trail_foot_twist_deg", "arm level"),
    ("trail_foot_twist_deg", "impact"),
    ("trail_foot_slip_cm", ""),
    ("trail_foot_slip_to_toes_cm", ""),
    ("heel_off_ms", ""),
)
"""Names and key frames, in the order in which they are told."""
_WITH_TWO_VIEWS = "trail_foot_slip_to_toes_cm"
"""Nobody misses it where only one camera was set up."""
_IN_A_SENTENCE = {
    "trail_foot_twist_deg": "{}",
    "trail_foot_slip_cm": "slip {}",
    "trail_foot_slip_to_toes_cm": "slip {}",
    "heel_off_ms": "heel off {}",
}


@dataclass(frozen=True)
class FootMean:
    """Mean of a number of the trail foot over the ``n_swings`` of a batch that have it; unit and sign of ``name``."""

    name: str
    key_frame: str
    mean: float
    n_swings: int


def pick_foot(measures: Collection[Measure]) -> tuple[Measure, ...]:
    """The numbers of the trail foot among a swing's, in the order of ``FOOT``; with those that are missing."""
    by_key = {(m.name, m.key_frame): m for m in measures}
    return tuple(by_key[key] for key in FOOT if key in by_key)


def average_foot(of_swings: Sequence[Collection[Measure]]) -> tuple[FootMean, ...]:
    """Means over the swings that have the number; values only known as a bound are left out."""
    found = []
    for name, key_frame in FOOT:
        values = [
            m.value
            for measures in of_swings
            for m in measures
            if (m.name, m.key_frame) == (name, key_frame) and not m.why_missing and m.bound is Bound.NONE
        ]
        if values:
            found.append(FootMean(name, key_frame, float(np.mean(values)), len(values)))
    return tuple(found)


def find_missing(of_swings: Sequence[Collection[Measure]]) -> tuple[tuple[str, str], ...]:
    """Which numbers no swing has at any key frame, and the reason given most often."""
    found = []
    for name in dict.fromkeys(name for name, _ in FOOT if name != _WITH_TWO_VIEWS):
        named = [m for measures in of_swings for m in measures if m.name == name]
        if named and all(m.why_missing for m in named):
            found.append((name, Counter(m.why_missing for m in named).most_common(1)[0][0]))
    return tuple(found)


def say_foot(means: Sequence[FootMean], handedness: Handedness) -> str:
    """Say them in a row: 'toe turned 4° toward target at arm level, heel off 92 ms before impact'; '' where none is."""
    said = []
    for one in means:
        words = _IN_A_SENTENCE[one.name].format(say_value(one.name, one.mean, handedness))
        said.append(f"{words} at {one.key_frame}" if one.key_frame else words)
    return ", ".join(said)
