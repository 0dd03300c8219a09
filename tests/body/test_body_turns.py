"""Turns of rendered swings against the exact truth of the posed skeleton; smoothing against closed forms."""

from dataclasses import replace

import numpy as np
import pytest

from review.body import SeenSwing, as_right_hander, assume_direction, find_view, measure_body, read_off
from review.body.smoothing import TURN_GRID_DEG, Motion, smooth_turn
from review.errors import BadInputError
from review.lesson import Bound, Handedness, KeyFrameName
from review.pose import mirror_track, spread_over
from review.swing import find_key_frames


def see(swing, view=None) -> SeenSwing:
    track = as_right_hander(swing.track, swing.handedness)
    key_frames = find_key_frames(track, strike_s=swing.key_frames_s["impact"])
    view = view or swing.view
    return SeenSwing(track, view, key_frames, assume_direction(view))


def errors(swing, body, name):
    got, true = body.series[name], swing.from_address(name)
    off = got.value - true
    short = np.minimum(0.0, np.abs(true) - np.abs(got.value))  # a bound is wrong only where the truth falls short
    return np.abs(np.where(got.is_bound, short, off))[swing.inside()]


@pytest.mark.parametrize("name", ["face_on", "down_the_line", "face_on_left"])
def test_view_is_found(name, request):
    swing = request.getfixturevalue(name)
    view, certainty = find_view(as_right_hander(swing.track, swing.handedness))
    assert view is swing.view
    assert certainty > 0.7


@pytest.mark.parametrize(
    ("name", "hip_deg", "shoulder_deg"),
    # about twice the medians seen on rendered players (docs/accuracy.md)
    [("face_on", 10, 7), ("face_on_left", 10, 7), ("down_the_line", 10, 7)],
)
def test_turns_follow_the_truth(name, hip_deg, shoulder_deg, request):
    swing = request.getfixturevalue(name)
    body = measure_body([see(swing)], swing.stature_m)
    assert np.median(errors(swing, body, "hip_turn_deg")) < hip_deg
    assert np.median(errors(swing, body, "shoulder_turn_deg")) < shoulder_deg


def test_the_response_is_better_than_raw_depth(face_on):
    """Reading the turn straight from the detector's depth shrinks it (the reason for the response model)."""
    world = face_on.track.world_m
    line = world[:, 23] - world[:, 24]
    raw = np.degrees(np.unwrap(np.arctan2(line[:, 2], line[:, 0])))
    raw -= np.interp(face_on.key_frames_s["address"], face_on.track.time_s, raw)
    raw_error = np.abs(raw - face_on.from_address("hip_turn_deg"))[face_on.inside()]
    body = measure_body([see(face_on)], face_on.stature_m)
    assert np.median(errors(face_on, body, "hip_turn_deg")) < 0.7 * np.median(raw_error)


def test_two_views_are_put_together(face_on, down_the_line):
    both = measure_body([see(face_on), see(down_the_line)], face_on.stature_m)
    assert len(both.series["hip_turn_deg"].value) == len(face_on.track.time_s)
    assert np.median(errors(face_on, both, "hip_turn_deg")) < 10
    assert "hip_shift_cm" in both.series


def test_a_mirrored_left_hander_gives_the_right_handers_numbers(face_on):
    right = measure_body([see(face_on)], face_on.stature_m)
    mirrored = replace(face_on, track=mirror_track(face_on.track), handedness=Handedness.LEFT)
    left = measure_body([see(mirrored)], face_on.stature_m)
    for name, series in right.series.items():
        np.testing.assert_allclose(left.series[name].value, series.value, atol=1e-6, equal_nan=True)


def test_turn_at_address_is_zero_and_outside_the_swing_absent(face_on):
    body = measure_body([see(face_on)], face_on.stature_m)
    series = body.series["hip_turn_deg"]
    assert series.value[series.at(face_on.key_frames_s["address"])] == pytest.approx(0.0, abs=3.0)
    assert np.isnan(series.value[0])


def test_intervals_have_two_parts_and_contain_the_value(face_on):
    series = measure_body([see(face_on)], face_on.stature_m).series["hip_turn_deg"]
    seen = ~np.isnan(series.value)
    assert (series.own_sd[seen] > 0).all()
    assert (series.shared_sd[seen] > series.own_sd[seen]).all()
    assert (series.low[seen] < series.value[seen]).all()
    # half of a 90 % interval is 1.645 standard deviations
    np.testing.assert_allclose(
        (series.high - series.value)[seen], 1.6449 * np.hypot(series.own_sd, series.shared_sd)[seen], rtol=1e-4
    )


def test_shoulders_farther_than_the_response_has_learnt_are_a_bound(face_on, monkeypatch):
    top_deg = face_on.from_address("shoulder_turn_deg").min()
    monkeypatch.setattr("review.body.turns._SATURATES_BEYOND_DEG", abs(top_deg) - 25)
    measures = read_off(measure_body([see(face_on)], face_on.stature_m), see(face_on), "set-up 1")
    top = next(m for m in measures if m.name == "shoulder_turn_deg" and m.key_frame == "top")
    assert top.bound is Bound.AT_LEAST
    assert top.value == pytest.approx(top_deg + 25)
    assert top.setup == "set-up 1"


def with_noise(swing, per_mille):
    """Every landmark of every frame off at random, by thousandths of stature (about 650 pixels here)."""
    noise = np.random.default_rng(5).normal(0.0, 0.65 * per_mille, swing.track.image_px.shape)
    return replace(swing, track=replace(swing.track, image_px=swing.track.image_px + noise))


def widths(seen, stature_m):
    series = measure_body([seen], stature_m).series
    ends = (seen.true_time_of(name) for name in (KeyFrameName.TOP, KeyFrameName.IMPACT))
    middle = slice(*(series["hip_turn_deg"].at(end_s) for end_s in ends))
    return {name: float(np.mean(one.half_width[middle])) for name, one in series.items()}


def test_poor_light_widens_and_good_light_does_not(face_on):
    plain = widths(see(face_on), face_on.stature_m)
    for contrast, wider in ((160.0, 1.0), (70.0, 1.0), (30.0, 1.3), (12.0, 1.9)):
        seen = see(replace(face_on, track=replace(face_on.track, contrast=contrast)))
        assert seen.light_widening == pytest.approx(wider, abs=0.05)
        got = widths(seen, face_on.stature_m)
        assert got["hip_turn_deg"] == pytest.approx(seen.light_widening * plain["hip_turn_deg"], rel=0.01)
        assert (got["trail_heel_lift_cm"] > 1.1 * plain["trail_heel_lift_cm"]) == (wider > 1.0)


def test_trembling_landmarks_widen_and_lost_ones_are_told(face_on):
    assert see(face_on).light_widening == 1.0
    widening = [see(with_noise(face_on, noise)).light_widening for noise in (0.2, 0.6, 1.2)]
    # 0.3 thousandths are still steady
    assert widening == pytest.approx([1.0, (0.6 / 0.3) ** 0.4, (1.2 / 0.3) ** 0.4], rel=0.15)
    assert not see(with_noise(face_on, 3.0)).is_lost
    assert see(with_noise(face_on, 12.0)).is_lost


@pytest.mark.parametrize("every", [2, 4])
def test_interpolated_frames_do_not_hide_the_trembling(face_on, every):
    """At 120 and 240 frames a second quick looks at every second or fourth frame only."""
    noisy = with_noise(face_on, 0.8)
    dense = np.arange(0.0, face_on.track.time_s[-1], 1.0 / (60 * every))
    fast = replace(noisy, track=spread_over(noisy.track, dense))
    assert see(fast).light_widening == pytest.approx(see(noisy).light_widening, rel=0.1)


def test_down_the_line_says_why_there_is_no_hip_shift(down_the_line):
    seen = see(down_the_line)
    body = measure_body([seen], down_the_line.stature_m)
    assert "hip_shift_cm" not in body.series
    shift = next(m for m in read_off(body, seen, "") if m.name == "hip_shift_cm")
    assert "cannot see movement along the target line" in shift.why_missing


def test_two_clips_of_the_same_view_are_refused(face_on):
    with pytest.raises(BadInputError, match="Both clips look face-on"):
        measure_body([see(face_on), see(face_on)], None)


def test_a_person_seen_on_few_frames_is_refused(face_on):
    image = face_on.track.image_px.copy()
    image[::2] = np.nan
    image[1:50] = np.nan
    with pytest.raises(BadInputError, match="A person was found on"):
        as_right_hander(replace(face_on.track, image_px=image), Handedness.RIGHT)


def test_short_gaps_are_filled(face_on):
    image, world = face_on.track.image_px.copy(), face_on.track.world_m.copy()
    image[60:63], world[60:63] = np.nan, np.nan
    filled = as_right_hander(replace(face_on.track, image_px=image, world_m=world), Handedness.RIGHT)
    assert filled.is_seen.all()
    middle = (image[59] + image[63]) / 2
    np.testing.assert_allclose(filled.image_px[61], middle, atol=1e-6)


def test_slow_motion_gives_the_same_turns(face_on, down_the_line):
    """One of two views plays four times as slowly; true time is what counts."""
    plain = measure_body([see(face_on), see(down_the_line)], face_on.stature_m)
    slow = see(down_the_line)
    track = replace(slow.track, time_s=slow.track.time_s * 4)
    key_frames = tuple(replace(k, time_s=k.time_s * 4) for k in slow.key_frames)
    both = measure_body(
        [see(face_on), replace(slow, track=track, key_frames=key_frames, time_scale=0.25)], face_on.stature_m
    )
    for name in ("hip_turn_deg", "shoulder_turn_deg", "trail_heel_lift_cm"):
        np.testing.assert_allclose(both.series[name].value, plain.series[name].value, atol=1e-6, equal_nan=True)


def test_feet_out_of_the_picture_widen_turns_and_give_no_heel(face_on, down_the_line):
    whole = see(face_on)
    ankles_px = np.median(whole.track.image_px[whole.still_frames()][:, [27, 28], 1])
    cut = replace(whole, track=replace(whole.track, height_px=int(ankles_px) - 20))
    seen, body = measure_body([whole], face_on.stature_m), measure_body([cut], face_on.stature_m)
    inside = np.isfinite(body.series["hip_turn_deg"].value)
    ratio = body.series["hip_turn_deg"].half_width / seen.series["hip_turn_deg"].half_width
    np.testing.assert_allclose(ratio[inside], 2.0, rtol=0.05)
    assert "feet" in body.why_missing["trail_heel_lift_cm"]
    both = measure_body([cut, see(down_the_line)], face_on.stature_m)
    assert "trail_heel_lift_cm" in both.series  # the other camera sees them


class TestSmoothing:
    """The smoother on likelihoods whose truth is a formula."""

    time_s = np.arange(0, 1.2, 1 / 60)

    def evidence(self, angle_deg, sd_deg):
        return -0.5 * ((TURN_GRID_DEG[None, :] - angle_deg[:, None]) / sd_deg) ** 2

    def test_keeps_the_reversal_and_the_speed_of_a_known_turn(self):
        # still, back by 45 degrees as half a cosine, forward by 75 in a smooth step: no joint stops from full speed
        back = -22.5 * (1 - np.cos(np.pi * np.clip((self.time_s - 0.15) / 0.6, 0, 1)))
        part = np.clip((self.time_s - 0.75) / 0.35, 0, 1)
        forward = 75 * part**2 * (3 - 2 * part)
        angle = back + forward
        mean, sd = smooth_turn(self.time_s, self.evidence(angle, 6.0), Motion(top_s=0.75))
        assert abs(mean[np.argmin(np.abs(self.time_s - 0.75))] + 45) < 3
        assert np.abs(mean - angle).max() < 6
        speed = np.gradient(mean, self.time_s)
        assert speed.max() == pytest.approx(np.gradient(angle, self.time_s).max(), rel=0.2)
        assert (sd > 0).all()

    def test_without_evidence_stays_where_it_started_and_grows_unsure(self):
        mean, sd = smooth_turn(self.time_s, np.zeros((len(self.time_s), len(TURN_GRID_DEG))), Motion())
        assert abs(mean[0]) < 1
        assert sd[-1] > 3 * sd[0]

    def test_ambiguous_frames_follow_the_motion(self):
        """Two equally likely angles on every frame: the one near the start and steady is taken."""
        angle = np.full(len(self.time_s), 0.0)
        both = np.logaddexp(self.evidence(angle, 5.0), self.evidence(angle + 100.0, 5.0))
        mean, _ = smooth_turn(self.time_s, both, Motion(start_sd_deg=7.0))
        assert np.abs(mean).max() < 5
