"""Batches of hundreds and thousands of rows: other ways to the same numbers."""

import math
import re

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from review.compare import Sample, compute_permutation_p, find_drift, make_sample, measures_of_shot
from review.compare.remarks import find_remarks
from review.compare.samples import sample_rows
from review.lesson import Handedness, Shot, Swing

CELLS = st.floats(allow_nan=True, allow_infinity=True) | st.sampled_from([1e9, -1e9, 1.1e9])
ROWS = st.lists(st.dictionaries(st.sampled_from(["club_path_deg", "carry_yd", "spin_rpm"]), CELLS), max_size=6)


@given(ROWS)
@settings(max_examples=100, deadline=None)
def test_rows_taken_all_at_once_are_those_taken_one_by_one(rows: list[dict[str, float]]) -> None:
    swings = [Swing(str(i), i, shot=Shot(str(i), i, "t", values)) for i, values in enumerate(rows, start=3)]
    swings.insert(0, Swing("no row", 1))
    found = sample_rows(swings, ["club_path_deg", "carry_yd"])
    for name in ("club_path_deg", "carry_yd"):
        one_by_one = [
            next((m for m in measures_of_shot(s.shot) if m.name == name), None) if s.shot else None for s in swings
        ]
        expected = make_sample(one_by_one, Handedness.RIGHT, [s.order for s in swings])
        assert found[name].values == expected.values
        assert found[name].numbers == expected.numbers
        assert found[name].why_missing == expected.why_missing


def test_a_drift_in_a_long_batch_is_cox_and_stuarts_sign_test() -> None:
    # 601 shots make 300 pairs, the middle one is left over. Rising steadily every pair rises: 2 x 0.5^300.
    line = 0.25 * np.arange(601.0)
    drift = find_drift(line)
    assert drift.slope_per_shot == pytest.approx(0.25, rel=1e-12)
    assert drift.p == pytest.approx(2 * 0.5**300, rel=1e-9)
    # 160 of 300 rise: the binomial by scipy
    mixed = np.concatenate([np.zeros(301), np.ones(160), -np.ones(140)])
    assert find_drift(mixed).p == pytest.approx(stats.binomtest(160, 300).pvalue, rel=1e-9)
    # what does not rise or fall says nothing
    assert find_drift(np.concatenate([np.zeros(301), np.ones(10), np.zeros(290)])).p == pytest.approx(2 / 1024)


def test_a_drift_in_a_long_batch_is_seldom_found_where_there_is_none_and_mostly_where_kendall_finds_it() -> None:
    random = np.random.default_rng(81)
    level = sum(find_drift(random.normal(0, 1, 600)).p < 0.05 for _ in range(300))
    assert level <= 15 + 3 * math.sqrt(300 * 0.05 * 0.95)
    # a drift of half a standard deviation over the batch; Cox and Stuart's is somewhat weaker than Kendall's
    found = [
        (find_drift(values).p < 0.05, stats.kendalltau(np.arange(600), values).pvalue < 0.05)
        for values in random.normal(0, 1, (100, 600)) + np.linspace(0, 0.5, 600)
    ]
    assert sum(kendall for _, kendall in found) >= sum(ours for ours, _ in found) - 5
    assert sum(ours for ours, _ in found) >= 70


def test_a_drift_in_a_long_batch_is_told_over_the_whole_batch_or_not_at_all() -> None:
    random = np.random.default_rng(82)
    steady, moving = random.normal(0, 1, 1000), random.normal(0, 1, 1000) + np.linspace(0, 3, 1000)
    (said,) = find_remarks("club_path_deg", Sample(tuple(moving)), Sample(tuple(steady - 5)))
    # the middle of 500 slopes over half a batch: 3 with a standard error of 2 x 1.25 x sqrt(2 / 500) = 0.16
    told = re.fullmatch(
        r"within the first batch it drifted, about (.*)° from its first shot to its last, against the change.*", said
    )
    assert told is not None
    assert float(told[1]) == pytest.approx(3, abs=0.5)
    assert find_remarks("club_path_deg", Sample(tuple(moving / 1000)), Sample(tuple(steady))) == ()


def test_the_normal_limit_of_the_permutation_p_is_what_shuffling_finds() -> None:
    # scipy.stats.permutation_test, 9,999 shuffles; standard error of twice a tail of 0.05: 2 sqrt(0.05 x 0.95 / 9999)
    random = np.random.default_rng(83)
    for shift in (0.1, 0.2, 0.3):
        a, b = random.exponential(1, 150) + shift, random.exponential(1, 120)
        shuffled = stats.permutation_test(
            (a, b),
            lambda x, y, axis: x.mean(axis=axis) - y.mean(axis=axis),
            vectorized=True,
            n_resamples=9_999,
            rng=np.random.default_rng(1),
        ).pvalue
        error = 2 * math.sqrt(max(shuffled / 2, 0.001) * (1 - shuffled / 2) / 9_999)
        assert compute_permutation_p(tuple(a), tuple(b)) == pytest.approx(shuffled, abs=3 * error + 0.003)
