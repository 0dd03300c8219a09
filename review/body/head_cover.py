"""Where a person's head may be on every frame of a clip, so that it can be covered.

The head is taken as an egg about a middle a little behind the ears, seen from any side; its size goes by the length of
trunk and legs in the picture. The numbers below come from rendered players made for this purpose (a posed skeleton, an
ordinary camera), their check against other players and its limits: docs/takehome.md.
"""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from review.lesson import FloatArray
from review.pose import Landmark, LandmarkTrack

_BEHIND_EARS = 0.32
"""From between the ears to the head's middle, as a part of the way nose -> between the ears."""
_LENGTH, _BREADTH = 0.135, 0.75
"""Half of what is covered along the head as a part of trunk + legs, and across the ears as a part of that."""
_EAR_TO_EAR = 0.11
"""Between the ears of a head seen from the front or from behind, as a part of trunk + legs."""
_LATE_S = (0.0, 0.02, 0.04)
"""The detector steadies its landmarks and so comes late: the head is covered where it is said to be until then."""
_TRUNK_AND_LEGS_M = 1.36
_FASTEST_M_PER_S = 1.8
"""Of a head that is not seen: a brisk walk; in a swing it moves at about 1 m/s."""
_STEADY_S, _JUMP = 0.3, 0.12
"""A landmark this far (part of trunk + legs) from its median over that time was found on something else."""
_GROWN_M, _CHILD = 1.6, 0.7
"""A child's head is the larger part of it: a sixth at six years and 1.1 m, an eighth grown up (a rule of drawing)."""
_MINOR_M = 1.32
"""Taken for the stature of a pupil under age that is not known: about eight years."""


class _Heads(NamedTuple):
    """Middle (n, 2), half axes across the ears and along (n,), angle of the first (n,) of the head on each frame."""

    middle: FloatArray
    across: FloatArray
    along: FloatArray
    angle: FloatArray


def cover_head(
    track: LandmarkTrack, time_scale: float = 1.0, stature_m: float | None = None, is_minor: bool = False
) -> FloatArray:
    """Return what is to be covered on every frame of a track so that the head cannot be seen.

    Parameters
    ----------
    time_scale : true time = presentation time x this.
    stature_m, is_minor : of the person; a child's head is large for its body.

    Returns
    -------
    (n_frames, 4, 5) ellipses: centre x, y, half axes a, b in pixels, angle of a from x toward y in radians. Their union
    counts; NaN where there is none. On a frame where nobody was found, or something else, they hold all that the head
    can have reached since and before it was seen, growing until they cover the whole picture.

    Raises
    ------
    ValueError
        When nobody was found on any frame.
    """
    size_px = _measure_body_px(track)
    heads = _find_heads(track, size_px * _enlarge(stature_m, is_minor), size_px)
    true_s = track.time_s * time_scale
    is_trusted = _find_trusted(heads.middle, true_s, size_px)
    filled = _fill_gaps(heads, is_trusted, true_s, size_px)
    covered = np.full((len(track.time_s), len(_LATE_S) + 1, 5), np.nan)
    covered[:, -1] = np.where(is_trusted[:, None], np.nan, _as_ellipses(heads))
    for i, late_s in enumerate(_LATE_S):
        later = np.clip(np.searchsorted(true_s, true_s + late_s - 1e-6), 0, len(true_s) - 1)
        covered[:, i] = _as_ellipses(filled)[later]
    return covered


def _enlarge(stature_m: float | None, is_minor: bool) -> float:
    if stature_m is None:
        stature_m = _MINOR_M if is_minor else _GROWN_M
    return 1.0 + _CHILD * max(0.0, _GROWN_M - stature_m)


def _measure_body_px(track: LandmarkTrack) -> float:
    """Length of trunk and legs as on the frames on which they are seen longest (90th percentile)."""
    seen = track.image_px[track.is_seen][..., :2]
    if not len(seen):
        raise ValueError("nobody was found on any frame")

    def between(pairs: tuple[tuple[int, int], ...]) -> FloatArray:
        lengths: FloatArray = sum(np.linalg.norm(seen[:, a] - seen[:, b], axis=1) for a, b in pairs) / 2.0
        return lengths

    middle = (
        seen[:, [Landmark.LEFT_SHOULDER, Landmark.LEFT_HIP]] + seen[:, [Landmark.RIGHT_SHOULDER, Landmark.RIGHT_HIP]]
    )
    trunk = np.linalg.norm(middle[:, 0] - middle[:, 1], axis=1) / 2.0
    legs = between(
        (
            *((Landmark.LEFT_HIP, Landmark.LEFT_KNEE), (Landmark.LEFT_KNEE, Landmark.LEFT_ANKLE)),
            *((Landmark.RIGHT_HIP, Landmark.RIGHT_KNEE), (Landmark.RIGHT_KNEE, Landmark.RIGHT_ANKLE)),
        )
    )
    return float(np.percentile(trunk, 90) + np.percentile(legs, 90))


def _find_heads(track: LandmarkTrack, enlarged_px: float, size_px: float) -> _Heads:
    """Return the heads as they were found; NaN where nobody was."""
    points = np.where(track.is_seen[:, None, None], track.image_px[..., :2], np.nan)
    left, right = points[:, Landmark.LEFT_EAR], points[:, Landmark.RIGHT_EAR]
    ears, across = (left + right) / 2.0, left - right
    # ears one behind the other: the head is seen from the side and is as long as it is high
    turned = np.clip(np.linalg.norm(across, axis=1) / (_EAR_TO_EAR * size_px), 0.0, 1.0)
    along = np.full(len(points), _LENGTH * enlarged_px)
    return _Heads(
        ears + _BEHIND_EARS * (ears - points[:, Landmark.NOSE]),
        along * np.sqrt(1.0 - turned**2 * (1.0 - _BREADTH**2)),
        along,
        np.arctan2(across[:, 1], across[:, 0]),
    )


def _find_trusted(middle: FloatArray, true_s: FloatArray, size_px: float) -> NDArray[np.bool_]:
    """Tell on which frames it is this head that was found, and not something else for a moment or from then on."""
    found = np.flatnonzero(np.isfinite(middle).all(axis=1)).tolist()
    runs: list[list[int]] = []
    for i in found:
        if not _is_steady(middle, true_s, i, size_px):
            continue
        if runs and _can_reach(middle, true_s, runs[-1][-1], i, size_px):
            runs[-1].append(i)
        else:
            runs.append([i])
    trusted: list[int] = []
    if runs:
        longest = max(range(len(runs)), key=lambda n: len(runs[n]))
        trusted += runs[longest]
        for run in runs[longest + 1 :]:
            trusted += run if _can_reach(middle, true_s, trusted[-1], run[0], size_px) else []
        for run in reversed(runs[:longest]):
            trusted = (run if _can_reach(middle, true_s, run[-1], trusted[0], size_px) else []) + trusted
    return np.isin(np.arange(len(middle)), trusted)


def _is_steady(middle: FloatArray, true_s: FloatArray, i: int, size_px: float) -> bool:
    first, end = np.searchsorted(true_s, [true_s[i] - _STEADY_S / 2, true_s[i] + _STEADY_S / 2 + 1e-9])
    usual = np.nanmedian(middle[first:end], axis=0)
    return bool(np.linalg.norm(middle[i] - usual) <= _JUMP * size_px)


def _can_reach(middle: FloatArray, true_s: FloatArray, before: int, after: int, size_px: float) -> bool:
    reach = _JUMP * size_px + (true_s[after] - true_s[before]) * _speed(size_px)
    return bool(np.linalg.norm(middle[after] - middle[before]) <= reach)


def _speed(size_px: float) -> float:
    """How fast a head that is not seen may move, px per true second."""
    return _FASTEST_M_PER_S * size_px / _TRUNK_AND_LEGS_M


def _fill_gaps(heads: _Heads, is_trusted: NDArray[np.bool_], true_s: FloatArray, size_px: float) -> _Heads:
    """Put circles where the head was not found: between its neighbours in time, as large as it can be off.

    Raises
    ------
    ValueError
        When it was found nowhere.
    """
    known = np.flatnonzero(is_trusted)
    if not len(known):
        raise ValueError("the head was found on no frame")
    middle = np.stack([np.interp(true_s, true_s[known], heads.middle[known, i]) for i in (0, 1)], axis=1)
    after = np.searchsorted(known, np.arange(len(true_s)))
    neighbours = known[np.stack([np.maximum(after - 1, 0), np.minimum(after, len(known) - 1)])]
    nearest_s = np.abs(true_s - true_s[neighbours]).min(axis=0)
    reach = np.nanmax(heads.along) + nearest_s * _speed(size_px)
    return _Heads(
        middle,
        np.where(is_trusted, heads.across, reach),
        np.where(is_trusted, heads.along, reach),
        np.where(is_trusted, heads.angle, 0.0),
    )


def _as_ellipses(heads: _Heads) -> FloatArray:
    return np.concatenate([heads.middle, np.stack([heads.across, heads.along, heads.angle], axis=1)], axis=1)
