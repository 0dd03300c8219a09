"""One measure over the frames of a clip, with its interval in two parts."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from review.lesson import Z90, FloatArray


@dataclass(frozen=True, eq=False)
class Series:
    """One measure over time; row i of every array is frame i.

    value : (n,) in the measure's unit; NaN = not measured on that frame.
    own_sd : (n,) error that differs from swing to swing, one standard deviation.
    shared_sd : (n,) error shared by all swings of this player and camera set-up.
    is_bound : (n,) True where the value is the least that can be said.
    """

    time_s: FloatArray
    value: FloatArray
    own_sd: FloatArray
    shared_sd: FloatArray
    is_bound: NDArray[np.bool_]

    def __post_init__(self) -> None:
        n = len(self.time_s)
        for name in ("value", "own_sd", "shared_sd", "is_bound"):
            got = getattr(self, name).shape
            if got != (n,):
                raise ValueError(f"{name} must have shape {(n,)}, got {got}")

    @property
    def half_width(self) -> FloatArray:
        """(n,) half the 90 % interval."""
        return Z90 * np.hypot(self.own_sd, self.shared_sd)

    @property
    def low(self) -> FloatArray:
        """(n,) lower end of the 90 % interval."""
        return self.value - self.half_width

    @property
    def high(self) -> FloatArray:
        """(n,) upper end of the 90 % interval."""
        return self.value + self.half_width

    def value_at(self, time_s: float) -> float:
        """Value at a presentation time: between two frames on the straight line, beside a gap or a bound the nearer."""
        right = int(np.clip(np.searchsorted(self.time_s, time_s), 1, max(1, len(self.time_s) - 1)))
        around = slice(right - 1, right + 1)
        if self.is_bound[around].any() or not np.isfinite(self.value[around]).all():
            return float(self.value[self.at(time_s)])
        return float(np.interp(time_s, self.time_s[around], self.value[around]))

    def at(self, time_s: float) -> int:
        """Index of the frame nearest to a presentation time."""
        return int(np.argmin(np.abs(self.time_s - time_s)))
