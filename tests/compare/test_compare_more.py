"""What hides in the numbers: an aim of several measures, other clubs, drift, mishits, windows, two lessons."""

import math
from dataclasses import replace
from datetime import date

import numpy as np
import pytest

from review.compare import (
    CLEAR_P,
    Comparison,
    Conditions,
    Course,
    Sample,
    ScatterWord,
    Verdict,
    Window,
    compare_all_batches,
    compare_batches,
    compare_course,
    compare_samples,
    conditions_of,
    find_companions,
    find_differences,
    judge_together,
)
from review.lesson import AimMeasure, Batch, Bound, Handedness, Lesson, Measure, Shot, Swing

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
    assert c.more_shots_words == "about 1 more shot like these would make it clear, as likely as not"
    weaker = compare(Sample(FIRST), Sample(tuple(v - 0.65 for v in FIRST)))
    assert weaker.more_shots is not None
    assert weaker.more_shots > 1
    assert weaker.more_shots_words.startswith(f"about {weaker.more_shots} more shots like these")


def test_a_clear_change_asks_for_no_more_shots_and_a_hopeless_one_says_not_today() -> None:
    clear = compare(Sample(FIRST), Sample(LAST))
    assert (clear.more_shots, clear.more_shots_words) == (None, "")
    hopeless = compare(Sample(FIRST), Sample(NOTHING))
    assert (hopeless.more_shots, hopeless.more_shots_words) == (None, "not today: more than 20 more shots")


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
        ((7.1, 6.6, 6.1, 5.8, 5.4, 5.0), LAST, "within the first batch, about 0.40° a shot the way of the change"),
        ((5.0, 5.4, 5.8, 6.1, 6.6, 7.1), LAST, "within the first batch, about 0.40° a shot against the change"),
        (FIRST, (2.9, 2.4, 2.2, 1.9, 1.7, 1.4), "within the last batch, about 0.27° a shot further the same way"),
        (FIRST, (1.4, 1.7, 1.9, 2.2, 2.4, 2.9), "within the last batch, about 0.27° a shot back again"),
    ],
)
def test_a_drift_is_said_with_what_it_means(first: tuple[float, ...], last: tuple[float, ...], said: str) -> None:
    (remark,) = compare(Sample(first), Sample(last)).remarks
    assert said in remark


def test_neighbours_that_are_alike_are_said() -> None:
    slow = tuple(3 * math.sin(i / 2) for i in range(1, 26))
    (remark,) = compare(Sample(slow), Sample(LAST)).remarks
    assert remark.startswith("neighbouring shots of the first batch are alike")


def test_another_club_is_a_warning_before_a_verdict() -> None:
    warnings = find_differences(Conditions(("7 iron",)), Conditions(("Driver",)))
    assert warnings == (
        "club: 7 iron in the first batch, Driver in the last; another club changes path, attack and speed by itself",
    )
    c = compare(Sample(FIRST), Sample(LAST), warnings=warnings)
    assert c.verdict is Verdict.NOT_JUDGED
    assert c.why == "not the same club in both batches"
    assert c.warnings == warnings
    accepted = compare(Sample(FIRST), Sample(LAST), warnings=warnings, accept_different=True)
    assert accepted.verdict is Verdict.CLEAR
    assert accepted.warnings == warnings


def test_what_is_the_same_or_not_known_is_no_difference() -> None:
    assert find_differences(Conditions(("7-Iron",)), Conditions(("7 iron",))) == ()
    assert find_differences(Conditions(), Conditions(("7 iron",), ("flag",))) == ()
    said = find_differences(Conditions((), ("flag",), ("range",)), Conditions((), ("fence",), ("own",)))
    assert [text.split(":")[0] for text in said] == ["target", "ball"]
    mixed = Conditions(("7 iron", "driver"))
    assert "mixed in both batches" in find_differences(mixed, mixed)[0]


LESSON = Lesson(
    id="l",
    pupil_id="p",
    held_on=date(2024, 5, 4),
    aim_measures=(AimMeasure("club_path_deg"),),
    repeatability=(("club_path_deg", 0.4),),
    batches=(Batch("b1", 1), Batch("b2", 2, club="7 iron")),
)
LATER = replace(
    LESSON,
    id="m",
    held_on=date(2024, 8, 4),
    aim_measures=(AimMeasure("attack_angle_deg"), AimMeasure("club_path_deg")),
    repeatability=(("club_path_deg", 0.9), ("attack_angle_deg", 0.0)),
    batches=(Batch("c1", 1),),
)


def swings_of(batch: str, begin: int, paths: tuple[float, ...], club: str = "") -> tuple[Swing, ...]:
    return tuple(
        Swing(f"{batch}-{i}", i, shot=Shot(f"{batch}{i}", i, "t", {"club_path_deg": v}, club=club), batch_id=batch)
        for i, v in enumerate(paths, begin)
    )


def hip_of(swings: tuple[Swing, ...], values: tuple[float, ...]) -> dict[str, tuple[Measure, ...]]:
    return {
        s.id: (Measure("hip_turn_deg", 10 * v, "impact", own_sd=2.0, shared_sd=3.0, setup="bay"),)
        for s, v in zip(swings, values, strict=True)
    }


def test_clubs_come_from_the_shots_and_else_from_the_batch() -> None:
    driven = swings_of("b1", 1, FIRST, "Driver")
    bare = swings_of("b2", 7, LAST)
    assert conditions_of(bare, LESSON.batches[1]).clubs == ("7 iron",)
    assert conditions_of(driven, LESSON.batches[1]).clubs == ("Driver",)
    c = compare_batches(driven, bare, {}, LESSON, Handedness.RIGHT)[0]
    assert c.verdict is Verdict.NOT_JUDGED
    assert "club: Driver in the first batch, 7 iron in the last" in c.warnings[0]
    judged = compare_batches(driven, bare, {}, LESSON, Handedness.RIGHT, accept_different=True)[0]
    assert judged.verdict is Verdict.CLEAR
    targets = (Conditions(targets=("flag",)), Conditions(targets=("fence",)))
    c = compare_batches(driven, bare, {}, LESSON, Handedness.RIGHT, conditions=targets)[0]
    assert c.why == "not the same target in both batches"


def test_the_number_of_a_swing_is_that_in_the_lesson_and_rows_may_come_in_any_order() -> None:
    first, last = swings_of("b1", 1, FIRST), swings_of("b2", 7, (5.2, 4.9, 5.5, 6.0, 5.1, 17.0))
    found = compare_batches(first, last[::-1], {}, LESSON, Handedness.RIGHT)[0]
    assert found.remarks[0].startswith("without swing 12 ")
    assert found == compare_batches(first[::-1], last, {}, LESSON, Handedness.RIGHT)[0]


def test_batches_of_two_lessons_keep_the_shared_error_and_both_aims() -> None:
    first, last = swings_of("b1", 1, FIRST), swings_of("c1", 1, LAST)
    body = hip_of(first, FIRST) | hip_of(last, LAST)
    comparisons = compare_batches(first, last, body, LESSON, Handedness.RIGHT, last_lesson=LATER)
    assert [c.label for c in comparisons] == ["club path", "attack angle", "hip turn at impact"]
    assert [c.in_aim for c in comparisons] == [True, True, False]
    path, attack, hips = comparisons
    assert path.typical_error == 0.9  # the larger of both
    assert path.verdict is Verdict.CLEAR
    assert "another visit" in path.warnings[0]
    assert attack.typical_error is None  # a stated 0 is as good as none
    driven = swings_of("c1", 1, LAST, "Driver")
    conditions = compare_batches(
        swings_of("b1", 1, FIRST, "7 iron"), driven, {}, LESSON, Handedness.RIGHT, last_lesson=LATER
    )
    assert conditions[0].why == "not the same club in both batches"
    assert len(conditions[0].warnings) == 2
    # the same set-up's name, yet another visit
    assert hips.note == "camera not set up the same way"
    assert hips.setup_sd == pytest.approx(math.sqrt(18), rel=1e-12)
    assert hips.permutation_p is None
    one = compare_batches(first, swings_of("b2", 7, LAST), body, LESSON, Handedness.RIGHT, last_lesson=LESSON)
    assert one[0].warnings == ()


def course(*batches: tuple[float, ...], **other: object) -> Course:
    options = {"repeatability": 0.2, "batches_closed": [True] * len(batches), "in_aim": True} | other
    return compare_course("club_path_deg", [Sample(b) for b in batches], **options)  # type: ignore[arg-type]


def test_all_batches_in_order() -> None:
    middle = tuple(v - 1.9 for v in FIRST)
    found = course(FIRST, middle, LAST)
    assert [c.verdict for c in found.against_first] == [Verdict.CLEAR, Verdict.CLEAR]
    assert found.against_first[1].difference == pytest.approx(np.mean(LAST) - np.mean(FIRST), rel=1e-12)
    assert found.against_first[0].adjusted_p >= found.against_first[0].p
    assert found.trend.p < 0.001
    assert found.trend.slope_per_batch == pytest.approx((np.mean(LAST) - np.mean(FIRST)) / 2, rel=0.05)
    assert "it keeps going one way over the batches" in found.remarks[0]
    # t interval of six by hand: t(0.975, 5) = 2.570582
    half = 2.570582 * np.std(FIRST, ddof=1) / math.sqrt(6)
    assert found.points[0].high - found.points[0].mean == pytest.approx(half, rel=1e-6)


def test_every_measure_over_all_batches_of_two_lessons() -> None:
    batches = (
        swings_of("b1", 1, FIRST, "7 iron"),
        swings_of("b2", 7, tuple(v - 1.9 for v in FIRST), "Driver"),
        swings_of("c1", 1, LAST, "7-iron"),
    )
    body = hip_of(batches[0], FIRST) | hip_of(batches[1], FIRST) | hip_of(batches[2], LAST)
    courses = compare_all_batches(batches, body, (LESSON, LESSON, LATER), Handedness.RIGHT)
    assert [c.name for c in courses] == ["club_path_deg", "attack_angle_deg", "hip_turn_deg"]
    driver, later = courses[0].against_first
    assert driver.why == "not the same club in both batches"
    assert later.verdict is Verdict.CLEAR
    assert [text.split(",")[0] for text in later.warnings] == ["another visit"]
    hips = courses[2].against_first
    assert [c.setup_sd > 4 for c in hips] == [False, True]  # 3 in each of two visits, and none inside one
    assert "camera not set up the same way in all batches" in courses[2].remarks
    with pytest.raises(ValueError, match="one lesson"):
        compare_all_batches(batches, body, (LESSON,), Handedness.RIGHT)


def test_a_course_takes_holes_and_refuses_what_does_not_fit() -> None:
    found = course(FIRST, (), (3.0,), LAST)
    assert [p.n for p in found.points] == [6, 0, 1, 6]
    assert [c.verdict for c in found.against_first][:2] == [Verdict.NOT_JUDGED] * 2
    assert found.against_first[2].verdict is Verdict.CLEAR
    with pytest.raises(ValueError, match="two batches or more"):
        course(FIRST)
    with pytest.raises(ValueError, match="two batches or more"):
        course(FIRST, LAST, warnings=[()])


def test_a_drift_inside_all_batches_is_told_over_the_lesson() -> None:
    up = (1.0, 1.6, 2.1, 2.9, 3.4)
    found = course(up, tuple(v - 2 for v in up[:4]), tuple(v + 0.7 for v in up))
    assert any("within the batches it moves too" in text for text in found.remarks)


def test_an_impossible_number_of_a_table_is_missing_with_its_reason() -> None:
    first = swings_of("b1", 1, (1e308, -1e308))
    c = compare_batches(first, swings_of("b2", 7, LAST), {}, LESSON, Handedness.RIGHT)[0]
    assert c.why == "not measured in the first batch: the table's number is impossible"


def test_a_spread_too_small_to_square_is_none() -> None:
    tiny = Sample((1e-320, 0.0, 0.0, 0.0, 0.0))
    assert "neither batch varies" in compare(tiny, tiny).why
    assert compare(tiny, Sample(LAST)).verdict is Verdict.CLEAR


def shots_with_hips(n: int, noise: float, seed: int) -> tuple[tuple[Swing, ...], dict[str, tuple[Measure, ...]]]:
    random = np.random.default_rng(seed)
    swings = swings_of("b1", 1, tuple(float(v) for v in random.normal(0, 2, n)))
    values = [s.shot.values["club_path_deg"] if s.shot else 0.0 for s in swings]
    return swings, hip_of(swings, tuple(v + noise * float(random.normal()) for v in values))


def test_what_moved_with_the_aim_is_told_with_its_caution() -> None:
    swings, body = shots_with_hips(16, 0.3, 81)
    (found,) = find_companions(swings, body, LESSON)
    assert (found.aim, found.other) == (("club_path_deg", ""), ("hip_turn_deg", "impact"))
    assert found.low > 0.5
    assert found.words == (
        "hip turn at impact and club path went up and down together over 16 shots; that does not say which made which; "
        "with so few shots it may still be chance"
    )


def test_what_did_not_move_together_is_called_chance() -> None:
    swings, body = shots_with_hips(16, 50.0, 82)
    (found,) = find_companions(swings, body, LESSON)
    assert found.low < 0 < found.high
    assert found.words.endswith("it may well be chance")


def test_bounds_and_few_shots_give_no_companion() -> None:
    swings, body = shots_with_hips(9, 0.3, 83)
    assert len(find_companions(swings, body, LESSON)) == 1
    bounded = {k: (replace(m[0], bound=Bound.AT_LEAST),) if k in list(body)[:2] else m for k, m in body.items()}
    assert find_companions(swings, bounded, LESSON) == ()


def test_two_batches_apart_move_together_though_nothing_does_within() -> None:
    random = np.random.default_rng(84)
    first = swings_of("b1", 1, tuple(random.normal(0, 1, 10)))
    last = swings_of("b2", 11, tuple(random.normal(12, 1, 10)))
    hips = tuple(random.normal(0, 1, 10)) + tuple(random.normal(12, 1, 10))
    (found,) = find_companions((*first, *last), hip_of((*first, *last), hips), LESSON)
    assert found.rho > 0.7
    assert abs(found.rho_within) < 0.6


def test_a_hundred_thousand_rows_are_compared_without_counting_every_split() -> None:
    random = np.random.default_rng(85)
    c = compare(Sample(tuple(random.normal(0, 1, 50_000))), Sample(tuple(random.normal(0.02, 1, 50_000))))
    assert c.permutation_p == pytest.approx(c.welch_p, rel=1e-3)  # both are the same normal limit
    assert c.note == "permutation p from the normal limit, not from all splits"
    few = compare(Sample(tuple(random.normal(0, 1, 50_000))), Sample((4.0, 4.1, 3.9, 4.2)))
    assert few.permutation_p == pytest.approx(2 / 20_001, rel=1e-9)
