from dataclasses import replace
from datetime import date

import pytest

from review.compare import Comparison, Verdict, choose_typical, compare_batches, measures_of_shot
from review.lesson import (
    AimMeasure,
    Batch,
    Bound,
    Clip,
    Handedness,
    Lesson,
    Measure,
    Shot,
    Swing,
    SwingKind,
)

PATHS_FIRST = (6.0, 5.6, 6.3, 5.8, 6.1, 6.2)
PATHS_LAST = (2.0, 2.4, 1.7, 2.2, 1.9, 1.8)
HIPS_FIRST = (20.0, 22.0, 19.0, 21.0, 18.0, 20.0)
HIPS_LAST = (36.0, 38.0, 35.0, 37.0, 34.0, 36.0)

LESSON = Lesson(
    id="l",
    pupil_id="p",
    held_on=date(2024, 5, 4),
    aim_measures=(AimMeasure("hip_turn_deg", "impact"), AimMeasure("club_path_deg")),
    repeatability=(("club_path_deg", 0.4),),
    batches=(Batch("b1", 1), Batch("b2", 2)),
)


def swing_of(batch: str, order: int, path: float, **more: float) -> Swing:
    shot = Shot(f"s{order}", order, "t.csv", values={"club_path_deg": path, "carry_yd": 150.0 + order} | more)
    clip = Clip(f"c{order}", "0" * 64, f"clips/{order}.mp4", f"{order}.mp4")
    return Swing(f"{batch}-{order}", order, clips=(clip,), shot=shot, batch_id=batch)


def hip(value: float, setup: str = "bay") -> Measure:
    return Measure("hip_turn_deg", value, "impact", value - 5, value + 5, own_sd=2.0, shared_sd=3.0, setup=setup)


FIRST = tuple(swing_of("b1", i, v) for i, v in enumerate(PATHS_FIRST, 1))
LAST = tuple(swing_of("b2", i, v) for i, v in enumerate(PATHS_LAST, 7))
BODY = {s.id: (hip(v),) for s, v in zip(FIRST + LAST, HIPS_FIRST + HIPS_LAST, strict=True)}


def by_name(comparisons: tuple[Comparison, ...]) -> dict[str, Comparison]:
    return {c.label: c for c in comparisons}


def test_the_aim_comes_first_then_the_catalogue() -> None:
    shots = [swing_of("b1", 1, 6.0, ball_speed_mph=120.0, attack_angle_deg=-2.0)]
    comparisons = compare_batches(shots, LAST, BODY, LESSON, Handedness.RIGHT)
    assert [c.label for c in comparisons] == [
        "hip turn at impact",
        "club path",
        "ball speed",
        "attack angle",
        "carry",
    ]
    assert [c.in_aim for c in comparisons] == [True, True, False, False, False]


def test_the_aim_is_judged_and_the_rest_described() -> None:
    found = by_name(compare_batches(FIRST, LAST, BODY, LESSON, Handedness.RIGHT))
    assert found["club path"].verdict is Verdict.CLEAR
    assert found["club path"].difference == pytest.approx(-4.0, abs=1e-12)  # 6.0 to 2.0 by hand
    assert found["hip turn at impact"].verdict is Verdict.CLEAR
    assert found["hip turn at impact"].difference == pytest.approx(16.0, abs=1e-12)
    assert found["carry"].verdict is Verdict.NOT_JUDGED
    assert "not in the lesson's aim" in found["carry"].why


def test_an_open_batch_is_only_described() -> None:
    lesson = replace(LESSON, batches=(Batch("b1", 1), Batch("b2", 2, is_closed=False)))
    comparisons = compare_batches(FIRST, LAST, BODY, lesson, Handedness.RIGHT)
    assert {c.verdict for c in comparisons} == {Verdict.NOT_JUDGED}
    assert all("a batch is still open" in c.why for c in comparisons)


@pytest.mark.parametrize("stated", [(), (("club_path_deg", 0.0),), (("club_path_deg", float("inf")),)])
def test_an_unknown_repeatability_is_said(stated: tuple[tuple[str, float], ...]) -> None:
    found = by_name(compare_batches(FIRST, LAST, BODY, replace(LESSON, repeatability=stated), Handedness.RIGHT))
    assert found["club path"].verdict is Verdict.NOT_JUDGED
    assert found["club path"].why == "the repeatability of club path is not known"
    assert found["hip turn at impact"].verdict is Verdict.CLEAR


def test_left_out_swings_and_practice_do_not_count() -> None:
    odd = (
        replace(swing_of("b1", 20, 40.0), left_out="topped it"),
        replace(swing_of("b1", 21, 40.0), kind=SwingKind.PRACTICE),
        replace(swing_of("b1", 22, 40.0), kind=SwingKind.DEMONSTRATION),
    )
    with_odd = compare_batches((*FIRST, *odd), LAST, BODY, LESSON, Handedness.RIGHT)
    assert with_odd == compare_batches(FIRST, LAST, BODY, LESSON, Handedness.RIGHT)


def test_two_setups_keep_the_shared_error() -> None:
    body = BODY | {s.id: (hip(v, "other bay"),) for s, v in zip(LAST, HIPS_LAST, strict=True)}
    same = by_name(compare_batches(FIRST, LAST, BODY, LESSON, Handedness.RIGHT))["hip turn at impact"]
    other = by_name(compare_batches(FIRST, LAST, body, LESSON, Handedness.RIGHT))["hip turn at impact"]
    assert other.note == "camera not set up the same way"
    # sqrt(3^2 + 3^2) x 1.96 on each side at the least
    assert other.high - other.low > 2 * 1.959 * 18**0.5 > same.high - same.low
    # own error 2 in each of six and six, shared error 3 in each set-up
    assert other.smallest_that_counts == pytest.approx(1.96 * (2**2 * 2 / 6 + 2 * 3**2) ** 0.5, rel=1e-12)


def test_two_setups_inside_one_batch_do_not_cancel() -> None:
    body = BODY | {s.id: (hip(v, "other bay"),) for s, v in zip(LAST[:3], HIPS_LAST[:3], strict=True)}
    found = by_name(compare_batches(FIRST, LAST, body, LESSON, Handedness.RIGHT))["hip turn at impact"]
    assert found.note == "its error may not cancel between the batches"
    assert found.permutation_p is None


def test_a_number_that_one_view_misses_is_taken_from_the_other() -> None:
    missing = Measure("hip_turn_deg", float("nan"), "impact", why_missing="hidden in this view")
    for order in (slice(None), slice(None, None, -1)):
        body = {key: (missing, *found)[order] for key, found in BODY.items()}
        assert compare_batches(FIRST, LAST, body, LESSON, Handedness.RIGHT) == compare_batches(
            FIRST, LAST, BODY, LESSON, Handedness.RIGHT
        )


def test_bounds_and_missing_values_are_left_out_in_words() -> None:
    body = dict(BODY)
    for swing in LAST[:4]:
        body[swing.id] = (replace(hip(75.0), bound=Bound.AT_LEAST),)
    found = by_name(compare_batches(FIRST, LAST, body, LESSON, Handedness.RIGHT))["hip turn at impact"]
    assert found.n_last == 2
    assert "4 of 6 only known as 'open about 75° or more'" in found.note
    for swing in LAST:
        body[swing.id] = (Measure("hip_turn_deg", float("nan"), "impact", why_missing="impact was not found"),)
    found = by_name(compare_batches(FIRST, LAST, body, LESSON, Handedness.RIGHT))["hip turn at impact"]
    assert found.n_last == 0
    assert found.why == "not measured in the last batch: impact was not found"


def test_bounds_further_away_can_undo_a_turn_the_other_way() -> None:
    def top(value: float, bound: Bound = Bound.NONE) -> Measure:
        return Measure("shoulder_turn_deg", value, "top", own_sd=2.0, bound=bound)

    lesson = replace(LESSON, aim_measures=(AimMeasure("shoulder_turn_deg", "top"),))
    body = {s.id: (top(-75.0, Bound.AT_LEAST) if i < 3 else top(-50.0 - i),) for i, s in enumerate(FIRST)}
    for less_turned, judged in ((True, True), (False, False)):
        last = {s.id: (top(-30.0 - i if less_turned else -65.0 - i),) for i, s in enumerate(LAST)}
        c = compare_batches(FIRST, LAST, body | last, lesson, Handedness.RIGHT)[0]
        assert (c.verdict is not Verdict.NOT_JUDGED) == judged
        assert ("could undo" in c.why) != judged


def test_a_bound_inside_the_other_values_leaves_its_side_open() -> None:
    # "at least 52" beside values near 55: the true turn may be less or more than theirs.
    def top(value: float, bound: Bound = Bound.NONE) -> Measure:
        return Measure("shoulder_turn_deg", value, "top", own_sd=2.0, bound=bound)

    lesson = replace(LESSON, aim_measures=(AimMeasure("shoulder_turn_deg", "top"),))
    body = {s.id: (top(-52.0, Bound.AT_LEAST) if i < 2 else top(-54.0 - i),) for i, s in enumerate(FIRST)}
    last = {s.id: (top(-30.0 - i),) for i, s in enumerate(LAST)}
    c = compare_batches(FIRST, LAST, body | last, lesson, Handedness.RIGHT)[0]
    assert c.verdict is Verdict.NOT_JUDGED
    assert "could undo" in c.why


def test_an_aim_that_nobody_measured_stays_in_the_list() -> None:
    lesson = replace(LESSON, aim_measures=(AimMeasure("hip_shift_cm", "impact"), AimMeasure("attack_angle_deg")))
    comparisons = compare_batches(FIRST, LAST, {}, lesson, Handedness.RIGHT)
    assert [c.label for c in comparisons[:2]] == ["hip shift at impact", "attack angle"]
    assert all(c.in_aim and c.n_first == 0 and c.why.startswith("not measured") for c in comparisons[:2])


def test_an_aim_without_key_frame_takes_in_all_of_them() -> None:
    lesson = replace(LESSON, aim_measures=(AimMeasure("hip_turn_deg"),))
    body = {s.id: (hip(20.0), replace(hip(-40.0), key_frame="top")) for s in FIRST + LAST}
    comparisons = compare_batches(FIRST, LAST, body, lesson, Handedness.RIGHT)
    assert [c.label for c in comparisons if c.in_aim] == ["hip turn at top", "hip turn at impact"]


def test_no_swings_at_all_do_not_crash() -> None:
    assert len(compare_batches((), (), {}, LESSON, Handedness.LEFT)) == 2
    assert compare_batches((), (), {}, replace(LESSON, aim_measures=()), Handedness.LEFT) == ()


def test_measures_of_a_shot_keep_the_catalogue_order_and_skip_the_unknown() -> None:
    values = {"carry_yd": 151.0, "club_path_deg": 4.0, "mood": 3.0, "offline_yd": float("nan")}
    found = measures_of_shot(Shot("s", 1, "t.csv", values=values))
    assert [(m.name, m.value) for m in found] == [("club_path_deg", 4.0), ("carry_yd", 151.0)]


def test_the_typical_swing_is_the_one_in_the_middle() -> None:
    # By hand: medians 6.05 and 20; swing 5 (6.1) is near in path but far in hips, swing 1 (6.0, 20) nearest in both.
    chosen = choose_typical(FIRST, BODY, LESSON)
    assert chosen is not None
    assert chosen.order == 1


def test_one_wild_swing_does_not_move_the_typical_one() -> None:
    wild = swing_of("b1", 30, 400.0)
    chosen = choose_typical((*FIRST, wild), BODY | {wild.id: (hip(300.0),)}, LESSON)
    assert chosen is not None
    assert chosen.order in (1, 4)


def test_one_wild_swing_does_not_hide_how_odd_another_is() -> None:
    # By hand: paths have median 0 and median deviation 1, hips 0 and 2. Swing 1 is odd in path (4), swing 2 nearly in
    # the middle of both (0, 0.5). Against a standard deviation, swing 7's 1000 would make the 4 look like nothing.
    paths = (4.0, 0.0, -1.0, 0.0, 1.0, 0.0, 1000.0)
    hips = (0.0, 0.5, 2.0, -2.0, 2.0, -2.0, 0.0)
    swings = [swing_of("b1", i, v) for i, v in enumerate(paths, 1)]
    chosen = choose_typical(swings, {s.id: (hip(v),) for s, v in zip(swings, hips, strict=True)}, LESSON)
    assert chosen is not None
    assert chosen.order == 2


def test_the_typical_swing_has_a_clip_when_one_is_needed() -> None:
    bare = (replace(FIRST[0], clips=()), *FIRST[1:])
    needs, free = (choose_typical(bare, BODY, LESSON, needs_clip=n) for n in (True, False))
    assert needs is not None
    assert needs.order != 1
    assert free is not None
    assert free.order == 1
    assert choose_typical([replace(s, clips=()) for s in FIRST], BODY, LESSON) is None
    assert choose_typical([replace(s, left_out="no") for s in FIRST], BODY, LESSON) is None
    assert choose_typical((), BODY, LESSON) is None


def test_without_measures_the_middle_swing_is_shown() -> None:
    lesson = replace(LESSON, aim_measures=())
    chosen = choose_typical(FIRST[:5], {}, lesson)
    assert chosen is not None
    assert chosen.order == 3


def test_a_swing_with_all_of_the_aim_goes_before_one_with_half_of_it() -> None:
    body = {k: v for k, v in BODY.items() if k != FIRST[0].id}
    chosen = choose_typical(FIRST, body, LESSON)
    assert chosen is not None
    assert chosen.order != 1


def test_equal_values_have_no_scale_but_a_typical_swing() -> None:
    same = [swing_of("b1", i, 3.0) for i in range(1, 5)]
    chosen = choose_typical(same, {}, replace(LESSON, aim_measures=(AimMeasure("club_path_deg"),)))
    assert chosen is not None
    assert chosen.order == 1
