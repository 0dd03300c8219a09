"""The detector's response: from the landmarks of a frame to a likelihood over the true angle or movement."""

from dataclasses import dataclass
from functools import cache
from importlib import resources
from pathlib import Path
from typing import Literal

import numpy as np

from review.body.features import compute_move_inputs, compute_raw_moves, compute_turn_inputs
from review.body.network import Ensemble, load_ensemble
from review.lesson import FloatArray, View
from review.pose import LandmarkTrack

Line = Literal["hip", "shoulder"]
LINES: tuple[Line, Line] = ("hip", "shoulder")
ANGLES_DEG: FloatArray = np.arange(-180.0, 180.0, 5.0)
"""Grid of a direction: of the line right joint -> left joint seen from above, relative to the line of sight;
0 = the person faces the camera, +90 = the left joint is the far one."""
TURNS_DEG: FloatArray = np.arange(-150.0, 181.0, 5.0)
"""Grid of a turn from address: + open to the target, - turned away."""
MISSED: dict[str, FloatArray] = {"heel": np.arange(-0.06, 0.1401, 0.003), "hips": np.arange(-0.08, 0.0801, 0.004)}
"""Grids of what the landmarks miss of trail-heel lift and hip shift (true minus raw), parts of the stature."""


@dataclass(frozen=True, eq=False)
class TurnReading:
    """What the landmarks of every frame say about one line; log likelihoods, each row's maximum is 0.

    direction : (n, len(ANGLES_DEG)). from_address : (n, len(TURNS_DEG)).
    """

    direction: FloatArray
    from_address: FloatArray


@dataclass(frozen=True, eq=False)
class MoveReading:
    """Mean and standard deviation of a movement from address on every frame, (n,) each, parts of the stature.

    The movement is what the landmarks show plus what they are known to miss in such a posture.
    """

    mean: FloatArray
    sd: FloatArray


def read_turns(track: LandmarkTrack, still: slice | None) -> dict[Line, TurnReading]:
    """Read hip and shoulder line from a right-hander's track.

    Parameters
    ----------
    still : frames at address, whose posture shows this player's own offset; None when there is no address, then only
        ``direction`` says something.

    Raises
    ------
    MachineError
        When the installation is incomplete.
    """
    rows = _load(f"turns_{track.model}").log_likelihoods(compute_turn_inputs(track.image_px, track.world_m, still))
    return {line: TurnReading(rows[f"{line}_direction"], rows[f"{line}_turn"]) for line in LINES}


def read_moves(track: LandmarkTrack, view: View, still: slice, stature_px: float) -> dict[str, MoveReading]:
    """Read trail-heel lift ('heel') and hip shift ('hips') from a right-hander's track.

    Raises
    ------
    MachineError
        When the installation is incomplete.
    """
    ensemble = _load(f"moves_{track.model}_{view.value}")
    shares = ensemble.log_shares(compute_move_inputs(track.image_px, track.world_m, still, stature_px))
    raw = compute_raw_moves(track.image_px, still, stature_px)
    result = {}
    for name, rows in shares.items():
        grid, weights = ensemble.groups[name].grid, np.exp(rows)
        missed = weights @ grid
        result[name] = MoveReading(raw[name] + missed, np.sqrt(np.maximum(weights @ grid**2 - missed**2, 0.0)))
    return result


@cache
def _load(name: str) -> Ensemble:
    return load_ensemble(Path(str(resources.files("review.body"))) / "data" / f"{name}.npz")
