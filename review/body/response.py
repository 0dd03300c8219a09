"""The detector's response: from the landmarks of a frame to a likelihood over the true angle or movement."""

from dataclasses import dataclass
from functools import cache
from importlib import resources
from pathlib import Path
from typing import Literal

import numpy as np

from review.body.features import compute_heel_inputs, compute_hips_moved, compute_move_inputs, compute_turn_inputs
from review.body.network import Ensemble, load_arrays, load_ensemble
from review.lesson import FloatArray, View
from review.pose import LandmarkTrack

Line = Literal["hip", "shoulder"]
LINES: tuple[Line, Line] = ("hip", "shoulder")
ANGLES_DEG: FloatArray = np.arange(-180.0, 180.0, 5.0)
"""Grid of a direction: of the line right joint -> left joint seen from above, relative to the line of sight;
0 = the person faces the camera, +90 = the left joint is the far one."""
TURNS_DEG: FloatArray = np.arange(-150.0, 181.0, 5.0)
"""Grid of a turn from address: + open to the target, - turned away."""
HIPS_MISSED: FloatArray = np.arange(-0.08, 0.0801, 0.004)
"""Grid of what mid-hip of the landmarks misses of the hip shift (true minus seen), parts of the stature."""


@dataclass(frozen=True, eq=False)
class TurnReading:
    """What the landmarks of every frame say about one line; log likelihoods, each row's maximum is 0.

    direction : (n, len(ANGLES_DEG)). from_address : (n, len(TURNS_DEG)), counted from the mean direction at address,
    for when the camera is not known.
    """

    direction: FloatArray
    from_address: FloatArray


@dataclass(frozen=True, eq=False)
class MoveReading:
    """A movement from address and its standard deviation on every frame, (n,) each, parts of the stature."""

    value: FloatArray
    sd: FloatArray


def read_turns(track: LandmarkTrack, still: slice) -> dict[Line, TurnReading]:
    """Read hip and shoulder line from a right-hander's track.

    Parameters
    ----------
    still : frames at address, whose posture shows this player's own offset.

    Raises
    ------
    MachineError
        When the installation is incomplete.
    """
    inputs = compute_turn_inputs(track.image_px, track.world_m, still)
    readings = {}
    for line in LINES:
        rows = _load(f"{line}_turn_{track.model}").log_likelihoods(inputs)[line]
        readings[line] = TurnReading(rows, _count_from_address(rows, still))
    return readings


def _count_from_address(direction: FloatArray, still: slice) -> FloatArray:
    """Rows over ``TURNS_DEG`` with the mean direction on the still frames as zero."""
    wheel = np.exp(1j * np.radians(ANGLES_DEG))
    shares = np.exp(direction[still])
    at_address = float(np.angle((shares @ wheel / shares.sum(axis=1)).sum(), deg=True))
    return np.stack([np.interp(TURNS_DEG + at_address, ANGLES_DEG, row, period=360.0) for row in direction])


def read_heel_lift(track: LandmarkTrack, view: View, still: slice, stature_px: float) -> MoveReading:
    """Read the trail heel's lift from a right-hander's track, + up: a weighted sum of the trail leg's movements.

    No more than that on purpose: a network that sees the whole posture knows how far heels are usually up at that
    moment of a swing, and pulls every player there.

    Raises
    ------
    MachineError
        When the installation is incomplete.
    """
    learnt = _load_arrays(f"heel_{track.model}")
    value = compute_heel_inputs(track.image_px, still, stature_px, view) @ learnt[f"weights_{view.value}"]
    on_the_ground, part_of_lift = learnt[f"sd_{view.value}"]
    return MoveReading(value, np.hypot(on_the_ground, part_of_lift * value))


def read_hip_shift(track: LandmarkTrack, still: slice, stature_px: float) -> MoveReading:
    """Read the hip shift from a right-hander's face-on track, + toward the target: what is seen plus what is missed.

    Raises
    ------
    MachineError
        When the installation is incomplete.
    """
    ensemble = _load(f"hips_{track.model}")
    shares = ensemble.log_shares(compute_move_inputs(track.image_px, track.world_m, still, stature_px))["hips"]
    weights = np.exp(shares)
    weights /= weights.sum(axis=1, keepdims=True)
    missed = weights @ HIPS_MISSED
    sd = np.sqrt(np.maximum(weights @ HIPS_MISSED**2 - missed**2, 0.0))
    return MoveReading(compute_hips_moved(track.image_px, still, stature_px) + missed, sd)


def _path_of(name: str) -> Path:
    return Path(str(resources.files("review.body"))) / "data" / f"{name}.npz"


@cache
def _load_arrays(name: str) -> dict[str, FloatArray]:
    return load_arrays(_path_of(name))


@cache
def _load(name: str) -> Ensemble:
    return load_ensemble(_path_of(name))
