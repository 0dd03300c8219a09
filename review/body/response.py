"""The detector's response: from the landmarks of a frame to a likelihood over the true angle."""

from dataclasses import dataclass
from functools import cache
from importlib import resources
from pathlib import Path
from typing import Literal

import numpy as np
from scipy.special import logsumexp

from review.body.features import compute_features
from review.errors import MachineError
from review.lesson import FloatArray
from review.pose import LandmarkTrack

Line = Literal["hip", "shoulder"]
ANGLES_DEG: FloatArray = np.arange(-180.0, 180.0, 5.0)
"""Grid of the likelihood: direction of the line right joint -> left joint seen from above, relative to the line of
sight; 0 = the person faces the camera, +90 = the left joint is the far one."""
_LEAST_PRIOR = 1e-4


@dataclass(frozen=True, eq=False)
class Network:
    """A small network: standardise, hidden layers with ReLU, two groups of one output per angle."""

    mean: FloatArray
    sd: FloatArray
    weights: tuple[FloatArray, ...]
    biases: tuple[FloatArray, ...]

    def outputs(self, features: FloatArray) -> FloatArray:
        """(n, 2 * n_angles) unnormalised log probabilities, hips first."""
        h = (features - self.mean) / self.sd
        for weight, bias in zip(self.weights[:-1], self.biases[:-1], strict=True):
            h = np.maximum(h @ weight + bias, 0.0)
        result: FloatArray = h @ self.weights[-1] + self.biases[-1]
        return result


@dataclass(frozen=True, eq=False)
class Response:
    """Networks learnt on the same postures from different starts, and the angles' share among these postures.

    The networks give the probability of an angle among the postures they learnt from. Divided by the share that each
    angle had there, it is a likelihood: what the landmarks say, without a leaning toward common angles.
    """

    networks: tuple[Network, ...]
    prior: FloatArray

    def log_likelihood(self, track: LandmarkTrack, line: Line) -> FloatArray:
        """(n_frames, n_angles) log likelihood over ``ANGLES_DEG``, each row's maximum is 0."""
        k = len(ANGLES_DEG)
        part = slice(0, k) if line == "hip" else slice(k, 2 * k)
        features = compute_features(track.image_px, track.world_m)
        logs = []
        for network in self.networks:
            out = network.outputs(features)[:, part]
            logs.append(out - logsumexp(out, axis=1, keepdims=True))
        share = self.prior[0 if line == "hip" else 1]
        likelihood = np.mean(logs, axis=0) - np.log(share + _LEAST_PRIOR)
        result: FloatArray = likelihood - likelihood.max(axis=1, keepdims=True)
        return result


@cache
def load_response(model: str) -> Response:
    """Load the response of one pose model ('full' or 'heavy').

    Raises
    ------
    MachineError
        When the installation is incomplete.
    """
    path = Path(str(resources.files("review.body"))) / "data" / f"response_{model}.npz"
    try:
        with np.load(path) as data:
            arrays = {name: data[name].astype(np.float64) for name in data.files}
    except OSError as error:
        raise MachineError(f"{path.name} is missing from this installation; install the program again.") from error
    networks = []
    n = 0
    while f"mean_{n}" in arrays:
        layers = sum(name.startswith(f"weight_{n}_") for name in arrays)
        networks.append(
            Network(
                mean=arrays[f"mean_{n}"],
                sd=arrays[f"sd_{n}"],
                weights=tuple(arrays[f"weight_{n}_{i}"] for i in range(layers)),
                biases=tuple(arrays[f"bias_{n}_{i}"] for i in range(layers)),
            )
        )
        n += 1
    return Response(networks=tuple(networks), prior=arrays["prior"])
