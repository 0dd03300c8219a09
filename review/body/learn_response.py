"""Learn the detector's response from rendered stills with known truth; makes ``data/response_*.npz``.

Run by hand, not by the product::

    python -m review.body.learn_response STILLS.npz --landmarks HEAVY.npz --out review/body/data/response_heavy.npz

STILLS.npz holds, row for row: ``lm_image`` (n, 33, 4) x, y as parts of width and height, z, visibility; ``lm_world``
(n, 33, 4) metres; ``image_size`` (n, 2) pixels; ``hip_yaw_cam_deg``, ``shoulder_yaw_cam_deg``, ``bearing_deg`` (n,)
true directions; ``body_id`` (n,). ``--landmarks`` takes the landmarks of another model on the same pictures. Every
sample is used a second time as its mirror image. One body in five is first held out to print the error on bodies not
learnt from; the file written has learnt from all.
"""

import argparse
import sys
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from scipy.special import logsumexp, softmax

from review.body.features import compute_features
from review.body.response import ANGLES_DEG, Network
from review.lesson import FloatArray
from review.pose import MIRRORED

_LABEL_SD_DEG = 6.0
_HIDDEN = (128, 128)
_EPOCHS, _BATCH, _RATE, _DECAY, _DROPOUT = 30, 128, 2e-3, 1e-3, 0.2
_NETWORKS = 3


def load_stills(stills: Path, landmarks: Path | None) -> tuple[FloatArray, FloatArray, NDArray[np.int_]]:
    """Return features (2n, 114), hip and shoulder angles (2n, 2) relative to the line of sight, body of each row."""
    truth = np.load(stills)
    seen = np.load(landmarks) if landmarks else truth
    image, world = seen["lm_image"].astype(float), seen["lm_world"][..., :3].astype(float)
    found = seen["detected"].astype(bool) & np.isfinite(image).all(axis=(1, 2))
    size = truth["image_size"].astype(float)
    scale = np.stack([size[:, 0], size[:, 1], size[:, 0]], axis=1)[:, None, :]
    image = (image[..., :3] * scale)[found]
    world = world[found]
    angles = np.stack(
        [truth[f"{line}_yaw_cam_deg"] + truth["bearing_deg"] for line in ("hip", "shoulder")], axis=1
    ).astype(float)[found]
    mirrored_image, mirrored_world = image[:, MIRRORED].copy(), world[:, MIRRORED].copy()
    mirrored_image[..., 0] *= -1
    mirrored_world[..., 0] *= -1
    features = np.concatenate([compute_features(image, world), compute_features(mirrored_image, mirrored_world)])
    body = truth["body_id"][found].astype(int)
    return features, np.concatenate([angles, -angles]), np.concatenate([body, body])


def soft_labels(angles_deg: FloatArray) -> FloatArray:
    """(n, n_angles) share of each angle of the grid: a bell of 6 degrees around the truth."""
    off = (angles_deg[:, None] - ANGLES_DEG + 180.0) % 360.0 - 180.0
    bell = np.exp(-0.5 * (off / _LABEL_SD_DEG) ** 2)
    return np.asarray(bell / bell.sum(axis=1, keepdims=True))


def learn(features: FloatArray, labels: FloatArray, seed: int) -> Network:
    """Fit one network by Adam with dropout and weight decay; cross entropy over each of the two groups of angles.

    References
    ----------
    Kingma & Ba 2015, arXiv 1412.6980 (Adam); Loshchilov & Hutter 2019, arXiv 1711.05101 (decoupled decay).
    """
    random = np.random.default_rng(seed)
    mean, sd = features.mean(axis=0), features.std(axis=0) + 1e-6
    x = ((features - mean) / sd).astype(np.float32)
    y = labels.astype(np.float32)
    sizes = (x.shape[1], *_HIDDEN, y.shape[1])
    weights = [
        random.normal(0, np.sqrt(2 / a), (a, b)).astype(np.float32) for a, b in zip(sizes, sizes[1:], strict=False)
    ]
    biases = [np.zeros(b, np.float32) for b in sizes[1:]]
    parameters = weights + biases
    first = [np.zeros_like(p) for p in parameters]
    second = [np.zeros_like(p) for p in parameters]
    steps = _EPOCHS * (len(x) // _BATCH)
    step = 0
    for _ in range(_EPOCHS):
        order = random.permutation(len(x))
        for begin in range(0, len(x) - _BATCH + 1, _BATCH):
            rows = order[begin : begin + _BATCH]
            gradients = _gradients(x[rows], y[rows], weights, biases, random)
            step += 1
            rate = _RATE * 0.5 * (1 + np.cos(np.pi * step / steps))
            for i, (parameter, gradient) in enumerate(zip(parameters, gradients, strict=True)):
                first[i] = 0.9 * first[i] + 0.1 * gradient
                second[i] = 0.999 * second[i] + 0.001 * gradient**2
                move = first[i] / (1 - 0.9**step) / (np.sqrt(second[i] / (1 - 0.999**step)) + 1e-8)
                parameter -= (rate * (move + (_DECAY * parameter if parameter.ndim == 2 else 0))).astype(np.float32)
    return Network(mean, sd, tuple(w.astype(float) for w in weights), tuple(b.astype(float) for b in biases))


def _gradients(
    x: NDArray[np.float32],
    y: NDArray[np.float32],
    weights: list[NDArray[np.float32]],
    biases: list[NDArray[np.float32]],
    random: np.random.Generator,
) -> list[NDArray[np.float32]]:
    layers, masks = [x], []
    for weight, bias in zip(weights[:-1], biases[:-1], strict=True):
        active = layers[-1] @ weight + bias
        mask = (active > 0) * (random.random(active.shape) > _DROPOUT) / (1 - _DROPOUT)
        masks.append(mask.astype(np.float32))
        layers.append(active * masks[-1])
    out = layers[-1] @ weights[-1] + biases[-1]
    k = len(ANGLES_DEG)
    error = np.concatenate([softmax(out[:, :k], axis=1), softmax(out[:, k:], axis=1)], axis=1) - y
    error = (error / len(x)).astype(np.float32)
    of_weights: list[NDArray[np.float32]] = []
    of_biases: list[NDArray[np.float32]] = []
    for i in range(len(weights) - 1, -1, -1):
        of_weights.insert(0, layers[i].T @ error)
        of_biases.insert(0, error.sum(axis=0))
        if i:
            error = (error @ weights[i].T) * masks[i - 1]
    return of_weights + of_biases


def compute_errors_deg(networks: list[Network], features: FloatArray, angles: FloatArray) -> FloatArray:
    """(n, 2) absolute error of the mean direction of each line."""
    k = len(ANGLES_DEG)
    errors = []
    for i in range(2):
        logs = [n.outputs(features)[:, i * k : (i + 1) * k] for n in networks]
        share = np.exp(np.mean([log - logsumexp(log, axis=1, keepdims=True) for log in logs], axis=0))
        mean = np.angle((share * np.exp(1j * np.radians(ANGLES_DEG))).sum(axis=1), deg=True)
        errors.append(np.abs((mean - angles[:, i] + 180.0) % 360.0 - 180.0))
    return np.stack(errors, axis=1)


def write_response(path: Path, networks: list[Network], labels: FloatArray) -> None:
    """Write networks (half precision) and the share of each angle among the postures."""
    k = len(ANGLES_DEG)
    arrays: dict[str, NDArray[np.float16] | NDArray[np.float32]] = {
        "prior": np.stack([labels[:, :k].mean(axis=0), labels[:, k:].mean(axis=0)]).astype(np.float32)
    }
    for n, network in enumerate(networks):
        arrays[f"mean_{n}"] = network.mean.astype(np.float32)
        arrays[f"sd_{n}"] = network.sd.astype(np.float32)
        for i, (weight, bias) in enumerate(zip(network.weights, network.biases, strict=True)):
            arrays[f"weight_{n}_{i}"] = weight.astype(np.float16)
            arrays[f"bias_{n}_{i}"] = bias.astype(np.float16)
    with path.open("wb") as file:
        np.savez_compressed(file, **arrays)  # type: ignore[arg-type]


def main() -> None:
    """Learn, print the error on held-out bodies, write the file."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("stills", type=Path)
    parser.add_argument("--landmarks", type=Path)
    parser.add_argument("--out", type=Path, required=True)
    options = parser.parse_args()
    features, angles, body = load_stills(options.stills, options.landmarks)
    labels = np.concatenate([soft_labels(angles[:, 0]), soft_labels(angles[:, 1])], axis=1)
    held_out = body % 5 == 0
    trial = [learn(features[~held_out], labels[~held_out], seed) for seed in range(_NETWORKS)]
    errors = compute_errors_deg(trial, features[held_out], angles[held_out])
    for i, line in enumerate(("hip", "shoulder")):
        median, tail = np.quantile(errors[:, i], [0.5, 0.9])
        sys.stdout.write(
            f"{line}: median {median:.1f}, 90th percentile {tail:.1f} degrees on {held_out.sum()} stills\n"
        )
    write_response(options.out, [learn(features, labels, seed) for seed in range(_NETWORKS)], labels)


if __name__ == "__main__":
    main()
