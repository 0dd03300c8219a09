"""How far one reading errs, from the same shots read twice."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy.special import chdtri

MIN_SHOTS = 5


@dataclass(frozen=True)
class TypicalError:
    """Typical error of one reading, one standard deviation in the measure's unit, with its 95 % interval.

    ``shift`` is how much more the second reading shows on average; a shift common to all shots is no part of the
    error, and cancels in a difference between two batches.
    """

    n: int
    sd: float
    low: float
    high: float
    shift: float


def compute_typical_error(first: Sequence[float], second: Sequence[float]) -> TypicalError:
    """Compute the typical error from the same shots read twice: SD of the differences / sqrt 2.

    Parameters
    ----------
    first, second : the readings of the same shots in the same order, at least five.

    Raises
    ------
    ValueError
        When the counts differ, there are fewer than five, or a value is not finite.

    References
    ----------
    W. G. Hopkins (2000), Measures of reliability in sports medicine and science, Sports Med. 30:1-15; interval from
    chi-square with n - 1 degrees of freedom.
    """
    x, y = np.asarray(first, dtype=np.float64), np.asarray(second, dtype=np.float64)
    if x.shape != y.shape or x.ndim != 1 or len(x) < MIN_SHOTS:
        raise ValueError(f"expected the same {MIN_SHOTS} shots or more twice, got {x.size} and {y.size}")
    if not np.all(np.isfinite(x)) or not np.all(np.isfinite(y)):
        raise ValueError("every value must be finite")
    difference = y - x
    df = len(x) - 1
    sd = float(difference.std(ddof=1)) / math.sqrt(2)
    # chdtri takes the part above
    low, high = (sd * math.sqrt(df / float(chdtri(df, part))) for part in (0.025, 0.975))
    return TypicalError(len(x), sd, low, high, float(difference.mean()))
