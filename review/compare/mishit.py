"""One shot that carries the mean of its batch."""

from dataclasses import dataclass

import numpy as np
from scipy.special import stdtr

from review.compare.statistics import Values, compute_variance

MIN_FOR_MISHIT = 4
NOTABLE_P = 0.05
_NOTABLE_SHARE = 0.25
"""Of the difference: less than a quarter of it hardly changes what a coach says."""


@dataclass(frozen=True)
class Carrier:
    """The shot that stands out most.

    ``is_in_last`` and ``place`` (from 0) say which it is; ``p`` how often the odd one of a batch of
    normal values lies so far out; ``difference_without`` is last minus first without it.
    """

    is_in_last: bool
    place: int
    p: float
    difference: float
    difference_without: float

    @property
    def is_notable(self) -> bool:
        """Whether it stands out and the difference hangs on it."""
        larger = max(abs(self.difference), abs(self.difference_without))
        hangs = abs(self.difference - self.difference_without) >= _NOTABLE_SHARE * larger
        return self.p < NOTABLE_P and hangs and larger > 0


def find_carrier(first: Values, last: Values) -> Carrier | None:
    """Find the shot that lies farthest from the rest of its batch.

    Returns
    -------
    Carrier or None
        None where no batch has four values and a spread.

    References
    ----------
    F. E. Grubbs (1950), Sample criteria for testing outlying observations, Ann. Math. Stat. 21:27-58: the distance from
    the mean of the others in their standard deviations is Student's t, times n for the choice of the farthest.
    """
    found: list[Carrier] = []
    means = float(np.mean(first)) if len(first) else 0.0, float(np.mean(last)) if len(last) else 0.0
    for is_in_last, values in ((False, first), (True, last)):
        if len(values) < MIN_FOR_MISHIT or np.ptp(values) == 0:
            continue
        place, p, without = _farthest(np.asarray(values, dtype=np.float64))
        new = without - means[0] if is_in_last else means[1] - without
        found.append(Carrier(is_in_last, place, p, means[1] - means[0], new))
    # of two that stand out the one that moves the difference more
    return min(found, key=lambda c: (not c.is_notable, c.p if not c.is_notable else -_moved(c)), default=None)


def _moved(carrier: Carrier) -> float:
    return abs(carrier.difference - carrier.difference_without)


def _farthest(values: np.ndarray) -> tuple[int, float, float]:
    """Place, p and the mean of the others."""
    n = len(values)
    place = int(np.argmax(np.abs(values - values.mean())))
    others = np.delete(values, place)
    mean, sd = float(others.mean()), compute_variance(others) ** 0.5
    away = abs(values[place] - mean)
    if sd == 0:
        return place, 0.0, mean
    t = away / (sd * (1 + 1 / (n - 1)) ** 0.5)
    return place, min(1.0, n * 2 * float(stdtr(n - 2, -t))), mean
