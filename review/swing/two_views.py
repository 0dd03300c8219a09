"""Two cameras of one swing laid over each other at impact, by what the body shows where one of them is silent."""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from review.body import SeenSwing
from review.lesson import FloatArray, KeyFrame, KeyFrameName, View
from review.swing.impact_reading import read_impact_s
from review.swing.motion import RATE_HZ, read_motion

_BEFORE_S, _AFTER_S = 0.45, 0.35
_GRID_HZ = 240.0
_MOST_LAG_S = 0.08
_STEP_S = 0.002
# Seen from down the line the wrists' speeds come 4 ms earlier than face-on: median of 40 pairs of rendered clips.
_DOWN_THE_LINE_EARLY_S = 0.004
_CERTAINTY = {View.DOWN_THE_LINE: 0.8, View.FACE_ON: 0.9}
"""Share within half a frame of 60 pictures a second, of the quick model, the less sure one (docs/accuracy.md)."""
_SHARED = 0.5


def lock_views(views: Sequence[SeenSwing]) -> list[SeenSwing]:
    """Give one view a better impact where only the other has it from its strike, the ball or the coach.

    Two views are laid over each other at impact. Where both were timed so nothing changes.
    """
    by_view = {seen.view: seen for seen in views}
    face_on, behind = by_view.get(View.FACE_ON), by_view.get(View.DOWN_THE_LINE)
    if face_on is None or behind is None:
        return list(views)
    impacts = {View.FACE_ON: _impact_of(face_on), View.DOWN_THE_LINE: _impact_of(behind)}
    timed = [view for view, impact in impacts.items() if impact is not None and impact.source != "pose"]
    if len(timed) != 1 or None in impacts.values():
        return list(views)
    silent = View.DOWN_THE_LINE if timed[0] is View.FACE_ON else View.FACE_ON
    known, rough = impacts[timed[0]], impacts[silent]
    if known is None or rough is None:
        return list(views)
    time_s = align_views(by_view[timed[0]], known.time_s, by_view[silent], rough.time_s)
    if time_s is None:
        return list(views)
    moved = by_view[silent]
    frame = int(np.argmin(np.abs(moved.track.time_s - time_s)))
    better = replace(rough, time_s=time_s, frame=frame, certainty=_CERTAINTY[silent])
    key_frames = tuple(sorted((better if k is rough else k for k in moved.key_frames), key=lambda k: k.time_s))
    return [replace(seen, key_frames=key_frames) if seen is moved else seen for seen in views]


def align_views(timed: SeenSwing, timed_impact_s: float, silent: SeenSwing, silent_impact_s: float) -> float | None:
    """Find impact in a silent view from the one that knows it; presentation times of their own clips.

    Both are read from the body; half of what the timed view's reading is off is taken from the silent one's, since a
    player's own way of striking puts both off alike (a half: chosen by cross-validation, docs/accuracy.md). Where the
    body cannot be read, down the line by the wrists' speeds; face-on None: the hands' lowest point is as good.
    """
    own_s = read_impact_s(silent.track, silent.time_scale, silent.view, silent_impact_s)
    other_s = read_impact_s(timed.track, timed.time_scale, timed.view, timed_impact_s)
    if own_s is not None and other_s is not None:
        off_s = (other_s - timed_impact_s) * timed.time_scale
        return own_s - _SHARED * off_s / silent.time_scale
    if own_s is not None:
        return own_s
    if silent.view is View.DOWN_THE_LINE:
        return align_down_the_line(timed, timed_impact_s, silent, silent_impact_s)
    return None


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
