"""What hides in the numbers: an aim of several measures, other clubs, drift, mishits, windows."""

import math
from dataclasses import replace

import pytest

from review.compare import (
    CLEAR_P,
    Comparison,
    Conditions,
    Sample,
    ScatterWord,
    Verdict,
    Window,
    compare_samples,
    find_differences,
    judge_together,
)

FIRST = (5.0, 6.1, 5.4, 6.6, 5.8, 6.0)
LAST = (1.9, 2.4, 1.4, 2.9, 2.2, 1.7)
NOTHING = (5.1, 6.0, 5.5, 6.5, 5.9, 6.2)


def compare(first: Sample, last: Sample, error: float | None = 0.1, **other: object) -> Comparison:
    options = {"batches_closed": True, "in_aim": True} | other
    return compare_samples("club_path_deg", first, last, repeatability=error, **options)  # type: ignore[arg-type]


def test_a_measure_that_is_clear_alone_is_likely_among_others() -> None:
    alone = compare(Sample(FIRST), Sample(tuple(v - 0.95 for v in FIRST)))
    assert alone.verdict is Verdict.CLEAR
    assert CLEAR_P / 3 < alone.p < CLEAR_P
    others = [compare(Sample(FIRST), Sample(tuple(v - 0.3 for v in FIRST))) for _ in range(2)]
    together = judge_together([alone, *others])[0]
    assert together.adjusted_p == pytest.approx(3 * alone.p, rel=1e-12)  # Holm: the smallest of three
    assert together.verdict is Verdict.LIKELY
    assert "one of 3 measures may come out like this by chance" in together.why


def test_measures_that_cannot_be_judged_cost_the_others_nothing() -> None:
    alone = compare(Sample(FIRST), Sample(tuple(v - 0.95 for v in FIRST)))
    unknown = compare(Sample(FIRST), Sample(LAST), error=None)
    assert judge_together([alone, unknown]) == (alone, unknown)


def test_a_p_between_the_levels_is_not_clear_though_the_interval_leaves_out_zero() -> None:
    c = compare(Sample(FIRST), Sample(tuple(v - 0.75 for v in FIRST)))
    assert CLEAR_P < c.welch_p < 0.05
    assert c.high < 0
    assert c.verdict is Verdict.LIKELY
    assert c.more_shots_words == "about 1 more shot like these would make it clear, with an even chance"
    weaker = compare(Sample(FIRST), Sample(tuple(v - 0.65 for v in FIRST)))
    assert weaker.more_shots is not None
    assert weaker.more_shots > 1
    assert weaker.more_shots_words.startswith(f"about {weaker.more_shots} more shots like these")


def test_a_clear_change_asks_for_no_more_shots_and_a_hopeless_one_says_not_today() -> None:
    clear = compare(Sample(FIRST), Sample(LAST))
    assert (clear.more_shots, clear.more_shots_words) == (None, "")
    hopeless = compare(Sample(FIRST), Sample(NOTHING))
    assert hopeless.more_shots is None
    assert hopeless.more_shots_words == "not today: it would take more than 20 further shots"


def test_scatter_and_window_are_told_while_a_batch_is_open() -> None:
    wide = tuple(6 * (v - 5.8) for v in (*FIRST, *NOTHING))
    c = compare(Sample(wide), Sample((*LAST, *LAST)), batches_closed=False, window=Window(1.5, 3.0))
    assert c.verdict is Verdict.NOT_JUDGED
    assert c.scatter is not None
    assert c.scatter.word is ScatterWord.NARROWER
    assert c.scatter.high < 1
    assert c.inside is not None
    assert c.inside.words == "10 of 12 inside, before 2 of 12"  # 1.4 lies outside, twice
    few = compare(Sample(FIRST[:4]), Sample(LAST))
    assert few.scatter is not None
    assert few.scatter.word is ScatterWord.CANT_TELL


def test_the_share_inside_has_fishers_p() -> None:
    c = compare(Sample(FIRST), Sample(LAST), window=Window(-math.inf, 4.0))
    assert c.inside is not None
    assert c.inside.words == "6 of 6 inside, before 0 of 6"
    assert c.inside.fisher_p == pytest.approx(2 / 924, rel=1e-9)  # by hand: both tails of C(12, 6)
    empty = compare(Sample(()), Sample(LAST), window=Window(0, 2))
    assert empty.inside is not None
    assert empty.inside.words == "3 of 6 inside"
    with pytest.raises(ValueError, match="low <= high"):
        Window(3, 1)


def test_one_mishit_that_carries_the_mean_is_named() -> None:
    last = Sample((5.2, 4.9, 5.5, 6.0, 5.1, 17.0), numbers=(7, 8, 9, 10, 11, 12))
    (said,) = compare(Sample(FIRST), last).remarks
    # means by hand: 5.817 to 7.283, without the last 5.340
    assert said == "without swing 12 the difference would be 0.5° the other way instead of 1.5°"
    (unnumbered,) = compare(Sample(FIRST), replace(last, numbers=())).remarks
    assert unnumbered.startswith("without shot 6 of the last batch ")


def test_an_odd_shot_that_changes_little_is_not_named() -> None:
    last = Sample((-20.2, -20.9, -20.5, -20.0, -20.1, -17.0))
    assert compare(Sample(FIRST), last).remarks == ()


@pytest.mark.parametrize(
    ("first", "last", "said"),
    [
        ((7.1, 6.6, 6.1, 5.8, 5.4, 5.0), LAST, "the first batch it drifted, about 0.40° a shot, the way of the change"),
        ((5.0, 5.4, 5.8, 6.1, 6.6, 7.1), LAST, "the first batch it drifted, about 0.40° a shot, against the change"),
        (FIRST, (2.9, 2.4, 2.2, 1.9, 1.7, 1.4), "the last batch it drifted, about 0.27° a shot, further the same way"),
        (FIRST, (1.4, 1.7, 1.9, 2.2, 2.4, 2.9), "the last batch it drifted, about 0.27° a shot, back again"),
    ],
)
def test_a_drift_is_said_with_what_it_means(first: tuple[float, ...], last: tuple[float, ...], said: str) -> None:
    (remark,) = compare(Sample(first), Sample(last)).remarks
    assert said in remark


def test_neighbours_that_are_alike_are_said() -> None:
    slow = tuple(3 * math.sin(i / 2) for i in range(1, 26))
    (remark,) = compare(Sample(slow), Sample(LAST)).remarks
    assert remark.startswith("shots that followed each other were alike in the first batch")


def test_another_club_is_a_warning_before_a_verdict() -> None:
    warnings = find_differences(Conditions(("7 iron",)), Conditions(("Driver",)))
    said = (
        "club: 7 iron in the first batch, Driver in the last; another club changes path, attack and speed by itself",
    )
    assert [(one.what, one.said) for one in warnings] == [("club", said[0])]
    c = compare(Sample(FIRST), Sample(LAST), warnings=warnings)
    assert c.verdict is Verdict.NOT_JUDGED
    assert c.why == "not the same club in both batches"
    assert c.warnings == said
    accepted = compare(Sample(FIRST), Sample(LAST), warnings=warnings, accept_different=True)
    assert accepted.verdict is Verdict.CLEAR
    assert accepted.warnings == said


def test_what_is_the_same_or_not_known_is_no_difference() -> None:
    assert find_differences(Conditions(("7-Iron",)), Conditions(("7 iron",))) == ()
    assert find_differences(Conditions(), Conditions(("7 iron",), ("flag",))) == ()
    said = find_differences(Conditions((), ("flag",), ("range",)), Conditions((), ("fence",), ("own",)))
    assert [one.what for one in said] == ["target", "ball"]
    mixed = Conditions(("7 iron", "driver"))
    assert "mixed in both batches" in find_differences(mixed, mixed)[0].said
