"""One picture laid over another so that the player's feet at address fall together, without Qt."""

import math
from dataclasses import dataclass

import numpy as np

from review.app.language import tr
from review.jobs.showing.pair import are_from_same_side
from review.jobs.showing.swing import ClipShown
from review.lesson import FloatArray, KeyFrameName
from review.pose.track import Landmark

_FEET = [
    *(Landmark.LEFT_ANKLE, Landmark.RIGHT_ANKLE),
    *(Landmark.LEFT_HEEL, Landmark.RIGHT_HEEL),
    *(Landmark.LEFT_TOE, Landmark.RIGHT_TOE),
]
_LEAST_VISIBLE = 0.3
_MOST_TURN_DEG, _MOST_SCALE = 15.0, 3.0
"""Beyond that the feet were not found right: a camera is not held so, nor the player so much farther away."""


@dataclass(frozen=True)
class Overlay:
    """Takes points of one picture to the other's: enlarged ``scale`` times, turned clockwise, shifted; all in pixels.

    (x, y) goes to (a x - b y + shift_x, b x + a y + shift_y); y points down.
    """

    a: float
    b: float
    shift_x: float
    shift_y: float

    @property
    def scale(self) -> float:
        """How many times larger."""
        return math.hypot(self.a, self.b)

    @property
    def turn_deg(self) -> float:
        """Turned clockwise as seen."""
        return math.degrees(math.atan2(self.b, self.a))

    def map(self, points: FloatArray) -> FloatArray:
        """Points (n, 2) of the one picture on the other."""
        x, y = points[..., 0], points[..., 1]
        moved = (self.a * x - self.b * y + self.shift_x, self.b * x + self.a * y + self.shift_y)
        return np.stack(moved, axis=-1)


def place_on_feet(under: ClipShown, over: ClipShown) -> Overlay | str:
    """Find how to lay the picture of ``over`` on that of ``under``; where that cannot be, the reason in words."""
    if not are_from_same_side(under, over):
        return tr("Not filmed from the same side, so one cannot be laid over the other.")
    feet = [_feet_at_address(clip) for clip in (under, over)]
    if feet[0] is None or feet[1] is None:
        return tr("The feet at address are not known in both clips: measure the lesson first.")
    both = np.isfinite(feet[0]).all(axis=1) & np.isfinite(feet[1]).all(axis=1)
    if both.sum() < 2:
        return tr("The feet are not seen in both clips at address.")
    found = fit_similarity(feet[1][both], feet[0][both])
    is_odd = found is None or abs(found.turn_deg) > _MOST_TURN_DEG
    if found is None or is_odd or not 1 / _MOST_SCALE <= found.scale <= _MOST_SCALE:
        return tr("The feet do not fit on each other: the camera stood too differently, or they were not found right.")
    return found


def fit_similarity(points: FloatArray, onto: FloatArray) -> Overlay | None:
    """Fit the similarity that takes points (n, 2) nearest to others, by least squares; None where they do not tell.

    References
    ----------
    S. Umeyama, Least-squares estimation of transformation parameters between two point patterns, IEEE PAMI 13 (1991);
    in the plane, without mirroring, it is one complex number.
    """
    z, w = (p[:, 0] + 1j * p[:, 1] for p in (points, onto))
    from_middle, to_middle = z - z.mean(), w - w.mean()
    spread = float((np.abs(from_middle) ** 2).sum())
    if spread < 1e-9:
        return None
    factor = complex((np.conj(from_middle) * to_middle).sum() / spread)
    shift = complex(w.mean() - factor * z.mean())
    return Overlay(factor.real, factor.imag, shift.real, shift.imag) if abs(factor) > 1e-9 else None


def _feet_at_address(clip: ClipShown) -> FloatArray | None:
    """(6, 2) pixels at address, NaN where not seen."""
    address_s = clip.time_of(KeyFrameName.ADDRESS)
    if clip.track is None or address_s is None or not len(clip.track.time_s):
        return None
    frame = int(np.argmin(np.abs(clip.track.time_s - address_s)))
    points = np.array(clip.track.image_px[frame, _FEET, :2])
    points[clip.track.visibility[frame, _FEET] < _LEAST_VISIBLE] = np.nan
    return points
