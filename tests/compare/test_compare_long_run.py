"""A mean that forgets against the handbook's worked example; pooled changes against a published meta-analysis."""

import math

import numpy as np
import pytest

from review.compare import Sample
from review.compare.cues import CueGiven, pool_changes, rank_cues
from review.compare.long_run import follow_long_run

# NIST/SEMATECH e-Handbook 6.3.2.4: data, weighted means and limits of its example, from memory
DATA = (
    *(52.0, 47.0, 53.0, 49.3, 50.1, 47.0, 51.0, 50.1, 51.2, 50.5),
    *(49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1),
)
MEANS = (
    *(50.60, 49.52, 50.56, 50.18, 50.16, 49.21, 49.75, 49.85, 50.26, 50.33),
    *(50.11, 49.36, 49.52, 50.05, 49.38, 49.92, 50.73, 51.23, 51.94, 51.99),
)

# Colditz et al. 1994, JAMA 271:698-702: 13 trials (ill and well with, ill and well without), from memory
TRIALS = np.array(
    [
        *([4, 119, 11, 128], [6, 300, 29, 274], [3, 228, 11, 209], [62, 13536, 248, 12619], [33, 5036, 47, 5761]),
        *([180, 1361, 372, 1079], [8, 2537, 10, 619], [505, 87886, 499, 87892], [29, 7470, 45, 7232]),
        *([17, 1699, 65, 1600], [186, 50448, 141, 27197], [5, 2493, 3, 2338], [27, 16886, 29, 17825]),
    ],
    dtype=float,
)


def test_the_mean_that_forgets_is_the_handbooks():
    run = follow_long_run(DATA, 50.0, 2.0539, 0.3)
    assert run.means == pytest.approx(MEANS, abs=0.006)
    assert (run.low, run.high) == (pytest.approx(47.4115, abs=1e-4), pytest.approx(52.5884, abs=1e-4))


def test_pooled_changes_are_those_of_a_published_meta_analysis():
    """-0.7141 with standard error 0.1787 and a variance of 0.3088 between trials (DerSimonian-Laird), from memory."""
    ill, well, ill_without, well_without = TRIALS.T
    ratio = np.log((ill / (ill + well)) / (ill_without / (ill_without + well_without)))
    variance = 1 / ill - 1 / (ill + well) + 1 / ill_without - 1 / (ill_without + well_without)
    mean, error, between = pool_changes(ratio, variance)
    assert (round(mean, 4), round(error, 4), round(between, 4)) == (-0.7141, 0.1787, 0.3088)


def _given(cue, before, after, feel="", lesson="l"):
    spread = np.linspace(-1, 1, 6)
    return CueGiven(cue, feel, lesson, Sample(tuple(before + spread)), Sample(tuple(after + spread)))


def test_cues_come_by_how_surely_they_moved_the_measure():
    given = [
        _given("turn the lead hip", 6, 5.5, "spinning"),
        _given("Zip turns to the target", 6, 2, "zip at the flag", "l1"),
        _given("zip turns  to the target", 5.5, 2.5, "zip early", "l2"),
        _given("", 6, 0),
    ]
    best, other = rank_cues(given)
    assert (best.cue, best.n_given, best.n_with) == ("zip turns  to the target", 2, 2)
    assert best.feels == ("zip at the flag", "zip early")
    assert best.low < best.change < best.high < 0
    assert other.cue == "turn the lead hip"
    assert math.isclose(best.change, -3.5, abs_tol=0.01)


def test_what_went_the_other_way_comes_last():
    given = [_given("swing left", 6, 3), _given("hold it off", 6, 11)]
    assert [w.cue for w in rank_cues(given)] == ["hold it off", "swing left"]
    assert [w.cue for w in rank_cues(given, wanted=-1)] == ["swing left", "hold it off"]


def test_a_cue_of_which_nothing_can_be_said_is_left_out():
    short = CueGiven("one ball", "", "l", Sample((1.0,)), Sample((2.0, 3.0)))
    flat = CueGiven("flat", "", "l", Sample((1.0, 1.0)), Sample((2.0, 2.0)))
    assert rank_cues([short, flat]) == ()
