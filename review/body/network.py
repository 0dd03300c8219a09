"""A small network whose outputs are groups of shares, one group per quantity: run by numpy and scipy."""

from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from scipy.special import logsumexp

from review.errors import MachineError
from review.lesson import FloatArray

# A posture this many standard deviations from those learnt says no more by being further away.
_FARTHEST_SD = 6.0
_LEAST_SHARE = 1e-4


@dataclass(frozen=True, eq=False)
class Group:
    """One quantity: the grid of its values, and the share of each value among the samples learnt from."""

    grid: FloatArray
    shares: FloatArray


@dataclass(frozen=True, eq=False)
class Network:
    """Standardised inputs, hidden layers with ReLU, one output per value of every group."""

    mean: FloatArray
    sd: FloatArray
    weights: tuple[FloatArray, ...]
    biases: tuple[FloatArray, ...]

    def standardise(self, inputs: FloatArray) -> FloatArray:
        """Inputs in standard deviations of what was learnt from, limited to 6; what is not known (NaN) is 0."""
        return np.nan_to_num(np.clip((inputs - self.mean) / self.sd, -_FARTHEST_SD, _FARTHEST_SD))

    def outputs(self, inputs: FloatArray) -> FloatArray:
        """(n, n_outputs) unnormalised log shares, group after group."""
        h = self.standardise(inputs)
        for weight, bias in zip(self.weights[:-1], self.biases[:-1], strict=True):
            h = np.maximum(h @ weight + bias, 0.0)
        result: FloatArray = h @ self.weights[-1] + self.biases[-1]
        return result


@dataclass(frozen=True, eq=False)
class Ensemble:
    """Networks learnt from the same samples from different starts, and their groups by name."""

    networks: tuple[Network, ...]
    groups: dict[str, Group]

    def log_shares(self, inputs: FloatArray) -> dict[str, FloatArray]:
        """(n, len(grid)) log share of every value by group, averaged over the networks."""
        parts: dict[str, list[FloatArray]] = {name: [] for name in self.groups}
        for network in self.networks:
            outputs = network.outputs(inputs)
            begin = 0
            for name, group in self.groups.items():
                part = outputs[:, begin : begin + len(group.grid)]
                begin += len(group.grid)
                parts[name].append(part - logsumexp(part, axis=1, keepdims=True))
        return {name: np.mean(rows, axis=0) for name, rows in parts.items()}

    def log_likelihoods(self, inputs: FloatArray) -> dict[str, FloatArray]:
        """As ``log_shares``, divided by how common each value was: without a leaning toward common values.

        Each row's maximum is 0.
        """
        result = {}
        for name, rows in self.log_shares(inputs).items():
            likelihood = rows - np.log(self.groups[name].shares + _LEAST_SHARE)
            result[name] = likelihood - likelihood.max(axis=1, keepdims=True)
        return result

    def save(self, path: Path) -> None:
        """Write to an npz file, weights in half precision."""
        arrays: dict[str, Any] = {"groups": np.array(list(self.groups))}
        for name, group in self.groups.items():
            arrays[f"grid_{name}"] = group.grid.astype(np.float32)
            arrays[f"shares_{name}"] = group.shares.astype(np.float32)
        for n, network in enumerate(self.networks):
            arrays[f"mean_{n}"] = network.mean.astype(np.float32)
            arrays[f"sd_{n}"] = network.sd.astype(np.float32)
            for i, (weight, bias) in enumerate(zip(network.weights, network.biases, strict=True)):
                arrays[f"weight_{n}_{i}"] = weight.astype(np.float16)
                arrays[f"bias_{n}_{i}"] = bias.astype(np.float16)
        with path.open("wb") as file:
            np.savez_compressed(file, **arrays)


def load_arrays(path: Path) -> dict[str, Any]:
    """Read all arrays of an npz file of the package.

    Raises
    ------
    MachineError
        When the installation is incomplete.
    """
    try:
        with np.load(path) as data:
            return {name: data[name] for name in data.files}
    except OSError as error:
        raise MachineError(f"{path.name} is missing from this installation; install the program again.") from error


def load_ensemble(path: Path) -> Ensemble:
    """Read what ``Ensemble.save`` wrote; errors as in ``load_arrays``."""
    arrays = load_arrays(path)
    names = [str(name) for name in arrays.pop("groups")]
    numbers = {name: values.astype(np.float64) for name, values in arrays.items()}
    groups = {name: Group(numbers[f"grid_{name}"], numbers[f"shares_{name}"]) for name in names}
    networks = []
    n = 0
    while f"mean_{n}" in numbers:
        layers = sum(name.startswith(f"weight_{n}_") for name in numbers)
        networks.append(
            Network(
                mean=numbers[f"mean_{n}"],
                sd=numbers[f"sd_{n}"],
                weights=tuple(numbers[f"weight_{n}_{i}"] for i in range(layers)),
                biases=tuple(numbers[f"bias_{n}_{i}"] for i in range(layers)),
            )
        )
        n += 1
    return Ensemble(tuple(networks), groups)
