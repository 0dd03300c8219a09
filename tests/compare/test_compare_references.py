"""The statistics against published examples and other packages."""

import math

import numpy as np
import pytest
from scipy import stats

from review.compare import (
    adjust_holm,
    compare_scatter,
    compute_bca_interval,
    compute_newcombe_interval,
    compute_power,
    compute_robust_sd,
    compute_spearman,
    find_carrier,
    find_drift,
    find_more_shots,
    find_trend,
)

# Data of "Student" (1908), Biometrika 6:1-25, as in R's data set `sleep`: extra hours of sleep.
SLEEP_1 = (0.7, -1.6, -0.2, -1.2, -0.1, 3.4, 3.7, 0.8, 0.0, 2.0)
SLEEP_2 = (1.9, 0.8, 1.1, 0.1, -0.1, 4.4, 5.5, 1.6, 4.6, 3.4)

# Efron & Tibshirani (1993), An introduction to the bootstrap, table 14.1: spatial test, measure A.
SPATIAL = (48, 36, 20, 29, 42, 42, 20, 42, 22, 41, 45, 14, 6, 0, 33, 28, 34, 4, 32, 24, 47, 41, 24, 26, 30, 41)


def test_robust_sd_of_sleep() -> None:
    # statsmodels 0.15.0 robust.scale.mad and pingouin 0.7.0 mad: 1.5567323294308817.
    assert compute_robust_sd(SLEEP_1) == pytest.approx(1.5567323294308817, rel=1e-12)


def test_bca_interval_of_the_spatial_test() -> None:
    # Biased variance, 90 %: BCa [115.5, 260.9] (scipy 1.17.1, 400,000 resamples), book [115.8, 259.6] from memory;
    # 3 is what 9,999 resamples scatter by. The percentile interval [97.9, 235.8] lies far outside.
    def variance(x: np.ndarray, axis: int = -1) -> np.ndarray:
        return np.asarray(x.var(axis=axis))

    assert float(variance(np.asarray(SPATIAL, dtype=float))) == pytest.approx(171.534, abs=5e-4)
    found = compute_bca_interval([SPATIAL], variance, confidence=0.90)
    assert found == pytest.approx((115.5, 260.9), abs=3)


def test_no_bootstrap_where_it_would_say_nothing() -> None:
    def mean(x: np.ndarray, axis: int = -1) -> np.ndarray:
        return np.asarray(x.mean(axis=axis))

    assert compute_bca_interval([(1.0, 2.0, 3.0, 4.0)], mean) is None
    assert compute_bca_interval([(1.0,) * 6], mean) is None
    assert compute_bca_interval([tuple(range(201))], mean) is None


def test_brown_forsythe_and_ratio_of_sleep() -> None:
    change = compare_scatter(SLEEP_1, SLEEP_2)
    # pingouin 0.7.0 homoscedasticity(method="levene") with its default centre, the median: 0.6243742854148876.
    assert change.brown_forsythe_p == pytest.approx(0.6243742854148876, rel=1e-9)
    assert change.ratio == pytest.approx(np.std(SLEEP_2, ddof=1) / np.std(SLEEP_1, ddof=1), rel=1e-12)
    assert change.low < change.ratio < change.high
    # turned about, the ratio and its interval are their own inverses
    back = compare_scatter(SLEEP_2, SLEEP_1)
    assert (1 / back.high, 1 / back.low) == pytest.approx((change.low, change.high), rel=1e-12)


def test_the_interval_of_a_ratio_nears_the_normal_theory_for_many_values() -> None:
    # For many normal values the variance of log(sd) is 1 / (2 (n - 1)): half width 1.96 sqrt(2 / (2 x 999)) of the log.
    even = stats.norm.ppf((np.arange(1000) + 0.5) / 1000)
    change = compare_scatter(even, even + 5)
    half = math.log(change.high / change.low) / 2
    assert change.ratio == pytest.approx(1, rel=1e-12)
    assert half == pytest.approx(1.959964 * math.sqrt(1 / 999), rel=0.01)


def test_holm_agrees_with_statsmodels() -> None:
    # statsmodels 0.15.0: multipletests([0.01, 0.04, 0.03, 0.005], method="holm").
    assert adjust_holm((0.01, 0.04, 0.03, 0.005)) == pytest.approx((0.03, 0.06, 0.06, 0.02), rel=1e-12)
    assert adjust_holm(()) == ()
    assert adjust_holm((0.7, 0.6)) == (1.0, 1.0)
    with pytest.raises(ValueError, match="within 0..1"):
        adjust_holm((0.1, math.nan))


@pytest.mark.parametrize(
    ("d", "n", "power"),
    [
        # statsmodels 0.15.0: TTestIndPower().power(d, n, 0.05); equal scatter and sizes make Welch's df Student's.
        (2.02, 5, 0.7983016391990346),
        (1.51, 8, 0.8017392110558345),
        (1.33, 10, 0.8029690351696179),
        (0.91, 20, 0.8007500851777937),
        (2.5, 6, 0.9729728166053816),
    ],
)
def test_power_agrees_with_statsmodels(d: float, n: int, power: float) -> None:
    assert compute_power(d, (1.0, 1.0), (n, n)) == pytest.approx(power, abs=1e-6)


def test_more_shots_reach_the_wanted_power_and_one_less_does_not() -> None:
    sds, p = (1.0, 1.2), 0.05
    more = find_more_shots(1.6, sds, (6, 6), 0.2, p, power=0.8)
    assert more is not None
    assert compute_power(1.6, sds, (6, 6 + more), p) >= 0.8
    assert compute_power(1.6, sds, (6, 6 + more - 1), p) < 0.8
    even = find_more_shots(1.3, sds, (6, 6), 0.2, p)
    assert even is not None
    assert compute_power(1.3, sds, (6, 6 + even), p) >= 0.5 > compute_power(1.3, sds, (6, 6 + even - 1), p)
    # six first shots alone leave a standard error that no number of further shots mends
    assert find_more_shots(0.5, sds, (6, 6), 0.05, p) is None
    # 3 against 4 has 35 splits, 2/35 = 0.057; 3 against 5 is the first that can be below 0.05
    assert find_more_shots(50.0, sds, (3, 3), 0.2, p) == 2
    assert find_more_shots(50.0, sds, (3, 3), 0.2, p, is_permuted=False) == 1
    # 1.96 x 3 sqrt(1/6 + 1/n) <= 2.9 needs n of 13.1 (by hand), whatever the scatter
    assert find_more_shots(2.9, (0.1, 0.1), (6, 6), 3.0, p) == 8


def test_newcombe_interval_of_the_published_example() -> None:
    # Newcombe (1998), Stat. Med. 17:873-890, 56/70 against 48/80, method 10: 0.0524 to 0.3339 (from memory);
    # statsmodels 0.15.0 confint_proportions_2indep(method="newcomb"): 0.05243147, 0.33387265.
    assert compute_newcombe_interval(56, 70, 48, 80) == pytest.approx((0.05243147, 0.33387265), abs=5e-9)
    assert compute_newcombe_interval(5, 6, 0, 6) == pytest.approx((0.27670079, 0.96994663), abs=5e-9)


def test_drift_of_one_batch_is_kendall_and_theil() -> None:
    drift = find_drift(SLEEP_1)
    # scipy 1.17.1: theilslopes(sleep 1) slope 0.3; kendalltau p 0.10831349; statsmodels 0.15.0 acf at lag 1 0.36790488.
    assert drift.slope_per_shot == pytest.approx(0.3, rel=1e-12)
    assert drift.p == pytest.approx(0.10831349206349207, rel=1e-9)
    assert drift.lag1 == pytest.approx(0.36790488, abs=5e-9)


def test_lag_one_p_is_the_share_of_orders() -> None:
    # All 5! orders of 1..5 by hand count: how many are at least as alike as the rising one, doubled.
    from itertools import permutations

    centred = np.arange(5.0) - 2
    all_lags = [float(np.dot(o[1:], o[:-1])) / 10 for o in map(np.array, permutations(centred))]
    exact = 2 * np.mean([lag >= 0.4 - 1e-12 for lag in all_lags])
    drift = find_drift((1.0, 2.0, 3.0, 4.0, 5.0))
    assert drift.lag1 == pytest.approx(0.4, rel=1e-12)
    assert drift.lag1_p == pytest.approx(exact, abs=0.01)  # 4,999 shuffles scatter by 0.004
    assert drift.p == pytest.approx(2 / 120, rel=1e-9)


def test_drift_of_several_batches_is_their_common_one() -> None:
    # Hirsch, Slack & Smith (1982): S adds up, and its variance n (n - 1) (2 n + 5) / 18 too: 6 + 6 pairs all rising,
    # variance 2 x 8.667; z = 11 / 4.163. The drop between the batches does not count.
    drift = find_drift((1.0, 2.0, 3.0, 4.0), (-8.0, -6.0, -4.0, -2.0))
    assert drift.p == pytest.approx(2 * stats.norm.sf(11 / math.sqrt(2 * 4 * 3 * 13 / 18)), rel=1e-9)
    assert drift.slope_per_shot == pytest.approx(1.5, rel=1e-12)
    assert math.isnan(find_drift((1.0, 2.0), (3.0, 4.0)).p)


def test_the_odd_shot_is_grubbs() -> None:
    # statsmodels 0.15.0: OLS on a constant, outlier_test: Bonferroni p 0.00887897 of the last value.
    carrier = find_carrier((5.0, 5.0, 5.0, 5.0), (5.0, 4.9, 5.5, 6.0, 4.6, 9.9))
    assert carrier is not None
    assert (carrier.is_in_last, carrier.place) == (True, 5)
    assert carrier.p == pytest.approx(8.87897252e-03, rel=1e-8)
    assert carrier.difference_without == pytest.approx(5.2 - 5.0, abs=1e-12)
    assert find_carrier((1.0, 2.0, 3.0), (1.0, 1.0, 1.0, 1.0)) is None


def test_jonckheere_of_a_published_example() -> None:
    # Hollander & Wolfe, Nonparametric statistical methods, example 6.2 (from memory): J = 79.
    groups = ((40, 35, 38, 43, 44, 41), (38, 40, 47, 44, 40, 42), (48, 40, 45, 43, 46, 44))
    trend = find_trend(groups)
    assert trend.jonckheere == 79
    # Kendall's tau-b of value against batch is the same statistic; its normal limit is near the shuffled p.
    order = np.repeat([0, 1, 2], 6)
    limit = stats.kendalltau(order, np.concatenate(groups), method="asymptotic").pvalue
    assert trend.p == pytest.approx(limit, abs=0.01)
    # By hand: means 40.17, 41.83, 44.33; slopes 1.667, 2.5, 2.083.
    assert trend.slope_per_batch == pytest.approx(2.0833333, abs=1e-6)


def test_jonckheere_of_many_shots_counts_the_same() -> None:
    random = np.random.default_rng(62)
    groups = [random.integers(0, 9, 120) for _ in range(3)]
    counted = sum(
        float((b[None, :] > a[:, None]).sum() + 0.5 * (b[None, :] == a[:, None]).sum())
        for i, a in enumerate(groups)
        for b in groups[i + 1 :]
    )
    assert find_trend(groups).jonckheere == pytest.approx(counted, rel=1e-12)


def test_a_trend_needs_three_batches() -> None:
    assert math.isnan(find_trend(((1.0, 2.0), (3.0, 4.0), ())).p)


def test_spearman_of_sleep() -> None:
    rho, low, high, p = compute_spearman(SLEEP_1, SLEEP_2)
    # pingouin 0.7.0: rho 0.7818181818, p 0.0075470078.
    assert rho == pytest.approx(0.7818181818181817, rel=1e-12)
    assert p == pytest.approx(0.0075470077810678785, rel=1e-9)
    # Bonett & Wright (2000) by hand: atanh 0.78182 = 1.05024, error sqrt((1 + 0.30562) / 7) = 0.43188.
    assert (low, high) == pytest.approx(
        (math.tanh(1.05024 - 1.95996 * 0.43188), math.tanh(1.05024 + 0.84648)), abs=2e-4
    )
    assert compute_spearman(range(8), range(8))[1] < 1 == compute_spearman(range(8), range(8))[2]
