"""Where on the face a batch was struck: middle, scatter, spread ellipse, distance of the middle from the centre.

Across: + toward the toe, up: + high, millimetres from the centre of the face.
"""

import math
from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from scipy.stats import chi2, f

from review.lesson.swings import FloatArray, Shot

ELLIPSE_SHARES = (0.68, 0.95)
"""Parts of the strikes that the two ellipses hold."""
_N_DIRECTIONS = 720


@dataclass(frozen=True)
class Ellipse:
    """An ellipse about the mean strike that holds ``share`` of all strikes, were they normally spread.

    ``half_long_mm`` and ``half_short_mm`` are its half axes. ``angle_deg`` is how far the long axis is turned from
    toward-the-toe to high, in (-90, 90]. Drawn with the toe to the right it turns counter-clockwise.
    """

    share: float
    half_long_mm: float
    half_short_mm: float
    angle_deg: float


@dataclass(frozen=True)
class StrikePattern:
    """The strikes of a batch.

    Scatters are standard deviations (n - 1). ``distance_mm`` is how far the mean strike lies from the centre of the
    face, ``distance_low_mm``..``distance_high_mm`` its interval, which holds the true distance in at least 95 of 100
    batches. Scatters are NaN for one strike; ellipses are absent, and the interval NaN, below three.
    """

    n: int
    mean_across_mm: float
    mean_up_mm: float
    sd_across_mm: float
    sd_up_mm: float
    ellipses: tuple[Ellipse, ...]
    distance_mm: float
    distance_low_mm: float
    distance_high_mm: float


def gather_strikes(shots: Iterable[Shot]) -> FloatArray:
    """Gather the strikes (n, 2), across and up in mm, of the shots that have both."""
    names = ("strike_across_mm", "strike_up_mm")
    rows = [[shot.values.get(name, math.nan) for name in names] for shot in shots]
    strikes = np.array(rows, dtype=float).reshape(-1, 2)
    return strikes[np.all(np.isfinite(strikes), axis=1)]


def compute_strike_pattern(strikes: FloatArray) -> StrikePattern | None:
    """Compute the pattern of strikes (n, 2), across and up in mm; None where there is none.

    Notes
    -----
    The half axes are the roots of (eigenvalue of the covariance x chi-square quantile with 2 degrees of freedom): as
    though mean and covariance were known, so with few strikes the next ones fall outside more often than stated.
    The interval of the distance runs from the nearest to the farthest point of Hotelling's 95 % region of the mean
    (F with 2 and n - 2 degrees of freedom); a region that holds the centre has 0 as its low end.

    Raises
    ------
    ValueError
        The array is not (n, 2) or holds a number that is not finite.
    """
    if strikes.ndim != 2 or strikes.shape[1] != 2 or not np.all(np.isfinite(strikes)):
        raise ValueError(f"strikes must be finite and have shape (n, 2), got {strikes.shape}")
    n = len(strikes)
    if n == 0:
        return None
    mean = strikes.mean(axis=0)
    sds = strikes.std(axis=0, ddof=1) if n > 1 else np.full(2, np.nan)
    ellipses: tuple[Ellipse, ...] = ()
    low = high = math.nan
    if n > 2:
        covariance = np.cov(strikes, rowvar=False)
        ellipses = tuple(_compute_ellipse(covariance, share) for share in ELLIPSE_SHARES)
        low, high = _compute_distance_interval(mean, covariance, n)
    return StrikePattern(
        n=n,
        mean_across_mm=float(mean[0]),
        mean_up_mm=float(mean[1]),
        sd_across_mm=float(sds[0]),
        sd_up_mm=float(sds[1]),
        ellipses=ellipses,
        distance_mm=float(np.hypot(*mean)),
        distance_low_mm=low,
        distance_high_mm=high,
    )


def _axes_of(covariance: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Standard deviations along the axes, short then long, and the axes as columns."""
    variances, axes = np.linalg.eigh(covariance)
    return np.sqrt(np.maximum(variances, 0.0)), axes


def _compute_ellipse(covariance: FloatArray, share: float) -> Ellipse:
    (short, long), axes = _axes_of(covariance)
    scale = math.sqrt(chi2.ppf(share, 2))
    angle = math.degrees(math.atan2(axes[1, 1], axes[0, 1]))
    half_turn = angle - 180.0 if angle > 90.0 else angle + 180.0 if angle <= -90.0 else angle
    return Ellipse(share, float(long * scale), float(short * scale), half_turn)


def _compute_distance_interval(mean: FloatArray, covariance: FloatArray, n: int) -> tuple[float, float]:
    sds, axes = _axes_of(covariance / n)
    half_axes = sds * math.sqrt(2 * (n - 1) / (n - 2) * f.ppf(0.95, 2, n - 2))
    turn = np.linspace(0.0, 2 * math.pi, _N_DIRECTIONS, endpoint=False)
    edge = mean[:, None] + axes @ (half_axes[:, None] * np.stack([np.cos(turn), np.sin(turn)]))
    distances = np.hypot(*edge)
    along = axes.T @ mean
    holds_centre = np.all(half_axes > 0) and np.sum((along / np.maximum(half_axes, 1e-300)) ** 2) <= 1.0
    return 0.0 if holds_centre else float(distances.min()), float(distances.max())
