"""Heads of others in the picture, so that they can be covered."""

from collections.abc import Sequence

import numpy as np

from review.lesson import FloatArray
from review.pose import Landmark, LandmarkTrack

_TRUNK_APART, _HEAD_APART = 0.35, 0.30
"""A trunk, or a nose, nearer to the player's than this part of the way from shoulders to ankles is the player's own:
in a part of the picture that cuts through the player the model finds a smaller body with the same head."""
_RADIUS = 0.17
"""Covered around the middle of a head, as a part of trunk + legs: more than of the player, who is followed."""
_TRUNK_PART = 0.38
"""Of trunk + legs; of who sits the legs are seen short."""
_HOLD_S, _SLOW_M_PER_S, _TRUNK_AND_LEGS_M = 0.5, 0.6, 1.36
"""Who was found is covered so long before and after, growing: people who watch shift about, they do not run."""


def cover_others(found: Sequence[tuple[int, FloatArray]], track: LandmarkTrack, time_scale: float = 1.0) -> FloatArray:
    """Return ellipses over the heads of all but the player.

    Parameters
    ----------
    found : number of a frame of the track, and landmarks (n, 33, 2) px of everybody found on it, the player too.
    track : the player's; time_scale : true time = presentation time x this.

    Returns
    -------
    (n_frames, k, 5) as :func:`review.body.cover_head`; k 0 when nobody else was found.
    """
    true_s = track.time_s * time_scale
    on_frame: list[list[tuple[float, float, float]]] = [[] for _ in true_s]
    for frame, people in found:
        for x, y, radius, px_per_m in _find_others(people, _player_at(track, frame)):
            away_s = np.abs(true_s - true_s[frame])
            for i in np.flatnonzero(away_s <= _HOLD_S).tolist():
                on_frame[i].append((x, y, radius + float(away_s[i]) * _SLOW_M_PER_S * px_per_m))
    covered = np.full((len(true_s), max(map(len, on_frame), default=0), 5), np.nan)
    for i, heads in enumerate(on_frame):
        for n, (x, y, radius) in enumerate(heads):
            covered[i, n] = x, y, radius, radius, 0.0
    return covered


def _player_at(track: LandmarkTrack, frame: int) -> FloatArray | None:
    """The player's landmarks on a frame, or on the nearest on which the player was found."""
    seen = np.flatnonzero(track.is_seen)
    if not len(seen):
        return None
    return np.asarray(track.image_px[seen[np.abs(seen - frame).argmin()], :, :2])


def _find_others(people: FloatArray, player: FloatArray | None) -> list[tuple[float, float, float, float]]:
    """Middle, radius (px) and px per metre of each head that is not the player's, each once."""
    heads: list[tuple[float, float, float, float]] = []
    for points in people:
        trunk, legs = _measure(points)
        if player is not None:
            trunks = np.linalg.norm(_trunk_middle(points) - _trunk_middle(player))
            noses = np.linalg.norm(points[Landmark.NOSE] - player[Landmark.NOSE])
            own = sum(_measure(player))
            if trunks < _TRUNK_APART * own or noses < _HEAD_APART * own:
                continue
        size = max(trunk + legs, trunk / _TRUNK_PART)
        ears = points[[Landmark.LEFT_EAR, Landmark.RIGHT_EAR]].mean(axis=0)
        x, y = (ears + 0.32 * (ears - points[Landmark.NOSE])).tolist()
        radius = _RADIUS * size
        if all(np.hypot(x - a, y - b) > 0.3 * min(radius, r) for a, b, r, _ in heads):
            heads.append((x, y, radius, size / _TRUNK_AND_LEGS_M))
    return heads


def _trunk_middle(points: FloatArray) -> FloatArray:
    rows = [Landmark.LEFT_SHOULDER, Landmark.RIGHT_SHOULDER, Landmark.LEFT_HIP, Landmark.RIGHT_HIP]
    return np.asarray(points[rows].mean(axis=0))


def _measure(points: FloatArray) -> tuple[float, float]:
    """Length of trunk and of legs, px."""
    shoulders, hips, ankles = (
        points[[left, left + 1]].mean(axis=0)
        for left in (Landmark.LEFT_SHOULDER, Landmark.LEFT_HIP, Landmark.LEFT_ANKLE)
    )
    return float(np.linalg.norm(shoulders - hips)), float(np.linalg.norm(hips - ankles))
