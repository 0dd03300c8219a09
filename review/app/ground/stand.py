"""Where the pupil first stands still on a mat of which nobody told where the feet are."""

from collections import deque
from dataclasses import dataclass, field

import numpy as np

_STILL_S, _LOOKED_AT_S = 1.0, 2.0
_STILL_CM = 1.0
"""Quiet standing sways less within a second; common practice, no source."""
_MOST = 4000


@dataclass
class Stand:
    """Takes in places until they have been the same, within a centimetre, for a second."""

    _places: deque[tuple[float, float, float]] = field(default_factory=lambda: deque(maxlen=_MOST), repr=False)

    def take(self, x_cm: float, y_cm: float, now_s: float) -> None:
        """Take in a place; NaN is nobody, then it begins anew."""
        if np.isnan(x_cm):
            self._places.clear()
            return
        self._places.append((now_s, x_cm, y_cm))
        while now_s - self._places[0][0] > _LOOKED_AT_S:
            self._places.popleft()

    def find(self) -> tuple[float, float] | None:
        """Where the pupil stands still, None while not."""
        if not self._places or self._places[-1][0] - self._places[0][0] < _STILL_S:
            return None
        xy = np.array(self._places)[:, 1:]
        middle = xy.mean(axis=0)
        if np.hypot(*(xy - middle).T).max() > _STILL_CM:
            return None
        return float(middle[0]), float(middle[1])
