"""When the ball was struck, read from where the body is around that moment: a line through rendered swings.

Where thirteen landmarks lie in the 0.15 s before and after tells impact better than the hands' lowest point. What both
views of one swing err in common (a player's own way of striking) cancels where one of them is known.
"""

from dataclasses import dataclass
from functools import cache
from importlib.resources import files

import numpy as np

from review.body import compute_stature_px
from review.lesson import FloatArray, View
from review.pose import Landmark, LandmarkTrack

GRID_S = np.arange(-9, 10) / 60.0
LANDMARKS = (
    *(Landmark.LEFT_WRIST, Landmark.RIGHT_WRIST, Landmark.LEFT_ELBOW, Landmark.RIGHT_ELBOW),
    *(Landmark.LEFT_SHOULDER, Landmark.RIGHT_SHOULDER, Landmark.LEFT_HIP, Landmark.RIGHT_HIP),
    *(Landmark.LEFT_KNEE, Landmark.RIGHT_KNEE, Landmark.NOSE, Landmark.RIGHT_HEEL, Landmark.LEFT_ANKLE),
)
_ANKLES = [Landmark.LEFT_ANKLE, Landmark.RIGHT_ANKLE]
_MOST_OFF_S = 0.06
"""The hands' lowest point is rarely further off; a reading that goes further has lost its way."""
_N_STEPS = 2
_N_STANDING = 5


@dataclass(frozen=True, eq=False)
class Line:
    """Impact = guess + ``standardised inputs @ weights`` + ``offset_s``; arrays (19 x 26,)."""

    mean: FloatArray
    spread: FloatArray
    weights: FloatArray
    offset_s: float


def make_inputs(track: LandmarkTrack, time_scale: float, at_s: float) -> FloatArray | None:
    """Place of the landmarks around a moment, in statures from the ankles at the start of the clip.

    Parameters
    ----------
    track : a right-hander's.
    at_s : true time, seconds (presentation time x ``time_scale``).

    Returns
    -------
    (19 x 26,) every 1/60 s from 0.15 s before to 0.15 s after; None where the clip does not reach so far, or somebody
    was not found.
    """
    time_s = track.time_s * time_scale
    if not time_s[0] <= at_s + GRID_S[0] or not at_s + GRID_S[-1] <= time_s[-1]:
        return None
    stature_px = compute_stature_px(track, slice(0, max(3, len(time_s) // 6)))
    feet = track.image_px[:_N_STANDING, _ANKLES, :2].mean(axis=(0, 1))
    around = (time_s >= at_s + GRID_S[0] - 0.05) & (time_s <= at_s + GRID_S[-1] + 0.05)
    places = ((track.image_px[around][:, LANDMARKS, :2] - feet) / stature_px).reshape(int(around.sum()), -1)
    if len(places) < 2 or not np.all(np.isfinite(places)):
        return None
    return np.stack([np.interp(at_s + GRID_S, time_s[around], one) for one in places.T], axis=1).ravel()


def read_impact_s(track: LandmarkTrack, time_scale: float, view: View, guess_s: float) -> float | None:
    """Read impact near a guess, both presentation times; None where it cannot be read or the model is not known."""
    line = load_lines().get((track.model, view))
    at_s = guess_s * time_scale
    for _ in range(_N_STEPS):
        inputs = None if line is None else make_inputs(track, time_scale, at_s)
        if line is None or inputs is None:
            return None
        step_s = float((inputs - line.mean) / line.spread @ line.weights) + line.offset_s
        at_s += float(np.clip(step_s, -_MOST_OFF_S, _MOST_OFF_S))
    return at_s / time_scale if abs(at_s - guess_s * time_scale) <= _MOST_OFF_S else None


@cache
def load_lines() -> dict[tuple[str, View], Line]:
    """Read what ``python -m review.swing.learn_impact`` has learnt, by pose model and view."""
    lines = {}
    with (files("review.swing") / "data" / "impact_reading.npz").open("rb") as file, np.load(file) as kept:
        for key in sorted({name.rpartition(" ")[0] for name in kept.files}):
            model, view = key.split(" ")
            values = [np.asarray(kept[f"{key} {part}"], dtype=np.float64) for part in ("mean", "spread", "weights")]
            lines[model, View(view)] = Line(values[0], values[1], values[2], float(kept[f"{key} offset_s"]))
    return lines
