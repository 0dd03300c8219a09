"""A trace laid over the swing: places of the pressure in the player's frame at moments around impact."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.signal import butter, sosfiltfilt

from review.lesson import FloatArray
from review.pressure.placement import MatPlacement

_CUT_OFF_HZ = 20.0
"""Of the low-pass on place and force; the pressure in a swing moves well below it (common practice, no source)."""
_LONGEST_GAP_S = 0.06
"""Filled by a straight line; at 5 m/s, about the fastest in Ball & Best 2007, a longer one hides more than a foot."""
_LEAST_FORCE_PART = 0.1
"""Of the usual force: with less nobody stands on the mat, and the place means nothing."""


@dataclass(frozen=True, eq=False)
class PressurePath:
    """Where the pressure is over time, smoothed, on an even grid.

    ``moments_s`` (n,) true seconds after impact; ``xy_cm`` (n, 2) in the player's frame (x toward the target, y toward
    the toes), NaN in gaps; ``force_n`` (n,) total vertical force and ``lead_n`` (n,) the lead foot's, None where not
    measured. ``time_sd_s`` is how exactly the trace is placed in time.
    """

    moments_s: FloatArray
    xy_cm: FloatArray
    placement: MatPlacement
    force_n: FloatArray | None = None
    lead_n: FloatArray | None = None
    time_sd_s: float = 0.0

    def at(self, moment_s: float) -> FloatArray:
        """The place (2,) at a moment; NaN outside the trace or in a gap."""
        return np.array([_read(self.moments_s, self.xy_cm[:, axis], moment_s) for axis in (0, 1)])

    def force_at(self, moment_s: float) -> float:
        """Total vertical force in newtons at a moment; NaN where not known."""
        return np.nan if self.force_n is None else _read(self.moments_s, self.force_n, moment_s)

    def share_at(self, moment_s: float) -> float:
        """The lead foot's part of the vertical force, in percent; NaN where not known."""
        if self.lead_n is None or self.force_n is None:
            return np.nan
        total = self.force_at(moment_s)
        return 100.0 * _read(self.moments_s, self.lead_n, moment_s) / total if total > 0 else np.nan

    def between(self, from_s: float, to_s: float) -> tuple[FloatArray, FloatArray]:
        """Moments (m,) and places (m, 2) from one moment to another, both ends included."""
        inside = (self.moments_s > from_s) & (self.moments_s < to_s)
        moments = np.concatenate([[from_s], self.moments_s[inside], [to_s]])
        return moments, np.vstack([self.at(from_s), self.xy_cm[inside], self.at(to_s)])

    @property
    def velocity_cm_s(self) -> FloatArray:
        """Speed along x and y (n, 2)."""
        velocity: FloatArray = np.gradient(self.xy_cm, self.moments_s, axis=0)
        return velocity


def lay_path(
    moments_s: FloatArray,
    xy_cm: FloatArray,
    placement: MatPlacement,
    force_n: FloatArray | None = None,
    lead_n: FloatArray | None = None,
    time_sd_s: float = 0.0,
) -> PressurePath:
    """Smooth a trace and turn it into the player's frame.

    Parameters
    ----------
    moments_s : (n,) true seconds after impact, increasing; uneven steps and gaps are allowed.
    xy_cm : (n, 2) in the mat's own axes; force_n, lead_n : (n,) newtons or None.

    Returns
    -------
    The path on an even grid of the usual step; nothing is filled in over gaps longer than 0.06 s, or where the force
    is under a tenth of the usual one.

    Raises
    ------
    ValueError
        Fewer than three samples.
    """
    if len(moments_s) < 3:
        raise ValueError("a path needs three samples or more")
    step_s = float(np.median(np.diff(moments_s)))
    grid = np.arange(moments_s[0], moments_s[-1] + step_s / 2, step_s)
    xy = placement.to_player(xy_cm)
    is_good: NDArray[np.bool_] = np.asarray(np.isfinite(xy).all(axis=1), dtype=bool)
    if force_n is not None:
        known = np.nan_to_num(force_n)
        usual = float(np.median(known[known > 0])) if (known > 0).any() else 0.0
        is_good = np.asarray(is_good & (known > _LEAST_FORCE_PART * usual), dtype=bool)
    columns = [_even(moments_s, xy[:, axis], is_good, grid) for axis in (0, 1)]
    forces = [
        None if one is None else _even(moments_s, np.nan_to_num(one), np.isfinite(one), grid)
        for one in (force_n, lead_n)
    ]
    return PressurePath(grid, np.column_stack(columns), placement, forces[0], forces[1], time_sd_s)


def _even(moments_s: FloatArray, values: FloatArray, is_good: NDArray[np.bool_], grid: FloatArray) -> FloatArray:
    """One column on the even grid, low-passed forth and back; NaN in long gaps."""
    there = moments_s[is_good]
    if len(there) < 3:
        return np.full(len(grid), np.nan)
    step_s = float(grid[1] - grid[0])
    even = np.interp(grid, there, values[is_good])
    cut_off = _CUT_OFF_HZ * 2 * step_s
    if cut_off < 0.8 and len(even) > 12:
        even = sosfiltfilt(butter(2, cut_off, output="sos"), even)
    after = np.clip(np.searchsorted(there, grid), 0, len(there) - 1)
    before = np.clip(after - 1, 0, len(there) - 1)
    longest = max(_LONGEST_GAP_S, 2.5 * step_s)
    is_gap = (there[after] - there[before] > longest) & (grid > there[before]) & (grid < there[after])
    is_gap |= (grid < there[0] - step_s) | (grid > there[-1] + step_s)
    result: FloatArray = np.where(is_gap, np.nan, even)
    return result


def _read(moments_s: FloatArray, values: FloatArray, moment_s: float) -> float:
    if not moments_s[0] <= moment_s <= moments_s[-1]:
        return float("nan")
    return float(np.interp(moment_s, moments_s, values))
