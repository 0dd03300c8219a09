"""How one clock runs against another: an offset and a drift, as a robust line through pairs of moments."""

from dataclasses import dataclass, replace

import numpy as np
from scipy.optimize import least_squares

from review.lesson import FloatArray

DRIFT_SD_PPM = 30.0
"""Clocks of consumer devices run fast or slow by 10 to 50 millionths (common practice, no source)."""
_HUBER_SD = 1.345


@dataclass(frozen=True)
class Clock:
    """The camera's time of a device's time: ``t + offset_s + drift_ppm * 1e-6 * (t - middle_s)``.

    ``middle_s`` is the device's time at which the offset holds; the spreads are SD of what the pairs leave possible.
    """

    offset_s: float
    drift_ppm: float = 0.0
    middle_s: float = 0.0
    offset_spread_s: float = 0.0
    drift_spread_ppm: float = 0.0

    def to_camera_s(self, device_s: FloatArray) -> FloatArray:
        """The camera's times of the device's times (n,)."""
        return device_s + self.offset_s + self.drift_ppm * 1e-6 * (device_s - self.middle_s)

    def to_device_s(self, camera_s: FloatArray) -> FloatArray:
        """The device's times of the camera's times (n,)."""
        drift = self.drift_ppm * 1e-6
        return (camera_s - self.offset_s + drift * self.middle_s) / (1.0 + drift)

    def to_camera(self, device_s: float) -> float:
        """``to_camera_s`` of one moment."""
        return float(self.to_camera_s(np.array([device_s]))[0])

    def to_device(self, camera_s: float) -> float:
        """``to_device_s`` of one moment."""
        return float(self.to_device_s(np.array([camera_s]))[0])

    def spread_s(self, device_s: FloatArray) -> FloatArray:
        """SD of ``to_camera_s`` at the device's times (n,)."""
        return np.hypot(self.offset_spread_s, self.drift_spread_ppm * 1e-6 * (device_s - self.middle_s))


def fit_clock(camera_s: FloatArray, device_s: FloatArray, sd_s: FloatArray, start: Clock) -> Clock:
    """Fit offset and drift to pairs of moments.

    Parameters
    ----------
    camera_s, device_s : (n,) the same moments on both clocks, n at least 1.
    sd_s : (n,) SD of their difference, from the rounding of both.
    start : where the fit begins.

    Notes
    -----
    Least squares with Huber's loss (1.345 SD: 95 % efficient for normal errors; Huber 1981, Robust Statistics), in
    which a drift of 30 millionths costs as much as a pair that is off by one SD. The spreads come from the weighted
    normal equations; the drift's says 30 where the pairs say nothing.
    """
    middle = float(np.average(device_s, weights=sd_s**-2.0))
    lever = (device_s - middle) * 1e-6 * DRIFT_SD_PPM
    difference = camera_s - device_s

    def misfit(x: FloatArray) -> FloatArray:
        return np.append((difference - x[0] - x[1] * lever) / sd_s, x[1])

    begin = start.to_camera(middle) - middle
    found = least_squares(misfit, [begin, start.drift_ppm / DRIFT_SD_PPM], loss="huber", f_scale=_HUBER_SD)
    weight = np.minimum(1.0, _HUBER_SD / np.maximum(np.abs(found.fun[:-1]), 1e-9)) * sd_s**-2.0
    normal = np.array(
        [[weight.sum(), (weight * lever).sum()], [(weight * lever).sum(), (weight * lever**2).sum() + 1.0]]
    )
    spread = np.sqrt(np.diag(np.linalg.inv(normal)))
    return replace(
        start,
        offset_s=float(found.x[0]),
        drift_ppm=float(found.x[1]) * DRIFT_SD_PPM,
        middle_s=middle,
        offset_spread_s=float(spread[0]),
        drift_spread_ppm=float(spread[1]) * DRIFT_SD_PPM,
    )
