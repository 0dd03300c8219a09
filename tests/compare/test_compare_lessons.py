"""Batches of lessons: clubs, two visits, all batches in order, what moved with the aim."""

import math
from dataclasses import replace
from datetime import date

import numpy as np
import pytest

from review.compare import (
    Comparison,
    Conditions,
    Course,
    Sample,
    Verdict,
    compare_all_batches,
    compare_batches,
    compare_course,
    compare_samples,
    conditions_of,
    find_companions,
    find_differences,
)
from review.lesson import AimMeasure, Batch, Bound, Handedness, Lesson, Measure, Shot, Swing

FIRST = (5.0, 6.1, 5.4, 6.6, 5.8, 6.0)
LAST = (1.9, 2.4, 1.4, 2.9, 2.2, 1.7)


def compare(first: Sample, last: Sample, error: float | None = 0.1, **other: object) -> Comparison:
    options = {"batches_closed": True, "in_aim": True} | other
    return compare_samples("club_path_deg", first, last, repeatability=error, **options)  # type: ignore[arg-type]


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


def test_another_target_or_ball_is_warned_of_and_not_judged():
    first, last = (replace(batch, target="flag at 130 yd", ball="range ball") for batch in LESSON.batches[:2])
    assert find_differences(conditions_of((), first), conditions_of((), last)) == ()
    (warning,) = find_differences(conditions_of((), first), conditions_of((), replace(last, target="left bunker")))
    assert warning.said.startswith("target: flag at 130 yd in the first batch, left bunker in the last")
    (warning,) = find_differences(conditions_of((), first), conditions_of((), replace(last, ball="premium")))
    assert warning.said.startswith("ball: ")
