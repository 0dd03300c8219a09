"""What must not matter: the sign of a direction, the unit, the order of the rows."""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from review.compare import Comparison, Sample, Verdict, Window, compare_samples, find_companions, judge_together
from review.lesson import AimMeasure, Lesson, Measure, Shot, Swing

# Steps of a tenth, as devices give them, so that ties are frequent; up to 9 a batch, all splits counted.
TENTHS = st.integers(-80, 80).map(lambda i: i / 10)
BATCH = st.lists(TENTHS, min_size=1, max_size=9).map(tuple)
MANY = st.lists(TENTHS, min_size=12, max_size=14).map(tuple)  # splits are sampled


def compare(first: tuple[float, ...], last: tuple[float, ...], error: float = 0.3) -> Comparison:
    return compare_samples(
        "club_path_deg", Sample(first), Sample(last), repeatability=error, batches_closed=True, in_aim=True
    )


def numbers(c: Comparison) -> list[float]:
    """Everything but the drift, which is in the remarks."""
    scatter = c.scatter
    assert scatter is not None
    permutation_p = math.nan if c.permutation_p is None else c.permutation_p
    return [c.welch_p, permutation_p, c.adjusted_p, c.welch_df, scatter.ratio, scatter.low, scatter.high]


@given(BATCH | MANY, BATCH | MANY)
@settings(max_examples=40, deadline=None)
def test_mirrored_signs_turn_every_difference_and_keep_every_verdict(
    first: tuple[float, ...], last: tuple[float, ...]
) -> None:
    c = compare(first, last)
    m = compare(tuple(-v for v in first), tuple(-v for v in last))
    assert (m.verdict, m.why, m.more_shots_words) == (c.verdict, c.why, c.more_shots_words)
    assert m.remarks == c.remarks
    turned = [-c.difference, -c.high, -c.low, -c.welch_t, -c.hedges_g, -c.median_last, -c.bca_high, -c.bca_low]
    found = [m.difference, m.low, m.high, m.welch_t, m.hedges_g, m.median_last, m.bca_low, m.bca_high]
    assert found == pytest.approx(turned, rel=1e-9, abs=1e-12, nan_ok=True)
    assert numbers(m) == pytest.approx(numbers(c), rel=1e-9, nan_ok=True)


@given(BATCH | MANY, BATCH | MANY)
@settings(max_examples=40, deadline=None)
def test_another_unit_changes_nothing(first: tuple[float, ...], last: tuple[float, ...]) -> None:
    to_yd = 0.9144 / 1.609344  # any factor that is no power of two
    c = compare(first, last)
    u = compare(tuple(v * to_yd for v in first), tuple(v * to_yd for v in last), 0.3 * to_yd)
    assert u.verdict == c.verdict
    assert numbers(u) == pytest.approx(numbers(c), rel=1e-6, nan_ok=True)
    scaled = [v * to_yd for v in (c.difference, c.low, c.high, c.bca_low, c.bca_high, c.robust_sd_last)]
    found = [u.difference, u.low, u.high, u.bca_low, u.bca_high, u.robust_sd_last]
    assert found == pytest.approx(scaled, rel=1e-6, abs=1e-9, nan_ok=True)


@given(BATCH | MANY, BATCH | MANY, st.randoms(use_true_random=False))
@settings(max_examples=40, deadline=None)
def test_the_order_of_the_rows_changes_nothing_but_what_is_said_of_order(
    first: tuple[float, ...], last: tuple[float, ...], random: object
) -> None:
    mixed = [sorted(values, key=lambda _: random.random()) for values in (first, last)]  # type: ignore[attr-defined]
    c, s = compare(first, last), compare(tuple(mixed[0]), tuple(mixed[1]))
    assert (s.verdict, s.why, s.more_shots_words) == (c.verdict, c.why, c.more_shots_words)
    assert numbers(s) == pytest.approx(numbers(c), rel=1e-9, nan_ok=True)
    assert [s.difference, s.bca_low, s.bca_high] == pytest.approx(
        [c.difference, c.bca_low, c.bca_high], rel=1e-9, abs=1e-12, nan_ok=True
    )


@given(st.lists(st.tuples(BATCH, BATCH), min_size=1, max_size=4))
@settings(max_examples=40, deadline=None)
def test_more_measures_in_the_aim_never_make_one_clearer(pairs: list[tuple[tuple[float, ...], ...]]) -> None:
    alone = [compare(first, last) for first, last in pairs]
    together = judge_together(alone)
    for a, t in zip(alone, together, strict=True):
        assert math.isnan(t.adjusted_p) == math.isnan(a.adjusted_p)
        assert not t.adjusted_p < a.adjusted_p
        assert a.verdict == t.verdict or (a.verdict.value, t.verdict.value) == ("clear", "likely")
    backward = judge_together(alone[::-1])[::-1]
    assert [c.verdict for c in backward] == [c.verdict for c in together]


@given(BATCH, BATCH, TENTHS, TENTHS)
@settings(max_examples=40, deadline=None)
def test_a_window_counts_the_same_from_either_side(
    first: tuple[float, ...], last: tuple[float, ...], a: float, b: float
) -> None:
    def inside(x: tuple[float, ...], y: tuple[float, ...], window: Window) -> tuple[object, ...]:
        c = compare_samples(
            "face_angle_deg", Sample(x), Sample(y), repeatability=None, batches_closed=False, in_aim=True, window=window
        )
        assert c.inside is not None
        return replace(c.inside, window=Window(0, 1)), c.inside.words

    window, mirrored = Window(min(a, b), max(a, b)), Window(-max(a, b), -min(a, b))
    assert inside(first, last, window) == inside(tuple(-v for v in first), tuple(-v for v in last), mirrored)


def test_companions_are_found_in_any_order_of_swings_and_with_mirrored_signs() -> None:
    random = np.random.default_rng(71)
    path = random.normal(0, 2, 16)
    hips = 3 * path + random.normal(0, 1, 16)

    def find(sign: float, step: int) -> tuple[float, ...]:
        swings = [
            Swing(str(i), i + 1, shot=Shot(str(i), i + 1, "t", {"club_path_deg": sign * v}), batch_id="a")
            for i, v in enumerate(path)
        ]
        body = {str(i): (Measure("hip_turn_deg", sign * v, "impact"),) for i, v in enumerate(hips)}
        lesson = Lesson("l", "p", __import__("datetime").date(2024, 1, 1), aim_measures=(AimMeasure("club_path_deg"),))
        (found,) = find_companions(swings[::step], body, lesson)
        return found.rho, found.low, found.high, found.p

    assert find(1.0, 1) == pytest.approx(find(1.0, -1), rel=1e-12)
    assert find(1.0, 1) == pytest.approx(find(-1.0, 1), rel=1e-12)


ANY = st.lists(st.floats(-1e9, 1e9) | st.sampled_from([5e-324, 1e-160, 1e-170, 0.1, 1e9]), min_size=1, max_size=7)


@given(ANY.map(tuple), ANY.map(tuple))
@settings(max_examples=60, deadline=None)
def test_no_values_end_in_an_error(first: tuple[float, ...], last: tuple[float, ...]) -> None:
    # warnings of numpy are errors in these tests
    for a, b in ((first, last), (first, first), (first[:1] * 6, last)):
        c = compare(a, b)
        assert c.verdict is not Verdict.CLEAR or 0 <= c.p <= 0.05
        assert not c.low > c.high
