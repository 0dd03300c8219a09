"""Awkward swings made from a rendered one by editing its time: what was shown when is known exactly."""

from collections.abc import Callable
from dataclasses import replace

import numpy as np

from review.body import as_right_hander
from review.pose import LandmarkTrack

Piece = tuple[float, Callable[[np.ndarray], np.ndarray]]


def play(start_s: float, end_s: float) -> Piece:
    """The source from one of its times to another, at its own speed."""
    return end_s - start_s, lambda part: start_s + (end_s - start_s) * part


def rest(at_s: float, seconds: float) -> Piece:
    return seconds, lambda part: np.full_like(part, at_s)


def glide(start_s: float, end_s: float, seconds: float) -> Piece:
    """From one time of the source to another, beginning and ending at rest; may run backward."""
    return seconds, lambda part: start_s + (end_s - start_s) * (1 - np.cos(np.pi * part)) / 2


def waggle(at_s: float, way_s: float, seconds: float) -> Piece:
    """Forward from ``at_s`` by ``way_s`` of the source and back."""
    return seconds, lambda part: at_s + way_s * (1 - np.cos(2 * np.pi * part)) / 2


def edited(swing, *pieces: Piece, rate_hz: float = 60.0, noise_px: float = 0.6) -> LandmarkTrack:
    """The rendered swing's track (as a right-hander's) played piece by piece, with noise so that a rest is not dead."""
    track = as_right_hander(swing.track, swing.handedness)
    source_s = np.concatenate([shown(np.arange(round(s * rate_hz)) / round(s * rate_hz)) for s, shown in pieces])

    def at(values: np.ndarray) -> np.ndarray:
        flat = values.reshape(len(values), -1)
        columns = [np.interp(source_s, track.time_s, flat[:, i]) for i in range(flat.shape[1])]
        return np.stack(columns, axis=1).reshape(len(source_s), *values.shape[1:])

    image = at(track.image_px)
    return replace(
        track,
        time_s=np.arange(len(source_s)) / rate_hz,
        image_px=image + np.random.default_rng(7).normal(0, noise_px, image.shape),
        world_m=at(track.world_m),
        visibility=at(track.visibility),
    )
