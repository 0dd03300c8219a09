"""Two cameras of one swing laid over each other by the motion that both see: up and down."""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from review.body import SeenSwing
from review.lesson import FloatArray, KeyFrame, KeyFrameName, View
from review.swing.motion import RATE_HZ, read_motion

_BEFORE_S, _AFTER_S = 0.45, 0.35
_GRID_HZ = 240.0
_MOST_LAG_S = 0.08
_STEP_S = 0.002
# Seen from down the line the wrists' speeds come 4 ms earlier than face-on: median of 40 pairs of rendered clips.
_DOWN_THE_LINE_EARLY_S = 0.004
_CERTAINTY = 0.9


def lock_views(views: Sequence[SeenSwing]) -> list[SeenSwing]:
    """Give the down-the-line view a better impact where only the face-on view has it from its strike.

    Two views are laid over each other at impact. Where both were timed by sound, picture or coach nothing changes; the
    other way round nothing would be gained: face-on the hands' lowest point is as good.
    """
    by_view = {seen.view: seen for seen in views}
    face_on, behind = by_view.get(View.FACE_ON), by_view.get(View.DOWN_THE_LINE)
    if face_on is None or behind is None:
        return list(views)
    known, rough = _impact_of(face_on), _impact_of(behind)
    if known is None or known.source == "pose" or rough is None or rough.source != "pose":
        return list(views)
    time_s = align_down_the_line(face_on, known.time_s, behind, rough.time_s)
    frame = int(np.argmin(np.abs(behind.track.time_s - time_s)))
    better = replace(rough, time_s=time_s, frame=frame, certainty=_CERTAINTY)
    key_frames = tuple(sorted((better if k is rough else k for k in behind.key_frames), key=lambda k: k.time_s))
    return [replace(seen, key_frames=key_frames) if seen is behind else seen for seen in views]


def _impact_of(seen: SeenSwing) -> KeyFrame | None:
    return next((k for k in seen.key_frames if k.name == KeyFrameName.IMPACT.value), None)


def align_down_the_line(
    face_on: SeenSwing, face_on_impact_s: float, behind: SeenSwing, behind_impact_s: float
) -> float:
    """Find impact down the line, where the body shows it less well, from the face-on view that knows it.

    Impacts are presentation times of their own clips.

    Returns
    -------
    Half-way between ``behind_impact_s`` and where the wrists' speeds up and down around impact fit best (correlation
    over 0.45 s before to 0.35 s after). Each errs by itself; their mean errs less.
    """
    around = np.arange(-_BEFORE_S, _AFTER_S, 1.0 / _GRID_HZ)
    guess_s = behind_impact_s * behind.time_scale
    reference = _standardise(_sample(_read_rise(face_on), face_on_impact_s * face_on.time_scale + around))
    rise = _read_rise(behind)
    lags = np.arange(-_MOST_LAG_S, _MOST_LAG_S + _STEP_S / 2, _STEP_S)
    likeness = [(reference * _standardise(_sample(rise, guess_s + around + lag))).mean() for lag in lags]
    lag_s = float(lags[int(np.argmax(likeness))]) + _DOWN_THE_LINE_EARLY_S
    return (guess_s + lag_s / 2) / behind.time_scale


def _read_rise(view: SeenSwing) -> tuple[FloatArray, FloatArray]:
    """True times (n,) and speeds of both wrists upward (n, 2)."""
    motion = read_motion(view.track, view.time_scale)
    return motion.time_s, -np.gradient(motion.wrists[:, :, 1], 1.0 / RATE_HZ, axis=0)


def _sample(rise: tuple[FloatArray, FloatArray], at_s: FloatArray) -> FloatArray:
    time_s, speeds = rise
    return np.stack([np.interp(at_s, time_s, column) for column in speeds.T], axis=1)


def _standardise(values: FloatArray) -> FloatArray:
    standard: FloatArray = (values - values.mean(axis=0)) / np.maximum(values.std(axis=0), 1e-9)
    return standard
