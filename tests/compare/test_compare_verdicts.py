import math
from dataclasses import replace

import numpy as np
import pytest
from scipy import stats

from review.compare import Comparison, Sample, Verdict, compare_samples, compute_welch

FIRST = (5.0, 6.1, 5.4, 6.6, 5.8, 6.0)
LAST = (1.9, 2.4, 1.4, 2.9, 2.2, 1.7)


def compare(
    first: Sample, last: Sample, name: str = "club_path_deg", error: float | None = 0.5, **other: bool
) -> Comparison:
    options = {"batches_closed": True, "in_aim": True} | other
    return compare_samples(name, first, last, repeatability=error, **options)


def test_a_large_change_is_clear_and_signed_last_minus_first() -> None:
    c = compare(Sample(FIRST), Sample(LAST))
    assert c.verdict is Verdict.CLEAR
    assert c.difference == pytest.approx(np.mean(LAST) - np.mean(FIRST), rel=1e-12)
    # scipy.stats is the outside check of the whole way through.
    expected = stats.ttest_ind(LAST, FIRST, equal_var=False)
    assert (c.welch_t, c.welch_p) == pytest.approx((expected.statistic, expected.pvalue), rel=1e-9)
    interval = expected.confidence_interval(0.95)
    assert (c.low, c.high) == pytest.approx((interval.low, interval.high), rel=1e-9)
    assert c.welch_t < 0
    assert c.hedges_g < 0
    assert c.permutation_p == pytest.approx(2 / 924, rel=1e-12)  # batches that do not overlap
    # Hopkins (2000): 1.96 x 0.5 x sqrt(1/6 + 1/6)
    assert c.smallest_that_counts == pytest.approx(0.98 / math.sqrt(3), rel=1e-12)
    assert c.label == "club path"


def test_no_change_cannot_be_told() -> None:
    c = compare(Sample(FIRST), Sample(FIRST))
    assert c.verdict is Verdict.CANT_TELL
    assert "smaller than errors of reading can make" in c.why


def test_a_sure_difference_below_the_smallest_that_counts_cannot_be_told() -> None:
    c = compare(Sample(FIRST), Sample(LAST), error=10.0)
    assert c.welch_p < 0.001
    assert c.verdict is Verdict.CANT_TELL


def test_three_against_three_is_at_most_likely_and_says_so() -> None:
    # The smallest two-sided p of 3 against 3 is 2/20.
    c = compare(Sample(FIRST[:3]), Sample(LAST[:3]))
    assert c.permutation_p == pytest.approx(0.1, rel=1e-12)
    assert c.verdict is Verdict.LIKELY
    assert "3 against 3 shots can never be clear" in c.why


def test_weaker_evidence_is_likely() -> None:
    last = tuple(v - 0.5 for v in FIRST)
    c = compare(Sample(FIRST), Sample(last), error=0.2)
    assert 0.05 < c.welch_p < 0.20
    assert c.verdict is Verdict.LIKELY
    assert "chance is not ruled out" in c.why


def test_evidence_weaker_than_four_in_five_cannot_be_told() -> None:
    # An 80 % interval excludes zero exactly where p < 0.20; this change counts in size, so chance alone decides.
    c = compare(Sample(FIRST), Sample(tuple(v - 0.4 for v in FIRST)), error=0.2)
    assert c.smallest_that_counts is not None
    assert c.smallest_that_counts < 0.4
    assert 0.20 < c.welch_p < 0.30
    assert c.verdict is Verdict.CANT_TELL


def test_the_smallest_difference_of_a_ratio_is_said_as_a_number() -> None:
    # "to 1" belongs to a tempo, not to a difference of two: 1.96 x 0.3 x sqrt(1/3 + 1/3) = 0.48
    tempo = Sample((3.0, 3.1, 3.2))
    assert "(0.48)" in compare(tempo, tempo, "tempo_ratio", 0.3).why


def test_an_interval_that_holds_zero_is_not_clear_whatever_the_permutation_says() -> None:
    # Few wild swings against many steady ones: no split is as extreme (2/715), but four wild swings say little
    # about their own mean, which only the interval knows.
    wild = Sample((-5.0, 0.8, 2.1, -1.3))
    steady = Sample((2.7, 3.0, 3.0, 3.4, 3.2, 3.1, 3.3, 2.9, 2.7))
    c = compare(wild, steady)
    assert c.permutation_p == pytest.approx(2 / 715, rel=1e-12)
    assert c.low < 0 < c.high
    assert c.verdict is Verdict.LIKELY


def test_a_wide_spread_cannot_be_told() -> None:
    c = compare(Sample((0.0, 8.0, 3.0, 11.0)), Sample((1.0, 9.0, 5.0, 11.0)), error=0.2)
    assert c.welch_p > 0.20
    assert c.verdict is Verdict.CANT_TELL
    assert "differ too much" in c.why


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        ({"in_aim": False}, "not in the lesson's aim"),
        ({"batches_closed": False}, "a batch is still open"),
        ({"error": None}, "the repeatability of club path is not known"),
    ],
)
def test_what_a_verdict_lacks_is_said(changed: dict[str, bool | None], said: str) -> None:
    c = compare(Sample(FIRST), Sample(LAST), **changed)
    assert c.verdict is Verdict.NOT_JUDGED
    assert c.why == said
    assert math.isfinite(c.low)  # description stays


def test_everything_that_is_missing_is_said_at_once() -> None:
    c = compare(Sample(FIRST[:1]), Sample(LAST), error=None, in_aim=False, batches_closed=False)
    assert c.verdict is Verdict.NOT_JUDGED
    for said in ("only 1 value in the first batch", "aim", "still open", "repeatability"):
        assert said in c.why


def test_pose_numbers_bring_their_own_repeatability() -> None:
    first = Sample((20.0, 22.0, 19.0, 21.0, 23.0), own_sds=(3.0,) * 5)
    last = Sample((36.0, 37.0, 34.0, 38.0, 35.0), own_sds=(4.0,) * 5)
    c = compare(first, last, "hip_turn_deg", None)
    assert c.verdict is Verdict.CLEAR
    # root mean square of 3 and 4 is 5 / sqrt(2)
    assert c.smallest_that_counts == pytest.approx(1.96 * 5 / math.sqrt(2) * math.sqrt(2 / 5), rel=1e-12)
    unknown = replace(first, own_sds=(0.0, 3.0, 3.0, 3.0, 3.0))
    assert compare(unknown, last, "hip_turn_deg", None).verdict is Verdict.NOT_JUDGED


def test_a_shared_error_cancels_in_one_setup_and_stays_between_two() -> None:
    first = Sample((20.0, 22.0, 19.0, 21.0, 23.0), (2.0,) * 5, shared_sd=3.0, setup="p1 cam A")
    last = Sample((29.0, 30.0, 27.0, 31.0, 28.0), (2.0,) * 5, shared_sd=4.0, setup="p1 cam A")
    same = compare(first, last, "hip_turn_deg", None)
    # what does not cancel is a fifth of the difference of 8 degrees
    scaled = compute_welch(last.values, first.values, shared_variance=1.6**2)
    assert (same.low, same.high) == pytest.approx((scaled.low, scaled.high))
    assert same.permutation_p is not None
    assert same.note == ""
    assert same.verdict is Verdict.CLEAR
    other = compare(first, replace(last, setup="p1 cam B"), "hip_turn_deg", None)
    assert other.note == "camera not set up the same way"
    # 3-4-5: the shared errors add up to 5 degrees
    wide = compute_welch(last.values, first.values, shared_variance=25.0)
    assert (other.low, other.high) == (wide.low, wide.high)
    assert other.permutation_p is None
    assert other.smallest_that_counts == pytest.approx(1.96 * math.sqrt(4 * 2 / 5 + 25), rel=1e-12)
    assert other.verdict is Verdict.CANT_TELL
    # an unnamed set-up is not known to be the same one
    unnamed = compare(replace(first, setup=""), replace(last, setup=""), "hip_turn_deg", None)
    assert unnamed.low == other.low
    half_named = compare(first, replace(last, setup=""), "hip_turn_deg", None)
    assert unnamed.note == half_named.note == "its error may not cancel between the batches"


def test_bounds_are_left_out_and_said() -> None:
    as_words = "turned away about 75° or more"
    first = Sample((-60.0, -62.0, -61.0), (2.0,) * 3, n_bounded=3, bounded_as=as_words, bounded_side=-1)
    last = Sample((-40.0, -41.0, -42.0, -43.0, -44.0), (2.0,) * 5)
    c = compare(first, last, "hip_turn_deg", None)
    assert c.n_first == 3
    assert c.mean_first == pytest.approx(-61.0, rel=1e-12)
    assert "3 of 6 only known as 'turned away about 75° or more'" in c.note
    # the bounds lie further away still: the difference can only be larger
    assert c.verdict is Verdict.CLEAR


def test_bounds_that_could_undo_the_difference_leave_it_unjudged() -> None:
    # The four that count for nothing were turned away further than any of the last batch.
    first = Sample((-60.0, -62.0), (2.0,) * 2, n_bounded=4, bounded_as="about 75° or more", bounded_side=-1)
    last = Sample((-70.0, -71.0, -72.0, -70.5), (2.0,) * 4)
    c = compare(first, last, "hip_turn_deg", None)
    assert c.verdict is Verdict.NOT_JUDGED
    assert "could undo the difference" in c.why


@pytest.mark.parametrize(("side", "is_judged"), [(1, True), (-1, False), (0, False)])
def test_bounds_in_the_last_batch_count_by_their_side(side: int, is_judged: bool) -> None:
    first = Sample((20.0, 21.0, 22.0, 20.5), (2.0,) * 4)
    last = Sample((60.0, 61.0, 62.0, 63.0), (2.0,) * 4, n_bounded=2, bounded_side=side)
    c = compare(first, last, "hip_turn_deg", None)
    assert (c.verdict is Verdict.CLEAR) == is_judged
    assert (c.verdict is Verdict.NOT_JUDGED) != is_judged


def test_too_few_left_beside_bounds() -> None:
    first = Sample((-60.0,), (2.0,), n_bounded=5, bounded_as="turned away about 75° or more")
    c = compare(first, Sample((-40.0, -41.0), (2.0,) * 2), "hip_turn_deg", None)
    assert c.verdict is Verdict.NOT_JUDGED
    assert "1 value left in the first batch: 5 of 6 only known as 'turned away about 75° or more'" in c.why


@pytest.mark.parametrize(
    ("first", "last"),
    [
        (Sample(()), Sample(())),
        (Sample((), why_missing="the view cannot give it"), Sample(LAST)),
        (Sample((1.0,)), Sample((2.0,))),
        (Sample((1.0, 1.0, 1.0)), Sample((2.0, 2.0))),
        (Sample((), n_bounded=3), Sample(LAST)),
        (Sample((0.0, 0.0), (1.0, 1.0), 2.0, "a"), Sample((1.0, 1.0), (1.0, 1.0), 2.0, "b")),
    ],
)
@pytest.mark.parametrize("error", [None, 0.5])
def test_thin_batches_describe_without_crash_or_the_word_nan(first: Sample, last: Sample, error: float | None) -> None:
    c = compare(first, last, error=error)
    assert c.verdict is Verdict.NOT_JUDGED
    assert c.why
    assert "nan" not in f"{c.why} {c.note} {c.verdict}".replace("chance", "").casefold()
    assert math.isnan(c.low)
    if first.values and last.values:
        assert c.difference == np.mean(last.values) - np.mean(first.values)


def test_a_missing_number_says_why() -> None:
    c = compare(Sample((), why_missing="the view cannot give it"), Sample(LAST))
    assert c.why == "not measured in the first batch: the view cannot give it"


def test_sampled_splits_are_said() -> None:
    values = tuple(float(v) for v in range(12))
    c = compare(Sample(values), Sample(values))
    assert "random splits" in c.note


@pytest.mark.parametrize(
    "wrong",
    [
        {"values": (math.nan,)},
        {"values": (1.0,), "own_sds": (1.0, 2.0)},
        {"values": (1.0,), "shared_sd": -1.0},
        {"values": (1.0,), "shared_sd": math.nan},
        {"values": (1.0,), "own_sds": (math.inf,)},
    ],
)
def test_a_sample_is_checked_at_the_border(wrong: dict[str, object]) -> None:
    with pytest.raises(ValueError, match="finite|own_sd|negative"):
        Sample(**wrong)  # type: ignore[arg-type]


def test_unknown_measure_and_impossible_repeatability_are_refused() -> None:
    with pytest.raises(ValueError, match="unknown measure"):
        compare(Sample(FIRST), Sample(LAST), "swing_mood")
    with pytest.raises(ValueError, match="repeatability"):
        compare(Sample(FIRST), Sample(LAST), error=0.0)
