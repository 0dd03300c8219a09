"""Files that play part of the swing slower than the rest, told by the spacing of their frames."""

from dataclasses import dataclass

import numpy as np

from review.lesson import FloatArray

_LEAST_FACTOR = 1.8
_LEAST_STEPS = 12
# Of the steps of a stretch so many are this even; a camera that leaves out frames in poor light is not.
_EVEN_SHARE, _EVEN_WITHIN = 0.8, 0.25


@dataclass(frozen=True)
class RateChange:
    """Where a file goes over to another frame rate for good: presentation time, frames a second before and after."""

    time_s: float
    before_hz: float
    after_hz: float


def find_rate_change(time_s: FloatArray) -> RateChange | None:
    """Find the first lasting jump of the frame rate, by a factor of 1.8 or more.

    A part that is played slower keeps its frames, so they lie farther apart. Single frames that are missing, uneven
    steps and a rate that wanders are no jump. A file whose slow part was filled up to an even rate shows none.

    Parameters
    ----------
    time_s : (n,) presentation times of all frames, seconds, increasing.
    """
    steps = np.diff(time_s)
    if len(steps) < 2 * _LEAST_STEPS:
        return None
    windows = np.lib.stride_tricks.sliding_window_view(steps, _LEAST_STEPS)
    middle = np.median(windows, axis=1)
    is_even = (np.abs(windows / middle[:, None] - 1.0) <= _EVEN_WITHIN).mean(axis=1) >= _EVEN_SHARE
    before, after = middle[:-_LEAST_STEPS], middle[_LEAST_STEPS:]
    factor = np.maximum(after / before, before / after)
    jumps = np.flatnonzero((factor >= _LEAST_FACTOR) & is_even[:-_LEAST_STEPS] & is_even[_LEAST_STEPS:])
    if not len(jumps):
        return None
    # windows that reach over the jump have the same medians; their means tell where it is
    near = jumps[jumps < jumps[0] + _LEAST_STEPS]
    mean = windows.mean(axis=1)
    first = int(near[np.argmax(np.abs(np.log(mean[near + _LEAST_STEPS] / mean[near])))])
    return RateChange(float(time_s[first + _LEAST_STEPS]), float(1.0 / before[first]), float(1.0 / after[first]))
