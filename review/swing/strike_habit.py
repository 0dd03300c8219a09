"""Where in its clips a camera has the strike, and how loud: what earlier clips tell of the next."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

_LEAST_CLIPS = 5
_MAD_TO_SD = 1.4826
_LEAST_TIME_SD_S, _LEAST_LEVEL_SD_DB = 0.05, 1.5
_OUTSIDE_CHANCE = 0.05
# What is not the own strike falls anywhere in a clip of some seconds, over some 40 dB; chosen, no source.
_ANY_TIME_S, _ANY_LEVEL_DB = 3.0, 40.0


@dataclass(frozen=True)
class StrikeHabit:
    """Middle and SD of the own strike's time in the clip (presentation seconds) and of its level (dB, full scale)."""

    time_s: float
    time_sd_s: float
    level_db: float
    level_sd_db: float

    def compute_gain(self, time_s: float, level_db: float) -> float:
        """Natural log of how much more often own strikes lie here than other sharp sounds do."""
        gain = 0.0
        for value, middle, sd, anywhere in (
            (time_s, self.time_s, self.time_sd_s, _ANY_TIME_S),
            (level_db, self.level_db, self.level_sd_db, _ANY_LEVEL_DB),
        ):
            if np.isnan(value) or np.isnan(middle):
                continue
            bell = np.exp(-0.5 * ((value - middle) / sd) ** 2) / (sd * np.sqrt(2 * np.pi))
            gain += float(np.log((1 - _OUTSIDE_CHANCE) * bell * anywhere + _OUTSIDE_CHANCE))
        return gain


def learn_habit(times_s: Sequence[float], levels_db: Sequence[float]) -> StrikeHabit | None:
    """Learn a camera's habit from the strikes chosen in its clips; None from fewer than five.

    Parameters
    ----------
    times_s : seconds from each clip's first frame.
    levels_db : level of each, over full scale; NaN where it is not known. Fewer than five tell nothing of the level.

    Notes
    -----
    Median, and SD from the median absolute deviation, so that a few wrong choices do no harm.
    """
    if len(times_s) != len(levels_db):
        raise ValueError(f"as many levels as times are needed, got {len(levels_db)} and {len(times_s)}")
    if len(times_s) < _LEAST_CLIPS:
        return None
    time_s, time_sd_s = _middle_and_sd(times_s, _LEAST_TIME_SD_S)
    known_db = [level for level in levels_db if not np.isnan(level)]
    is_enough = len(known_db) >= _LEAST_CLIPS
    level_db, level_sd_db = _middle_and_sd(known_db, _LEAST_LEVEL_SD_DB) if is_enough else (np.nan, np.nan)
    return StrikeHabit(time_s, time_sd_s, level_db, level_sd_db)


def _middle_and_sd(values: Sequence[float], least: float) -> tuple[float, float]:
    middle = float(np.median(values))
    return middle, max(least, _MAD_TO_SD * float(np.median(np.abs(np.asarray(values) - middle))))
