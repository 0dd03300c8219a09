"""Learn the weights of the strike's features from the first family of noise; makes ``review/swing/data/strike.json``.

Run by hand, not by the product, after any change of the features or of the first family (some ten minutes)::

    python -m tests.bay.learn_strike

In each clip one sound is the own strike or none is: a conditional logit over the clip's sharp sounds and "none", with
weights held small (ridge) and bound by what is known beforehand, so that sounds unlike the made-up ones fare well too:
the more a sound rises the likelier it is a strike; of its form, a middle may be likeliest, never both ends. Nothing of
the second family is seen here.
"""

import json
import sys
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import minimize
from scipy.special import logsumexp

from review.swing.strike_model import StrikeModel, standardise
from review.swing.strike_search import FEATURE_NAMES, RISE_NAMES, search_blocks

from .coding import code_as_aac
from .sound import make_bay

RATE_HZ = 48000
SEEDS = [first + i for first in (0, 500, 1000) for i in range(300)]
HIT_WITHIN_S = 0.003
PRACTICE_SHARE, CODED_SHARE = 0.25, 0.35
RIDGE = 3.0
TARGET = Path(__file__).parents[2] / "review" / "swing" / "data" / "strike.json"
Floats = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Heard:
    """Features (m, n_names) of one clip's sounds; which is the own strike, m = none."""

    features: Floats
    answer: int


def hear_clip(seed: int) -> Heard:
    """Make one clip and describe its sharp sounds."""
    rng = np.random.default_rng([20, seed])
    duration_s = rng.uniform(2.0, 4.0)
    strike_s = None if rng.random() < PRACTICE_SHARE else duration_s * rng.uniform(0.2, 0.8)
    snr_db = rng.uniform(-12, 15) if rng.random() < 0.65 else rng.uniform(15, 45)
    bay = make_bay(rng, duration_s, strike_s, snr_db, 1, RATE_HZ, int(rng.integers(0, 3)), rng.uniform(-14, -6))
    samples = bay.samples
    if rng.random() < CODED_SHARE:
        samples = code_as_aac(samples, RATE_HZ, int(rng.uniform(48, 160) * 1000))
    sounds = search_blocks([samples], RATE_HZ)
    off_s = np.abs(sounds.time_s - strike_s) if strike_s is not None else np.zeros(0)
    answer = int(np.argmin(off_s)) if len(off_s) and off_s.min() < HIT_WITHIN_S else len(sounds.time_s)
    return Heard(sounds.features, answer)


def learn(clips: list[Heard]) -> StrikeModel:
    """Fit the conditional logit."""
    rows = np.vstack([c.features for c in clips])
    mean, spread = rows.mean(axis=0), np.maximum(rows.std(axis=0), 1e-3)
    z = standardise(rows, mean, spread)
    inputs = np.hstack([z, z**2, np.ones((len(z), 1))])
    clip_of = np.repeat(np.arange(len(clips)), [len(c.features) for c in clips])
    first = np.concatenate([[0], np.cumsum([len(c.features) for c in clips])])
    held = [(first[i] + c.answer) for i, c in enumerate(clips) if c.answer < len(c.features)]
    rises = np.array([name in RISE_NAMES for name in FEATURE_NAMES])
    penalised = np.r_[np.full(2 * z.shape[1], RIDGE), 0.0]
    lines = [(0, None) if rise else (None, None) for rise in rises]
    squares = [(0, 0) if rise else (None, 0) for rise in rises]

    def cost(weights: Floats) -> tuple[float, Floats]:
        score = inputs @ weights
        total = np.array([logsumexp(np.append(score[a:b], 0.0)) for a, b in zip(first[:-1], first[1:], strict=True)])
        chance = np.exp(score - total[clip_of])
        slope = inputs.T @ chance - inputs[held].sum(axis=0) + penalised * weights
        return float(total.sum() - score[held].sum() + 0.5 * np.sum(penalised * weights**2)), slope

    start = np.r_[np.zeros(2 * z.shape[1]), -3.0]
    bounds = [*lines, *squares, (None, None)]
    found = minimize(cost, start, jac=True, method="L-BFGS-B", bounds=bounds, options={"maxiter": 500})
    n = z.shape[1]
    return StrikeModel(mean, spread, found.x[:n], found.x[n : 2 * n], float(found.x[-1]))


def write_model(model: StrikeModel, path: Path) -> None:
    """Write the weights, rounded to what matters."""
    held = {"names": list(FEATURE_NAMES)}
    for name in ("mean", "spread", "linear", "square"):
        held[name] = [round(float(v), 4) for v in getattr(model, name)]
    path.write_text(json.dumps({**held, "constant": round(model.constant, 4)}, indent=1) + "\n", encoding="utf-8")


def main() -> int:
    clips = []
    for seed in SEEDS:
        clips.append(hear_clip(seed))
        if len(clips) % 100 == 0:
            print(f"{len(clips)} of {len(SEEDS)} clips heard", flush=True)
    write_model(learn(clips), TARGET)
    return 0


if __name__ == "__main__":
    sys.exit(main())
