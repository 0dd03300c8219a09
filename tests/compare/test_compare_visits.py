"""What held and what came back: Fieller's interval by root finding, and simulation with known truth."""

import math

import numpy as np
import pytest
from scipy import optimize, stats

from review.compare import Sample
from review.compare.visits import Held, estimate_share, judge_kept

OLD, NEW = Sample((5.8, 6.4, 5.1, 6.9, 5.5, 6.2)), Sample((1.9, 2.6, 1.2, 2.2, 3.0, 1.7))


def _near(mean: float, n: int = 6) -> Sample:
    return Sample(tuple(mean + d for d in np.linspace(-0.8, 0.8, n)))


@pytest.mark.parametrize(
    ("now", "outcome"),
    [(2.1, Held.HELD), (6.0, Held.CAME_BACK), (4.0, Held.PARTLY), (-1.0, Held.HELD), (9.0, Held.CAME_BACK)],
)
def test_what_became_of_a_change(now, outcome):
    kept = judge_kept(OLD, NEW, _near(now), was_change=True)
    assert kept.outcome is outcome
    assert kept.since == pytest.approx(now - np.mean(NEW.values))
    assert kept.share == pytest.approx((now - np.mean(OLD.values)) / (np.mean(NEW.values) - np.mean(OLD.values)))


def test_mirrored_it_is_the_same():
    turned = [Sample(tuple(-v for v in s.values)) for s in (OLD, NEW, _near(4.0))]
    there, back = judge_kept(OLD, NEW, _near(4.0), was_change=True), judge_kept(*turned, was_change=True)
    assert (back.outcome, back.since) == (there.outcome, pytest.approx(-there.since))
    assert (back.share_low, back.share_high) == (pytest.approx(there.share_low), pytest.approx(there.share_high))


def test_two_camera_set_ups_leave_a_body_number_open():
    """The shared error of either visit is kept in: what is held in one set-up cannot be told over two."""
    sure = [Sample(s.values, shared_sd=5.0, setup="same") for s in (OLD, NEW, _near(6.0))]
    assert judge_kept(*sure, was_change=True).outcome is Held.CAME_BACK
    moved = [*sure[:2], Sample(sure[2].values, shared_sd=5.0, setup="another day")]
    assert judge_kept(*moved, was_change=True).outcome is Held.CANT_TELL


@pytest.mark.parametrize(
    ("samples", "was_change", "outcome"),
    [
        ((OLD, NEW, Sample((4.0,))), True, Held.CANT_TELL),
        ((OLD, NEW, Sample(())), True, Held.CANT_TELL),
        ((OLD, Sample((2.0, 2.0)), Sample((2.0, 2.0))), True, Held.CANT_TELL),
        ((OLD, NEW, _near(2.0)), False, Held.NO_CHANGE),
    ],
)
def test_what_cannot_be_said_says_why(samples, was_change, outcome):
    kept = judge_kept(*samples, was_change=was_change)
    assert kept.outcome is outcome
    assert kept.why


def test_the_share_left_is_fiellers():
    """The interval holds the parts r for which new - first - r (last - first) is within t of 0: by root finding."""
    now = _near(4.0, 8)
    share, low, high = estimate_share(OLD, NEW, now)
    a, b, c = OLD.array, NEW.array, now.array
    variances = [v.var(ddof=1) / len(v) for v in (a, b, c)]
    df = min(
        sum(pair) ** 2 / sum(v**2 / (len(x) - 1) for v, x in zip(pair, of, strict=True))
        for pair, of in ((variances[:2], (a, b)), (variances[::2], (a, c)))
    )

    def excess(r: float) -> float:
        size = (c.mean() - a.mean() - r * (b.mean() - a.mean())) ** 2
        variance = variances[2] + r**2 * variances[1] + (1 - r) ** 2 * variances[0]
        return size - stats.t.ppf(0.975, df) ** 2 * variance

    assert low == pytest.approx(optimize.brentq(excess, share - 2, share))
    assert high == pytest.approx(optimize.brentq(excess, share, share + 2))


def test_no_share_of_a_change_that_may_be_none():
    assert all(math.isnan(v) for v in estimate_share(OLD, _near(5.9), _near(4.0)))


def test_the_share_covers_what_is_true():
    random = np.random.default_rng(20)
    inside = 0
    for _ in range(400):
        truth = 0.6
        samples = [Sample(tuple(random.normal(mean, 1, 6))) for mean in (0, 4, 4 * truth)]
        _, low, high = estimate_share(*samples)
        inside += low <= truth <= high
    assert 0.93 <= inside / 400 <= 1.0
