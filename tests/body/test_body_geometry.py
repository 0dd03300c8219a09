"""Closed forms of the geometry that every reading of a turn lives with.

The numbers in the tables were worked out apart from this program: sqrt(2) s / W for the direction of a line between two
points whose depth is off by s each; arccos(w / w0) for a width; atan(tan T cos F) for a turn about a bent-over spine.
"""

from collections import defaultdict

import numpy as np
import pytest

from review.body import SeenSwing, as_right_hander, assume_direction, find_view, measure_body, read_off
from review.body.geometry import seen_from_above_deg
from review.body.golfer import _BETWEEN_VIEWS, LEAD_HIP, LEAD_SHOULDER, TRAIL_HIP, TRAIL_SHOULDER
from review.body.measure import BodyMeasures
from review.body.series import Series
from review.lesson import KeyFrame, View
from review.pose import LandmarkTrack
from review.swing import find_key_frames


def turned_about(axis, line, degrees):
    """Rodrigues' rotation of a line about an axis."""
    angle = np.radians(degrees)
    axis = axis / np.linalg.norm(axis)
    turned = line * np.cos(angle) + np.cross(axis, line) * np.sin(angle)
    return turned + axis * (axis @ line) * (1 - np.cos(angle))


@pytest.mark.parametrize(
    ("line", "expected"),
    [([1, 0, 0], 0.0), ([0, 0, 1], 90.0), ([1, -5, 1], 45.0), ([-1, 2, 0], 180.0), ([0, 3, -2], -90.0)],
)
def test_a_direction_is_seen_from_above(line, expected):
    assert seen_from_above_deg(np.array(line, dtype=float)) == pytest.approx(expected)


@pytest.mark.parametrize(
    ("width_mm", "noise_mm", "sd_deg"),
    [(200, 10, 4.1), (200, 20, 8.1), (200, 35, 14.2), (360, 10, 2.3), (360, 20, 4.5), (360, 35, 7.9)],
)
def test_noise_of_a_line_between_two_points(width_mm, noise_mm, sd_deg):
    """Why the turn is not read from the depth of two hips: 35 mm, a usual landmark error, are 14 degrees."""
    rng = np.random.default_rng(7)
    ends = np.zeros((40_000, 2, 3))
    ends[:, 1, 0] = width_mm
    ends[:, :, 2] = rng.normal(0, noise_mm, (len(ends), 2))
    direction = seen_from_above_deg(ends[:, 1] - ends[:, 0])
    # the closed form is linear; at 14 degrees the tangent shortens the spread by a few per cent
    assert np.std(direction) == pytest.approx(sd_deg, rel=0.07 if sd_deg > 10 else 0.03)
    assert np.degrees(np.sqrt(2) * noise_mm / width_mm) == pytest.approx(sd_deg, abs=0.06)


@pytest.mark.parametrize(
    ("turn_deg", "bend_deg", "read_deg"), [(45, 15, 44.0), (45, 35, 39.3), (45, 45, 35.3), (90, 35, 90.0), (0, 35, 0.0)]
)
def test_a_turn_about_a_trunk_bent_forward(turn_deg, bend_deg, read_deg):
    """Our turn is that of the line seen from above, so less than the turn about the spine."""
    bend = np.radians(bend_deg)
    spine = np.array([0.0, -np.cos(bend), -np.sin(bend)])  # up and toward the camera
    shoulders = turned_about(spine, np.array([1.0, 0.0, 0.0]), turn_deg)
    read = abs(float(seen_from_above_deg(shoulders)))
    assert read == pytest.approx(read_deg, abs=0.06)


def posing(turn_deg, width_noise):
    """Three frames of a torso turned from square, shoulders 0.36 and hips 0.20 wide, trunk 0.50 high, in pixels."""
    image = np.zeros((3, 33, 3))
    for left, right, width, height in ((LEAD_SHOULDER, TRAIL_SHOULDER, 360, 0), (LEAD_HIP, TRAIL_HIP, 200, 500)):
        seen = width * (np.cos(np.radians(turn_deg)) + width_noise)
        image[:, left, 0], image[:, right, 0] = 500 + seen / 2, 500 - seen / 2
        image[:, [left, right], 1] = height
    return LandmarkTrack(np.arange(3) / 30, image, np.zeros_like(image), np.ones((3, 33)), 1000, 1000, "full", "made")


def test_a_width_is_foreshortened_and_its_noise_stretched():
    """A width noise of 5 % is an angle noise of 4.1 degrees at 45 and 3.3 at 60: 0.05 / sin T, here 3.4 at 56.

    The view changes from face-on to down-the-line where the foreshortened width passes its limit; noise moves that
    angle by as much as the closed form says.
    """
    limit_deg = np.degrees(np.arccos(_BETWEEN_VIEWS / (0.56 / 0.50)))
    assert find_view(posing(limit_deg - 0.5, 0.0))[0] is View.FACE_ON
    assert find_view(posing(limit_deg + 0.5, 0.0))[0] is View.DOWN_THE_LINE
    sd_deg = np.degrees(0.05 / np.sin(np.radians(limit_deg)))
    assert 3.3 <= sd_deg <= 4.1
    noise = np.random.default_rng(11).normal(0, 0.05, 4000)
    # one standard deviation past the limit, 84 % of noisy views are told rightly
    told = np.mean([find_view(posing(limit_deg + sd_deg, n))[0] is View.DOWN_THE_LINE for n in noise])
    assert told == pytest.approx(0.841, abs=0.03)


@pytest.mark.parametrize(("rate_hz", "half_frame_deg"), [(30, 8.3), (60, 4.2), (120, 2.1), (240, 1.0)])
def test_a_turn_at_impact_is_read_between_frames(rate_hz, half_frame_deg):
    """At 500 degrees a second half a frame is 8.3 degrees at 30 frames a second: the nearest frame is not enough."""
    time_s = np.arange(0, 0.5, 1 / rate_hz)
    zeros = np.zeros(len(time_s))
    series = Series(time_s, 500.0 * time_s, zeros + 2.0, zeros + 1.0, zeros.astype(bool))
    blank = np.zeros((len(time_s), 33, 3))
    track = LandmarkTrack(time_s, blank, blank, np.ones((len(time_s), 33)), 100, 100, "full", "made")
    body = BodyMeasures({"hip_turn_deg": series}, defaultdict(lambda: "not made"))
    nearest, read = [], []
    for impact_s in np.linspace(0.2, 0.3, 101):
        frames = (KeyFrame("impact", float(impact_s), 0, 0.9, "sound"),)
        seen = SeenSwing(track, View.FACE_ON, frames, assume_direction(View.FACE_ON))
        measure = next(m for m in read_off(body, seen, "") if (m.name, m.key_frame) == ("hip_turn_deg", "impact"))
        nearest.append(abs(series.value[series.at(impact_s)] - 500.0 * impact_s))
        read.append(abs(measure.value - 500.0 * impact_s))
        assert measure.high - measure.low == pytest.approx(2 * series.half_width[0])
    assert max(nearest) == pytest.approx(half_frame_deg, rel=0.06)
    assert max(read) < 0.01


def test_beside_a_gap_or_a_bound_the_nearer_frame_is_read():
    time_s = np.arange(4) / 30
    zeros = np.zeros(4)
    is_bound = np.array([True, False, False, False])
    series = Series(time_s, np.array([-75.0, -60.0, -40.0, np.nan]), zeros, zeros, is_bound)
    assert series.value_at(0.4 / 30) == -75.0
    assert series.value_at(0.6 / 30) == -60.0
    assert series.value_at(1.5 / 30) == pytest.approx(-50.0)
    assert series.value_at(2.4 / 30) == -40.0
    assert np.isnan(series.value_at(2.6 / 30))
    assert series.value_at(-1.0) == -75.0


@pytest.mark.parametrize("name", ["face_on", "down_the_line", "face_on_left"])
def test_turns_at_the_top_are_a_golfers(name, request):
    """Plausible, no more: hips 53-55 and upper body 87 degrees at the top in the mean (McTeigue et al. 1994)."""
    swing = request.getfixturevalue(name)
    track = as_right_hander(swing.track, swing.handedness)
    seen = SeenSwing(track, swing.view, find_key_frames(track), assume_direction(swing.view))
    at_top = {
        m.name: m.value for m in read_off(measure_body([seen], swing.stature_m), seen, "") if m.key_frame == "top"
    }
    assert -75 <= at_top["hip_turn_deg"] <= -15
    assert -120 <= at_top["shoulder_turn_deg"] < at_top["hip_turn_deg"]
