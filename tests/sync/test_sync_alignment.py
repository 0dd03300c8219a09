"""Chances of pairs against counting every way to pair, one by one."""

from fractions import Fraction
from itertools import combinations
from math import comb

import numpy as np
import pytest

from review.sync.alignment import compute_pair_chances


def count_all(likelihood):
    """Every matching without crossing, its product summed: slow, and plainly right."""
    n, m = likelihood.shape
    total, with_pair = 0.0, np.zeros((n, m))
    for size in range(min(n, m) + 1):
        for swings in combinations(range(n), size):
            for rows in combinations(range(m), size):
                product = float(np.prod(likelihood[list(swings), list(rows)])) if size else 1.0
                total += product
                with_pair[list(swings), list(rows)] += product
    return with_pair / total


@pytest.mark.parametrize("shape", [(1, 1), (3, 5), (5, 4)])
def test_against_counting_all(shape):
    likelihood = np.random.default_rng(1).gamma(0.5, 4.0, shape)
    assert compute_pair_chances(likelihood) == pytest.approx(count_all(likelihood), abs=1e-12)


def test_two_hundred_shots_do_not_overflow():
    chances = compute_pair_chances(np.eye(200) * 1e6)
    assert chances == pytest.approx(np.eye(200), abs=1e-5)


@pytest.mark.parametrize("shape", [(300, 150), (150, 300), (200, 200)])
@pytest.mark.filterwarnings("error")
def test_many_swings_that_fit_every_row_alike_do_not_overflow(shape):
    """There are C(n, k) C(m, k) ways to make k pairs, so their expected number is known (whole numbers, exact)."""
    n, m = shape
    ways = [comb(n, k) * comb(m, k) * 400**k for k in range(min(n, m) + 1)]
    expected = float(Fraction(sum(k * way for k, way in enumerate(ways)), sum(ways)))
    chances = compute_pair_chances(np.full(shape, 400.0))
    assert chances.sum() == pytest.approx(expected, rel=1e-9)
    assert chances == pytest.approx(chances[::-1, ::-1], abs=1e-9)
    assert max(chances.sum(axis=0).max(), chances.sum(axis=1).max()) <= 1.0 + 1e-9


def test_nothing_on_a_side():
    assert compute_pair_chances(np.zeros((0, 3))).shape == (0, 3)
    assert compute_pair_chances(np.zeros((2, 0))).shape == (2, 0)


def test_order_tells_what_times_alone_do_not():
    # two swings both fit both rows: by order the first has the first
    chances = compute_pair_chances(np.full((2, 2), 100.0))
    assert chances[0, 0] == pytest.approx(chances[1, 1])
    assert chances[0, 0] > 0.9
