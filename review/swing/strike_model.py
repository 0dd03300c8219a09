"""How far the odds favour a sharp sound as the player's own strike."""

import json
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

import numpy as np

from review.lesson import FloatArray
from review.swing.strike_search import FEATURE_NAMES, ONE_STRIKE_WITHIN_S, SharpSounds


@dataclass(frozen=True, eq=False)
class StrikeModel:
    """Weights of each feature, standardised, and of its square: odds against there being no strike at all.

    ``mean``, ``spread``, ``linear``, ``square`` (n_names,) as ``FEATURE_NAMES``; ``constant`` the log-odds at the mean.
    """

    mean: FloatArray
    spread: FloatArray
    linear: FloatArray
    square: FloatArray
    constant: float

    def compute_log_odds(self, features: FloatArray) -> FloatArray:
        """(m,) natural log of the odds of each sound against no strike, for (m, n_names) features."""
        z = standardise(features, self.mean, self.spread)
        return np.asarray(z @ self.linear + z**2 @ self.square + self.constant)


def standardise(features: FloatArray, mean: FloatArray, spread: FloatArray) -> FloatArray:
    """Features in spreads from the mean, held within 2.5 so that nothing strange weighs more."""
    return np.asarray(np.clip((features - mean) / spread, -2.5, 2.5))


@cache
def load_model() -> StrikeModel:
    """Read the weights learnt by ``python -m tests.bay.learn_strike``."""
    held = json.loads(files("review.swing").joinpath("data/strike.json").read_text(encoding="utf-8"))
    if held["names"] != list(FEATURE_NAMES):
        raise ValueError("strike.json was learnt for other features; learn it anew")
    mean, spread, linear, square = (np.array(held[name]) for name in ("mean", "spread", "linear", "square"))
    return StrikeModel(mean, spread, linear, square, float(held["constant"]))


def compute_certainty(time_s: FloatArray, log_odds: FloatArray) -> FloatArray:
    """(m,) probability 0..1 that each sound is the own strike: of those within 3 s at most one is, perhaps none.

    Parameters
    ----------
    time_s : (m,) increasing, true seconds.
    log_odds : (m,) of each against none.
    """
    weight = np.exp(np.minimum(log_odds, 50.0))
    total = np.concatenate([[0.0], np.cumsum(weight)])
    first = np.searchsorted(time_s, time_s - ONE_STRIKE_WITHIN_S)
    last = np.searchsorted(time_s, time_s + ONE_STRIKE_WITHIN_S, side="right")
    return np.asarray(weight / (1.0 + total[last] - total[first]))


def rate_sounds(sounds: SharpSounds) -> tuple[FloatArray, FloatArray]:
    """Log-odds and certainty (m,) of each sound."""
    log_odds = load_model().compute_log_odds(sounds.features)
    return log_odds, compute_certainty(sounds.time_s, log_odds)
