"""Learns networks with groups of shares (``network.py``): numpy and scipy, used by hand through ``learn_response``."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.special import softmax

from review.body.network import Ensemble, Group, Network
from review.lesson import FloatArray

_EPOCHS, _BATCH, _RATE, _DECAY, _DROPOUT = 25, 256, 2e-3, 2e-2, 0.03

Rows = NDArray[np.float32]


@dataclass(frozen=True, eq=False)
class Samples:
    """What to learn from.

    inputs : (n, k), NaN = not known. weights : (n,) importance of a row. labels : by group, (n, len(grid)) shares that
    sum to 1; a row of NaN teaches that group nothing.
    """

    inputs: FloatArray
    weights: FloatArray
    grids: dict[str, FloatArray]
    labels: dict[str, FloatArray]


def spread_label(values: FloatArray, grid: FloatArray, sd: float, period: float | None = None) -> FloatArray:
    """(n, len(grid)) shares: a bell of standard deviation ``sd`` around each value; NaN stays NaN."""
    off = values[:, None] - grid
    if period is not None:
        off = (off + period / 2) % period - period / 2
    bell = np.exp(-0.5 * (off / sd) ** 2)
    return np.asarray(bell / bell.sum(axis=1, keepdims=True))


def learn_ensemble(
    samples: Samples,
    hidden: Sequence[int],
    n_networks: int,
    noise: float,
    forget_inputs: slice,
    forget_share: float,
    blind_to: NDArray[np.intp] | None = None,
) -> Ensemble:
    """Fit networks from different starts by Adam with dropout and weight decay; cross entropy over each group.

    Parameters
    ----------
    noise : added to the standardised inputs, standard deviations.
    forget_inputs, forget_share : inputs set to their mean in this share of the rows, so that the networks do not
        lean on them alone.
    blind_to : inputs that half of the networks (the first four of every eight) never see.

    References
    ----------
    Kingma & Ba 2015, arXiv 1412.6980 (Adam); Loshchilov & Hutter 2019, arXiv 1711.05101 (decoupled decay).
    """
    groups = {}
    for name, grid in samples.grids.items():
        known = np.isfinite(samples.labels[name][:, 0])
        shares = np.average(samples.labels[name][known], axis=0, weights=samples.weights[known])
        groups[name] = Group(grid, np.asarray(shares))
    mean = np.nanmean(samples.inputs, axis=0)
    sd = np.nanstd(samples.inputs, axis=0) + 1e-4
    networks = []
    for seed in range(n_networks):
        unseen = blind_to if blind_to is not None and seed % 8 < 4 else np.array([], dtype=np.intp)
        networks.append(_learn(samples, mean, sd, tuple(hidden), noise, forget_inputs, forget_share, seed, unseen))
    return Ensemble(tuple(networks), groups)


def _learn(
    samples: Samples,
    mean: FloatArray,
    sd: FloatArray,
    hidden: tuple[int, ...],
    noise: float,
    forget_inputs: slice,
    forget_share: float,
    seed: int,
    unseen: NDArray[np.intp],
) -> Network:
    random = np.random.default_rng(seed)
    x = Network(mean, sd, (), ()).standardise(samples.inputs).astype(np.float32)
    y = np.concatenate([np.nan_to_num(samples.labels[name]) for name in samples.grids], axis=1).astype(np.float32)
    ends = np.cumsum([len(grid) for grid in samples.grids.values()])
    parts = [slice(int(b - len(g)), int(b)) for b, g in zip(ends, samples.grids.values(), strict=True)]
    taught = np.stack([np.isfinite(samples.labels[name][:, 0]) for name in samples.grids], axis=1)
    importance = (taught * samples.weights[:, None]).astype(np.float32)

    sizes = (x.shape[1], *hidden, y.shape[1])
    weights = [
        random.normal(0, np.sqrt(2 / a), (a, b)).astype(np.float32) for a, b in zip(sizes, sizes[1:], strict=False)
    ]
    weights[-1] *= 0.1
    biases = [np.zeros(b, np.float32) for b in sizes[1:]]
    adam = _Adam([*weights, *biases], steps=_EPOCHS * (len(x) // _BATCH))
    for _ in range(_EPOCHS):
        order = random.permutation(len(x))
        for begin in range(0, len(x) - _BATCH + 1, _BATCH):
            rows = order[begin : begin + _BATCH]
            seen = x[rows] + noise * random.standard_normal((_BATCH, x.shape[1]), dtype=np.float32)
            seen[np.ix_(random.random(_BATCH) < forget_share, np.arange(x.shape[1])[forget_inputs])] = 0.0
            seen[:, unseen] = 0.0
            adam.step(_gradients(seen, y[rows], importance[rows], parts, weights, biases, random))
    weights[0][unseen] = 0.0
    return Network(mean, sd, tuple(w.astype(float) for w in weights), tuple(b.astype(float) for b in biases))


class _Adam:
    """Adam with decoupled decay of the weights; the rate rises over the first tenth and falls as a cosine."""

    def __init__(self, parameters: list[Rows], steps: int) -> None:
        self.parameters = parameters
        self.first = [np.zeros_like(p) for p in parameters]
        self.second = [np.zeros_like(p) for p in parameters]
        self.steps, self.done = steps, 0

    def step(self, gradients: list[Rows]) -> None:
        self.done += 1
        rise = min(1.0, self.done / (0.1 * self.steps))
        rate = _RATE * rise * 0.5 * (1 + math.cos(math.pi * self.done / self.steps))
        first_share, second_share = 1 - 0.9**self.done, 1 - 0.999**self.done
        for parameter, gradient, first, second in zip(self.parameters, gradients, self.first, self.second, strict=True):
            first *= 0.9
            first += 0.1 * gradient
            second *= 0.999
            second += 0.001 * gradient * gradient
            if parameter.ndim == 2:
                parameter *= 1 - rate * _DECAY
            parameter -= rate / first_share * first / (np.sqrt(second / second_share) + 1e-8)


def _gradients(
    x: Rows,
    y: Rows,
    importance: Rows,
    parts: list[slice],
    weights: list[Rows],
    biases: list[Rows],
    random: np.random.Generator,
) -> list[Rows]:
    layers, masks = [x], []
    for weight, bias in zip(weights[:-1], biases[:-1], strict=True):
        active = layers[-1] @ weight + bias
        mask = (active > 0) * (random.random(active.shape, dtype=np.float32) > _DROPOUT) / np.float32(1 - _DROPOUT)
        masks.append(mask.astype(np.float32))
        layers.append(active * masks[-1])
    out = layers[-1] @ weights[-1] + biases[-1]
    error = np.concatenate(
        [(softmax(out[:, part], axis=1) - y[:, part]) * importance[:, i : i + 1] for i, part in enumerate(parts)],
        axis=1,
    )
    error = (error / len(x)).astype(np.float32)
    of_weights: list[Rows] = []
    of_biases: list[Rows] = []
    for i in range(len(weights) - 1, -1, -1):
        of_weights.insert(0, layers[i].T @ error)
        of_biases.insert(0, error.sum(axis=0, dtype=np.float32))
        if i:
            error = np.asarray((error @ weights[i].T) * masks[i - 1], dtype=np.float32)
    return of_weights + of_biases
