"""Pressure numbers against closed forms: straight and round moves, a return, mats that lie anyhow, gaps."""

from dataclasses import replace

import numpy as np
import pytest

from review.pressure import MatPlacement, Pattern, calibrate, lay_path, read_pressure, say_patterns, tell_pattern
from tests.pressure.made_mats import make_steps, on_mat

MOMENTS = {"address": -1.1, "top": -0.30, "arm level": -0.08, "impact": 0.0}


def swing_cm(t, back_cm=0.0):
    """The player's frame: smooth from -9 cm at the top to 12 at arm level, then on by 4 or back; toes +1 at the end."""
    x = np.interp(
        t, [-3, -1.0, -0.4, -0.3, -0.08, 0.0, 1.0], [0, 0, -9, -9, 12, 16 if not back_cm else 12 - back_cm, 9]
    )
    return np.column_stack([x, np.interp(t, [-0.3, 0.0], [0.0, 5.0])])


def read(rate_hz=500.0, mat=None, xy=None, back_cm=0.0, **how):
    t = np.arange(-2.0, 1.0, 1 / rate_hz)
    mat = mat or MatPlacement(stance_cm=43.0)
    xy = swing_cm(t, back_cm) if xy is None else xy(t)
    return {(m.name, m.key_frame): m for m in read_pressure(lay_path(t, xy, mat, **how), MOMENTS)}


def test_positions_are_within_one_percent_of_stance():
    found = read()
    for name, x in (("address", 0.0), ("top", -9.0), ("arm level", 12.0)):
        assert found["pressure_position_pct", name].value == pytest.approx(50 + x / 0.43, abs=1.0)
    slow = read(xy=lambda t: np.column_stack([20 * t, np.zeros_like(t)]))
    for name, moment in MOMENTS.items():
        assert slow["pressure_position_pct", name].value == pytest.approx(50 + 20 * moment / 0.43, abs=0.1)


@pytest.mark.parametrize("rate_hz", [30, 100, 2000])
def test_a_line(rate_hz):
    found = read(rate_hz, xy=lambda t: np.column_stack([30 * t, 40 * t]))
    assert found["pressure_path_cm", ""].value == pytest.approx(50 * 0.30, rel=0.005)
    assert found["pressure_move_cm", "impact"].value == pytest.approx(50 * 0.30, rel=0.005)
    assert found["pressure_direction_deg", "impact"].value == pytest.approx(np.degrees(np.arctan2(4, 3)), abs=0.2)
    assert found["pressure_speed_cm_s", ""].value == pytest.approx(30, rel=0.01)
    assert found["pressure_peak_ms", ""].value == pytest.approx(0.0, abs=1e-6)
    assert found["pressure_return_cm", ""].value == pytest.approx(0.0, abs=1e-6)


@pytest.mark.parametrize("rate_hz", [100, 1000])
def test_a_circle(rate_hz):
    turn = 2 * np.pi / 0.9  # a third of a circle of 10 cm from top to impact
    found = read(rate_hz, xy=lambda t: 10 * np.column_stack([np.cos(turn * t), np.sin(turn * t)]))
    assert found["pressure_path_cm", ""].value == pytest.approx(10 * turn * 0.3, rel=0.01)
    assert found["pressure_move_cm", "impact"].value == pytest.approx(10 * np.sqrt(3), rel=0.01)  # its chord


@pytest.mark.parametrize("rate_hz", [100, 500])
def test_the_peak_lies_where_it_was_put(rate_hz):
    found = read(rate_hz, xy=lambda t: np.column_stack([15 * np.exp(-(((t + 0.12) / 0.08) ** 2)), 0 * t]))
    assert found["pressure_peak_ms", ""].value == pytest.approx(120, abs=1000 / rate_hz + 2)
    # the two places themselves: at arm level and at impact
    fell = 15 * (np.exp(-0.25) - np.exp(-2.25))
    assert found["pressure_return_cm", ""].value == pytest.approx(fell, rel=0.05)


def test_patterns_are_told_apart_in_plain_words():
    onward, back = (tell_pattern(list(read(back_cm=b, time_sd_s=0.008).values())) for b in (0.0, 9.0))
    assert (onward, back) == (Pattern.ONWARD, Pattern.BACK)
    assert say_patterns([back, back, onward, None]) == "goes back toward the trail foot before impact (2 of 3)"
    assert say_patterns([None]) == ""


def test_standing_still_before_impact_and_not_knowing_are_two_things():
    def stays(t):
        return np.column_stack([np.interp(t, [-0.3, -0.15, 0.02, 0.5], [-9, 12, 12, 5]), 0 * t])

    still = read(xy=stays, time_sd_s=0.004)
    assert tell_pattern(list(still.values())) is Pattern.STILL
    assert tell_pattern(list(read(back_cm=4.0, time_sd_s=0.075).values())) is Pattern.UNKNOWN
    # the way over the ground counts, not how far it is from the top at either moment
    across = read(
        xy=lambda t: np.column_stack([np.interp(t, [-0.3, -0.08, 0.0, 0.1], [-8, 6, 6, 7]), 30 * np.clip(t, -0.08, 0)]),
        time_sd_s=0.004,
    )
    assert tell_pattern(list(across.values())) is not Pattern.STILL


@pytest.mark.parametrize("is_mirrored", [False, True])
def test_mats_that_lie_anyhow_give_the_same_numbers(is_mirrored):
    """A left-hander on the same mat is the mirrored case: target and toes change sides."""
    plain = read(mat=MatPlacement(origin_cm=(0.0, 0.0), stance_cm=43.0))
    for angle in np.linspace(-180, 180, 37):
        mat = calibrate(make_steps(angle, is_mirrored), stance_cm=43.0)
        turned = read(mat=mat, xy=lambda t, a=angle: on_mat(swing_cm(t), a, is_mirrored, (3.0, -2.0)))
        assert turned.keys() == plain.keys()
        for key, measure in turned.items():
            limit = {"pressure_position_pct": 1.0, "pressure_direction_deg": 1.0, "pressure_speed_cm_s": 1.0}
            assert measure.value == pytest.approx(plain[key].value, abs=limit.get(key[0], 0.2)), (angle, key)


def test_share_and_loading_need_force():
    t = np.arange(-2.0, 1.0, 0.002)
    force = 600 + np.interp(t, [-0.2, -0.1], [0, 300])  # 300 N in 0.1 s of a body of 600 N: 5 a second
    lead = 0.75 * force
    found = read(force_n=force, lead_n=lead)
    assert found["pressure_share_pct", "impact"].value == pytest.approx(75, abs=0.1)
    assert found["loading_rate_bw_s", ""].value == pytest.approx(5.0, rel=0.06)
    assert found["lead_loading_rate_bw_s", ""].value == pytest.approx(3.75, rel=0.06)
    assert ("pressure_share_pct", "impact") not in read(force_n=force)
    assert ("loading_rate_bw_s", "") not in read()


def test_what_a_trace_cannot_give_is_missing_with_its_reason():
    t = np.arange(-2.0, 1.0, 0.01)
    xy = swing_cm(t)
    xy[(t > -0.2) & (t < -0.05)] = np.nan
    gap = {(m.name, m.key_frame): m for m in read_pressure(lay_path(t, xy, MatPlacement(stance_cm=43.0)), MOMENTS)}
    assert gap["pressure_position_pct", "arm level"].why_missing == "the trace has a gap there"
    assert gap["pressure_path_cm", ""].why_missing == "the trace has a gap between top and impact"
    assert np.isfinite(gap["pressure_position_pct", "impact"].value)
    unknown = read(mat=MatPlacement())
    assert "feet are apart" in unknown["pressure_position_pct", "top"].why_missing
    stood_off = np.where((t > -0.2) & (t < -0.05), 0.0, 600.0)
    off = lay_path(t, swing_cm(t), MatPlacement(), stood_off)
    assert np.isnan(off.at(-0.1)).all()


def test_intervals_grow_with_how_badly_the_trace_is_placed():
    close, far = (read(time_sd_s=s)["pressure_position_pct", "arm level"] for s in (0.005, 0.05))
    assert far.high - far.low > close.high - close.low
    assert close.low < close.value < close.high


def test_without_knowing_how_the_mat_lies_only_lengths_are_told():
    t = np.arange(-1.0, 0.6, 0.01)
    xy = np.column_stack([np.interp(t, [-0.3, 0.0], [0.0, 12.0]), np.interp(t, [-0.3, 0.0], [0.0, 5.0])])
    moments = {"address": -0.9, "top": -0.3, "arm level": -0.08, "impact": 0.0}
    measured = read_pressure(lay_path(t, xy, MatPlacement(stance_cm=40.0, has_angle=False)), moments)
    by_name = {m.name: m for m in measured if m.key_frame in ("", "impact")}
    assert by_name["pressure_move_cm"].value == pytest.approx(13.0, abs=0.3)
    for name in ("position_pct", "direction_deg", "speed_cm_s", "peak_ms", "return_cm"):
        assert by_name[f"pressure_{name}"].why_missing == "how the mat lies is not known"
    assert tell_pattern(measured) is None


@pytest.mark.parametrize("angle_deg", [0.0, 35.0])
def test_a_left_hander_on_the_same_mat_has_a_right_handers_numbers(angle_deg):
    """Target the other way, toes on the same side: half a turn of the target line and a mirror, told by the steps."""
    flip = np.array([-1.0, 1.0])
    steps = make_steps(angle_deg)
    left_steps = replace(steps, xy_cm=on_mat(flip * on_mat_back(steps.xy_cm, angle_deg), angle_deg, False, (3.0, -2.0)))
    t = np.arange(-1.5, 0.6, 0.01)
    player = swing_cm(t, back_cm=3.0)
    right = lay_path(t, on_mat(player, angle_deg, False, (3.0, -2.0)), calibrate(steps, stance_cm=44.0))
    left = lay_path(t, on_mat(flip * player, angle_deg, False, (3.0, -2.0)), calibrate(left_steps, stance_cm=44.0))
    assert left.placement.is_mirrored
    for a, b in zip(read_pressure(right, MOMENTS), read_pressure(left, MOMENTS), strict=True):
        assert b.value == pytest.approx(a.value, abs=1e-6, nan_ok=True)


def on_mat_back(xy_cm, angle_deg):
    return MatPlacement(angle_deg, False, (3.0, -2.0)).to_player(xy_cm)
