import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from review.compare import (
    Sample,
    compare_samples,
    compare_scatter,
    compute_hedges_g,
    compute_permutation_p,
    compute_smallest_that_counts,
    compute_welch,
    find_drift,
)

# Data of "Student" (1908), Biometrika 6:1-25, as in R's data set `sleep`: extra hours of sleep.
SLEEP_1 = (0.7, -1.6, -0.2, -1.2, -0.1, 3.4, 3.7, 0.8, 0.0, 2.0)
SLEEP_2 = (1.9, 0.8, 1.1, 0.1, -0.1, 4.4, 5.5, 1.6, 4.6, 3.4)


def values_with(mean: float, sd: float, n: int) -> np.ndarray:
    """Any n values with exactly this mean and standard deviation."""
    shape = np.linspace(-1.0, 1.0, n)
    return mean + sd * shape / shape.std(ddof=1)


def test_welch_agrees_with_r_on_sleep() -> None:
    # R 4.2.2: t.test(extra ~ group, data = sleep); printed to 7 digits.
    welch = compute_welch(SLEEP_1, SLEEP_2)
    assert welch.t == pytest.approx(-1.8608135, abs=5e-8)
    assert welch.df == pytest.approx(17.776474, abs=5e-7)
    assert welch.p == pytest.approx(0.0793941, abs=5e-8)
    assert (welch.low, welch.high) == pytest.approx((-3.3654832, 0.2054832), abs=5e-8)


def test_welch_agrees_with_scipy_documentation() -> None:
    # Summary data of the documentation of scipy.stats.ttest_ind_from_stats: n 13, mean 15.0, variance 87.5
    # against n 11, mean 12.0, variance 39.0; values by that function with equal_var=False.
    welch = compute_welch(values_with(15.0, math.sqrt(87.5), 13), values_with(12.0, math.sqrt(39.0), 11))
    assert welch.t == pytest.approx(0.9358462, abs=5e-8)
    assert welch.p == pytest.approx(0.3599982, abs=5e-8)


def test_welch_agrees_with_nist_car_data() -> None:
    # NIST/SEMATECH e-Handbook 1.3.5.3, miles per gallon of US and Japanese cars (AUTO83B): summary values from
    # memory, rounded to 5 decimals; t -12.94627 and df 136.875 computed from them in R 4.2.2.
    welch = compute_welch(values_with(20.14458, 6.41470, 249), values_with(30.48101, 6.10771, 79))
    assert welch.t == pytest.approx(-12.94627, abs=5e-6)
    assert welch.df == pytest.approx(136.875, abs=5e-4)


def test_welch_of_one_constant_batch_has_the_degrees_of_the_other() -> None:
    # Closed form: with one variance zero, Satterthwaite's df is n - 1 of the other batch.
    welch = compute_welch((1.0, 2.0, 4.0, 5.0), (3.0, 3.0, 3.0))
    assert welch.df == pytest.approx(3.0, rel=1e-12)
    assert welch.t == pytest.approx(0.0, abs=1e-12)
    assert welch.p == pytest.approx(1.0, abs=1e-12)


def test_a_shared_error_widens_the_interval_and_nothing_else() -> None:
    plain, shared = compute_welch(SLEEP_1, SLEEP_2), compute_welch(SLEEP_1, SLEEP_2, shared_variance=4.0)
    assert shared.difference == plain.difference
    # Closed form: variances of independent errors add.
    assert shared.standard_error**2 == pytest.approx(plain.standard_error**2 + 4.0, rel=1e-12)
    # A huge known error leaves a normal distribution: half width 1.959964 standard errors.
    huge = compute_welch(SLEEP_1, SLEEP_2, shared_variance=1e8)
    assert (huge.high - huge.low) / 2 / huge.standard_error == pytest.approx(1.959964, abs=1e-5)


def test_hedges_g_of_sleep() -> None:
    # Hedges (1981) with J by the gamma function: d -0.8321811, J 0.9576464, g -0.7969352 (R 4.2.2).
    g = compute_hedges_g(SLEEP_1, SLEEP_2)
    assert g == pytest.approx(-0.7969352, abs=5e-8)
    # The usual approximation J = 1 - 3 / (4 df - 1) gives -0.7970185; it differs by 1e-4 of g.
    assert g == pytest.approx(-0.7970185, rel=2e-4)


def test_hedges_g_without_spread_is_nan() -> None:
    assert math.isnan(compute_hedges_g((1.0, 1.0), (2.0, 2.0)))


def test_exact_permutation_p_of_sleep() -> None:
    # All 184,756 splits, counted in R 4.2.2 and by scipy.stats.permutation_test: 0.0814480, to 7 decimals.
    assert compute_permutation_p(SLEEP_1, SLEEP_2) == pytest.approx(0.0814480, abs=5e-8)


def test_the_most_extreme_of_462_splits() -> None:
    # Documentation of scipy.stats.permutation_test: 5 against 6 values that do not overlap, p = 2 / 462.
    p = compute_permutation_p((0.1, -0.4, 0.8, 0.3, -1.1), (3.0, 3.9, 2.2, 4.1, 3.3, 2.7))
    assert p == pytest.approx(2 / 462, rel=1e-12)


@pytest.mark.parametrize(("n", "smallest"), [(3, 0.1), (4, 0.0286), (5, 0.0079), (6, 0.0022)])
def test_smallest_possible_p(n: int, smallest: float) -> None:
    # 2 / C(2n, n), to 4 decimals.
    p = compute_permutation_p(range(n), range(100, 100 + n))
    assert p == pytest.approx(smallest, abs=5e-5)


@given(
    st.lists(st.integers(-20, 20), min_size=2, max_size=5),
    st.lists(st.integers(-20, 20), min_size=2, max_size=5),
)
def test_permutation_agrees_with_scipy(a: list[int], b: list[int]) -> None:
    # scipy.stats.permutation_test is the outside check. Integers make ties frequent; this statistic grows with the
    # difference of means and is exact in integers, so that ties are ties there too.
    def difference(x: np.ndarray, y: np.ndarray, axis: int) -> np.ndarray:
        return len(b) * x.sum(axis=axis) - len(a) * y.sum(axis=axis)

    expected = stats.permutation_test((a, b), difference, vectorized=True, n_resamples=1000).pvalue
    assert compute_permutation_p(a, b) == pytest.approx(expected, rel=1e-9)


def test_sampled_permutation_is_repeatable_and_near_the_normal_limit() -> None:
    a, b = values_with(0.0, 1.0, 40), values_with(0.5, 1.0, 40)
    p = compute_permutation_p(a, b)
    assert p == compute_permutation_p(a, b)
    # For many values the permutation p nears that of Student's t; 20,000 splits give a standard error of
    # 2 sqrt(0.014 x 0.986 / 20000) = 0.0017; 0.006 is three of them and the rest of the limit.
    assert p == pytest.approx(stats.ttest_ind(a, b).pvalue, abs=0.006)


def test_a_sampled_p_is_never_zero() -> None:
    # Phipson & Smyth (2010): (0 + 1) / (20000 + 1), twice.
    assert compute_permutation_p(range(30), range(1000, 1030)) == pytest.approx(2 / 20001, rel=1e-12)


def test_one_shot_against_very_many_is_counted_not_refused() -> None:
    # 1 of 151 splits is as extreme: twice that. More values than an 8-bit index holds.
    many = [float(v) for v in range(150)]
    assert compute_permutation_p(many, (1000.0,)) == pytest.approx(2 / 151, rel=1e-12)
    assert compute_permutation_p((1000.0,), many) == pytest.approx(2 / 151, rel=1e-12)


def test_smallest_that_counts_is_the_minimal_detectable_change() -> None:
    # Hopkins (2000), Sports Med. 30:1-15, with `sleep` as test and retest: TE = SD of differences / sqrt(2)
    # = 0.8697381, MDC95 = 1.96 sqrt(2) TE = 2.4107911.
    differences = np.subtract(SLEEP_2, SLEEP_1)
    typical_error = float(differences.std(ddof=1)) / math.sqrt(2)
    assert typical_error == pytest.approx(0.8697381, abs=5e-8)
    assert compute_smallest_that_counts(typical_error, 1, 1) == pytest.approx(2.4107911, abs=5e-8)
    # Closed form: means of four carry half the error.
    assert compute_smallest_that_counts(typical_error, 4, 4) == pytest.approx(2.4107911 / 2, abs=5e-8)
    # Closed form, batches of two sizes: 36 (1/4 + 1/9) = 13.
    assert compute_smallest_that_counts(6.0, 4, 9) == pytest.approx(1.96 * math.sqrt(13), rel=1e-12)


@pytest.mark.parametrize(("a", "b"), [((1.0,), (1.0, 2.0)), ((1.0, 2.0), ()), ((1.0, math.nan), (1.0, 2.0))])
def test_too_few_or_missing_values_are_refused(a: tuple[float, ...], b: tuple[float, ...]) -> None:
    with pytest.raises(ValueError, match="expected at least|finite"):
        compute_welch(a, b)


def test_no_spread_at_all_is_refused_by_welch() -> None:
    with pytest.raises(ValueError, match="neither batch varies"):
        compute_welch((1.0, 1.0), (2.0, 2.0))


@pytest.mark.parametrize("n", range(2, 13))
def test_values_that_are_all_alike_have_no_scatter_whatever_the_last_digit_of_their_mean(n: int) -> None:
    # the computed mean of six times 0.1 is not 0.1
    alike, other = (0.1,) * n, (0.3,) * (n + 1)
    assert compute_welch((0.0, 1.0), alike).df == pytest.approx(1.0, rel=1e-12)
    assert math.isnan(compute_hedges_g(alike, other))
    assert math.isnan(compare_scatter(alike, (0.0, 0.5, 0.2, 0.4, 0.9)).ratio)
    assert math.isnan(find_drift((85.0037,) * n).p)
    c = compare_samples("carry_yd", Sample(alike), Sample(other), repeatability=0.1, batches_closed=True, in_aim=True)
    assert (c.sd_first, c.sd_last) == (0.0, 0.0)
    assert c.why == "neither batch varies, so chance cannot be judged"


def test_a_batch_of_two_shots_counts_in_a_drift_over_batches() -> None:
    # Hirsch, Slack and Smith (1982): S and its variance added up, 15 + 1 and n (n - 1) (2 n + 5) / 18 of 6 and 2 shots
    expected = math.erfc((15 + 1 - 1) / math.sqrt(6 * 5 * 17 / 18 + 1) / math.sqrt(2))
    assert find_drift((1.0, 2.0, 3.0, 4.0, 5.0, 6.0), (7.0, 9.0)).p == pytest.approx(expected)
    assert find_drift((1.0, 2.0, 3.0, 4.0, 5.0, 6.0), (7.0, 7.0)).p < 0.05  # two alike tell nothing
