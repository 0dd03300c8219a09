"""The trail foot: a drawn figure with known movement, and landmarks of rendered swings."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from review.body import SeenSwing, Series, assume_direction, measure_body, read_off
from review.body.foot import (
    CONFUSED,
    CUT_OFF,
    NOT_FACE_ON,
    QUICK,
    Reading,
    combine_slip,
    compute_trail_foot_slip,
    compute_trail_foot_twist,
)
from review.body.heel_off import drop_vague, find_heel_off, find_heel_up
from review.lesson import Bound, KeyFrame, View
from review.pose import LandmarkTrack

N, RATE_HZ = 121, 120
TIME_S = np.arange(N) / RATE_HZ
ADDRESS_S, TOP_S, IMPACT_S = 0.2, 0.5, 0.8
STATURE_PX = 1000.0
NOSE_PX = {View.FACE_ON: 712.0, View.DOWN_THE_LINE: 735.0}
MARKS = tuple(
    KeyFrame(name, at, round(at * RATE_HZ), 1.0, "pose")
    for name, at in (("address", ADDRESS_S), ("top", TOP_S), ("impact", IMPACT_S))
)
FROM_TOP = np.clip((TIME_S - 0.55) / 0.15, 0.0, 1.0)  # over well before impact, so smoothing takes nothing off
LATE_MS = 25.0  # the detector sees the heel come off so much too late (docs/foot.md)
STAYS_DOWN = float("nan")


def figure(toe_px=0.0, heel_px=0.0, ankle_px=0.0, view=View.FACE_ON, model="heavy", lead_px=0.0) -> SeenSwing:
    """A figure 1000 px tall whose trail foot moves sideways from top to impact by so many pixels."""
    image = np.zeros((N, 33, 3))
    image[:, 0, :2] = 360, 1150 - NOSE_PX[view]
    image[:, [27, 28, 29, 30, 31, 32], 1] = 1150
    image[:, 27, 0] = 460 + lead_px * FROM_TOP
    image[:, 28, 0] = 260 + ankle_px * FROM_TOP
    image[:, 30, 0] = 260 + heel_px * FROM_TOP
    image[:, 32, 0] = 260 + toe_px * FROM_TOP
    track = LandmarkTrack(TIME_S, image, np.zeros((N, 33, 3)), np.ones((N, 33)), 720, 1280, model, "tracked")
    return SeenSwing(track, view, MARKS, assume_direction(view))


def lift(*points: tuple[float, float], own_sd: float = 0.5) -> Series:
    """A heel lift that goes through (time, cm) in straight lines."""
    value = np.interp(TIME_S, [p[0] for p in points], [p[1] for p in points])
    return Series(TIME_S, value, np.full(N, own_sd), np.full(N, 0.3), np.zeros(N, bool))


def test_heel_off_is_found_between_frames():
    # 4 cm in 0.1 s from 0.7123 s on: 2 cm at 0.7623 s, 37.7 ms before impact
    got = find_heel_off(lift((0.0, 0.0), (0.7123, 0.0), (0.8123, 4.0)), figure())
    assert got.value == pytest.approx(37.7 + LATE_MS, abs=0.2)
    # 40 cm a second: 25 ms for each cm of error, stretched by 1.3, beside 20 ms of another kind
    assert np.hypot(got.own_sd, got.shared_sd) == pytest.approx(np.hypot(1.3 * 25 * np.hypot(0.5, 0.3), 20), rel=0.1)
    assert got.own_sd > got.shared_sd


def test_heel_off_after_impact_is_negative():
    got = find_heel_off(lift((0.0, 0.0), (0.8, 0.0), (0.9, 4.0)), figure())
    assert got.value == pytest.approx(-50.0 + LATE_MS, abs=0.2)


def test_true_time_counts_in_slow_motion():
    slow = replace(figure(), time_scale=0.5)
    got = find_heel_off(lift((0.0, 0.0), (0.7123, 0.0), (0.8123, 4.0)), slow)
    assert got.value == pytest.approx(37.7 / 2 + LATE_MS, abs=0.2)


@pytest.mark.parametrize(
    ("series", "words"),
    [
        (lift((0.0, 0.0), (1.0, 1.5)), "did not rise"),
        (lift((0.0, 3.0), (1.0, 4.0)), "up at the top already"),
        # over 2 cm for 5 ms only: a flicker
        (lift((0.0, 0.0), (0.7, 0.0), (0.71, 3.0), (0.72, 0.0), (1.0, 0.0)), "did not"),
    ],
)
def test_heel_off_is_absent_with_its_reason(series, words):
    got = find_heel_off(series, figure())
    assert np.isnan(got.value)
    assert words in got.why_missing


def test_a_vague_heel_off_is_not_told_but_ends_the_twist():
    series = lift((0.0, 0.0), (0.7123, 0.0), (0.8123, 4.0), own_sd=3.0)
    got = find_heel_off(series, figure())
    assert got.value == pytest.approx(37.7 + LATE_MS, abs=0.2)
    assert "cannot be told to better" in drop_vague(got).why_missing
    twist = compute_trail_foot_twist(figure(toe_px=20), find_heel_up(series, figure()))
    assert np.isnan(twist.value[TIME_S > IMPACT_S - 0.06]).all()
    sharp = find_heel_off(lift((0.0, 0.0), (0.7123, 0.0), (0.8123, 4.0)), figure())
    assert drop_vague(sharp) == sharp


def test_heel_off_needs_a_thorough_face_on_run():
    series = lift((0.0, 0.0), (0.7123, 0.0), (0.8123, 4.0))
    assert find_heel_off(series, figure(model="full")).why_missing == QUICK
    assert find_heel_off(series, figure(view=View.DOWN_THE_LINE)).why_missing == NOT_FACE_ON


def test_twist_turns_the_toe_toward_the_target():
    # the fitted foot: 6 degrees for each hundredth of stature that the toe goes sideways beyond the ankle
    got = compute_trail_foot_twist(figure(toe_px=15, ankle_px=-5), STAYS_DOWN)
    assert got.value[0] == pytest.approx(0.0, abs=0.01)
    assert got.value[-1] == pytest.approx(12.0, abs=0.1)
    back = compute_trail_foot_twist(figure(toe_px=-10), STAYS_DOWN)
    assert back.value[-1] == pytest.approx(-6.0, abs=0.1)


def test_a_foot_that_slips_does_not_twist_and_one_that_twists_does_not_slip():
    slid = figure(toe_px=20, heel_px=20, ankle_px=20)
    assert compute_trail_foot_twist(slid, STAYS_DOWN).value[-1] == pytest.approx(0.0, abs=0.01)
    still = compute_trail_foot_slip(figure(), 1.80).value
    # 1000 px are 1.80 m, so 20 px are 3.6 cm
    assert compute_trail_foot_slip(slid, 1.80).value - still == pytest.approx(3.6, abs=0.02)
    # turned by 20 degrees about the ball of a 26 cm shoe: toe 9 cm before it, heel 17 behind, ankle 12 behind
    turned = np.sin(np.radians(20)) * np.array([9.0, -17.0, -12.0]) / 0.18
    moved = compute_trail_foot_slip(figure(*turned), 1.80).value - still
    assert moved == pytest.approx(0.0, abs=0.7)


def test_twist_is_absent_after_heel_off():
    got = compute_trail_foot_twist(figure(toe_px=20), 100.0)
    after = TIME_S > IMPACT_S - 0.1 + 1e-9
    assert np.isnan(got.value[after]).all()
    assert np.isfinite(got.value[~after]).all()


def test_a_heel_that_is_up_at_the_top_ends_the_twist_there():
    up = lift((0.0, 3.0), (1.0, 4.0))
    assert np.isnan(find_heel_off(up, figure()).value)
    got = compute_trail_foot_twist(figure(toe_px=20), find_heel_up(up, figure()))
    assert np.isnan(got.value[TIME_S >= TOP_S]).all()
    assert np.isfinite(got.value[TIME_S < TOP_S - 0.05]).all()


def test_the_heel_is_up_from_heel_off_on_and_never_where_it_stays_down():
    rising = lift((0.0, 0.0), (0.7123, 0.0), (0.8123, 4.0))
    assert find_heel_up(rising, figure()) == pytest.approx(find_heel_off(rising, figure()).value)
    assert np.isnan(find_heel_up(lift((0.0, 0.0), (1.0, 1.5)), figure()))
    flicker = lift((0.0, 0.0), (0.7, 0.0), (0.71, 3.0), (0.72, 0.0), (1.0, 0.0))
    assert np.isnan(find_heel_up(flicker, figure()))


def test_a_second_clip_that_ends_early_is_not_a_heel_that_was_up():
    down, across = figure(view=View.DOWN_THE_LINE), figure(toe_px=20)

    def reason(body):
        named = {(m.name, m.key_frame): m for m in read_off(body, down, "")}
        return named[("trail_foot_twist_deg", "impact")].why_missing

    whole = measure_body([down, across], 1.80)
    assert reason(whole) == ""
    twist = whole.series["trail_foot_twist_deg"]
    ended = replace(twist, value=np.where(TIME_S > 0.7, np.nan, twist.value))
    assert "heel was up by impact" in reason(replace(whole, series=whole.series | {"trail_foot_twist_deg": ended}))
    track, n = across.track, int(0.78 * RATE_HZ)
    cut = replace(
        track,
        time_s=track.time_s[:n],
        image_px=track.image_px[:n],
        world_m=track.world_m[:n],
        visibility=track.visibility[:n],
    )
    assert "not seen at impact" in reason(measure_body([down, replace(across, track=cut)], 1.80))


def test_what_a_view_or_a_run_cannot_give_says_why():
    assert compute_trail_foot_twist(figure(view=View.DOWN_THE_LINE), STAYS_DOWN) == NOT_FACE_ON
    assert compute_trail_foot_twist(figure(model="full"), STAYS_DOWN) == QUICK
    swapped = figure(toe_px=150, heel_px=150, ankle_px=150)
    assert compute_trail_foot_twist(swapped, STAYS_DOWN) == CONFUSED
    assert compute_trail_foot_slip(swapped, 1.8).why_missing == CONFUSED
    assert compute_trail_foot_slip(figure(lead_px=-150), 1.8).why_missing == CONFUSED
    low = figure()
    image = low.track.image_px.copy()
    image[:, 32, 1] = 1290
    assert compute_trail_foot_slip(replace(low, track=replace(low.track, image_px=image)), 1.8).why_missing == CUT_OFF


def test_length_of_a_slip_from_both_views():
    got = combine_slip(Reading(3.0, 0.3, 0.2), Reading(4.0, 0.3, 0.2))
    assert got.value == pytest.approx(5.0)
    assert got.own_sd == pytest.approx(0.3)
    assert not got.is_at_most
    # 0.5 cm of noise is no slip of 0.5 cm
    small = combine_slip(Reading(0.3, 0.6, 0.4), Reading(0.4, 0.6, 0.4))
    assert small.is_at_most
    assert small.value > 1.0
    # no slip seen, errors alike: the length follows Rayleigh's distribution, 95 % of it below sqrt(-2 ln 0.05) = 2.448
    assert combine_slip(Reading(0.0, 0.6, 0.8), Reading(0.0, 0.6, 0.8)).value == pytest.approx(2.448, abs=0.03)
    assert combine_slip(Reading(float("nan"), why_missing="why"), Reading(1.0)).why_missing == "why"


@pytest.mark.parametrize(("along", "to_toes"), [((1.3, 1.58), (0.4, 0.5)), ((-1.3, 1.58), (0.0, 0.01))])
def test_the_most_of_a_slip_reaches_as_far_as_its_parts(along, to_toes):
    # 1.3 cm (-1.3 to 3.9) in one direction: 3.1 cm in all is not the most
    got = combine_slip(Reading(*along), Reading(*to_toes))
    assert got.is_at_most
    assert 3.89 < got.value < 4.2


def test_each_view_gives_its_own_direction_of_the_slip():
    body = measure_body([figure(view=View.DOWN_THE_LINE, toe_px=20, heel_px=20, ankle_px=20)], 1.80)
    named = {m.name: m for m in read_off(body, figure(), "") if not m.key_frame}
    assert "along the target line" in named["trail_foot_slip_cm"].why_missing
    assert named["trail_foot_slip_to_toes_cm"].value == pytest.approx(3.6, abs=1.0)
    assert named["trail_foot_slip_length_cm"].why_missing
    assert named["heel_off_ms"].why_missing


def test_read_off_gives_intervals_and_bounds():
    views = [figure(), figure(view=View.DOWN_THE_LINE)]
    named = {m.name: m for m in read_off(measure_body(views, 1.80), views[0], "s") if not m.key_frame}
    slip = named["trail_foot_slip_cm"]
    assert slip.low < slip.value < slip.high
    assert named["trail_foot_slip_length_cm"].bound is Bound.AT_MOST


@pytest.fixture(scope="module")
def rendered():
    with np.load(Path(__file__).parents[1] / "data" / "rendered_trail_foot.npz") as data:
        return dict(data)


def seen_in(rendered, key: str, view: View) -> SeenSwing:
    time_s = rendered[f"{key}_time_s"].astype(float)
    image = np.zeros((len(time_s), 33, 3))
    image[:, rendered["points"], :2] = rendered[f"{key}_image_px"]
    width, height = (int(v) for v in rendered[f"{key}_size_px"])
    track = LandmarkTrack(
        time_s, image, np.zeros_like(image), np.ones((len(time_s), 33)), width, height, "heavy", "tracked"
    )
    marks = tuple(
        KeyFrame(name, float(at), int(np.abs(time_s - at).argmin()), 1.0, "pose")
        for name, at in zip(("address", "top", "impact"), rendered[f"{key}_key_frames"], strict=True)
    )
    return SeenSwing(track, view, marks, assume_direction(view))


def true_slip(rendered, key: str) -> np.ndarray:
    _, top, impact = rendered[f"{key}_key_frames"]
    way = rendered[f"{key}_ball_cm"]
    return np.array(
        [np.interp(impact, rendered[f"{key}_time_s"], w) - np.interp(top, rendered[f"{key}_time_s"], w) for w in way.T]
    )


def test_a_rendered_foot_that_slips_and_twists(rendered):
    seen = seen_in(rendered, "face_on", View.FACE_ON)
    slip = compute_trail_foot_slip(seen, float(rendered["face_on_stature_m"]))
    # errors over 40 rendered players: 0.45 cm and 3.5 degrees (one standard deviation; docs/foot.md)
    assert slip.value == pytest.approx(true_slip(rendered, "face_on")[0], abs=1.2)
    twist = compute_trail_foot_twist(seen, STAYS_DOWN)
    at = twist.at(float(rendered["face_on_key_frames"][2]))
    assert rendered["face_on_twist_deg"][at] > 25
    assert twist.value[at] == pytest.approx(rendered["face_on_twist_deg"][at], abs=7.0)


def test_a_rendered_foot_that_stays_down_the_line(rendered):
    seen = seen_in(rendered, "down_the_line", View.DOWN_THE_LINE)
    slip = compute_trail_foot_slip(seen, float(rendered["down_the_line_stature_m"]))
    assert slip.value == pytest.approx(-true_slip(rendered, "down_the_line")[1], abs=1.6)
