"""Flight and strike: landings, mean lines and strikes at their places."""

import numpy as np
import pytest

from review.charts import (
    PHONE,
    SCREEN,
    DistanceUnit,
    FlightBatch,
    FlightChart,
    StrikeBatch,
    StrikePicture,
    draw_flight_chart,
    draw_strike_picture,
)
from review.charts.flight_chart import compute_mean_way
from review.errors import BadInputError
from review.lesson import Handedness
from tests.charts.svg_reading import ReadBack


def parabola(carry_m, offline_m, height_m, n=41):
    t = np.linspace(0.0, 1.0, n)
    return np.column_stack([offline_m * t, carry_m * t, 4 * height_m * t * (1 - t)])


FLIGHTS = tuple(parabola(c, o, 20.0, n) for c, o, n in ((110.0, 12.0, 30), (118.0, 3.0, 41), (121.0, -6.0, 55)))


@pytest.mark.parametrize("canvas", [PHONE, SCREEN])
def test_landings_stand_where_balls_land(canvas):
    read = ReadBack(draw_flight_chart(FlightChart((FlightBatch(1, FLIGHTS),)), canvas))
    x, y = np.array(read.places("landings-1")).T
    ends = np.array([way[-1] for way in FLIGHTS])
    for place, values in ((x, ends[:, 1]), (y, ends[:, 0])):
        slope, offset = np.polyfit(values, place, 1)
        assert slope > 0  # farther is to the right; right of target is down, seen from above
        assert np.allclose(place, slope * values + offset, atol=0.02)
    assert read.line("mean-top-1")[-1] == pytest.approx((x.mean(), y.mean()), abs=0.02)


def test_distances_are_said_in_the_unit_asked_for():
    batch = FlightBatch(2, (parabola(91.44, -9.144, 20.0),))
    yards = ReadBack(draw_flight_chart(FlightChart((batch,)))).all_words()
    metres = ReadBack(draw_flight_chart(FlightChart((batch,), DistanceUnit.METRES))).all_words()
    assert "lands 100.0 yd out, 10.0 yd left of target" in yards  # 91.44 m are 100 yd
    assert "lands 91.4 m out, 9.1 m left of target" in metres
    assert "distance, yards →" in yards
    assert "distance, metres →" in metres
    assert "↓ right of target" in metres


def test_mean_way_ends_at_the_mean_landing_and_keeps_the_height_of_like_flights():
    mean = compute_mean_way(FLIGHTS)
    assert mean[-1] == pytest.approx(np.mean([way[-1] for way in FLIGHTS], axis=0), abs=1e-9)
    assert mean[:, 2].max() == pytest.approx(20.0, abs=0.05)  # parabolas of 20 m, between the samples
    upright = np.array([[0.0, 0.0, 0.0], [0.0, 0.0, 5.0], [0.0, 0.0, 0.0]])
    assert compute_mean_way((upright,))[:, 2].max() == pytest.approx(5.0)


def test_two_batches_of_one_look_are_still_told_apart():
    read = ReadBack(draw_flight_chart(FlightChart((FlightBatch(1, FLIGHTS), FlightBatch(6, FLIGHTS)))))
    assert "fill-opacity: 0" not in read.style("landings-1")
    assert "fill-opacity: 0" in read.style("landings-2")


def test_flights_that_cannot_be_drawn():
    with pytest.raises(BadInputError, match="ball speed and launch angle"):
        draw_flight_chart(FlightChart((FlightBatch(1, ()),)))
    with pytest.raises(ValueError, match="finite numbers of shape"):
        FlightBatch(1, (np.full((5, 3), np.nan),))


STRIKES = np.array([[10.0, -5.0], [4.0, 0.0], [-12.0, 8.0], [0.0, 3.0], [20.0, -10.0]])


@pytest.mark.parametrize(("hand", "toe"), [(Handedness.RIGHT, "left"), (Handedness.LEFT, "right")])
def test_strikes_stand_to_scale_seen_from_in_front_of_the_face(hand, toe):
    read = ReadBack(draw_strike_picture(StrikePicture((StrikeBatch(1, STRIKES),), hand)))
    x, y = np.array(read.places("strikes-1")).T
    across, _ = np.polyfit(STRIKES[:, 0], x, 1)
    up, zero_y = np.polyfit(STRIKES[:, 1], y, 1)
    assert across == pytest.approx(up if toe == "left" else -up, rel=1e-3)  # both ways one scale
    assert up < 0
    assert read.line("middle")[0][1] + read.line("middle")[1][1] == pytest.approx(2 * zero_y, abs=0.05)
    assert ("← toe, mm" if toe == "left" else "toe, mm →") in read.words
    assert "Looking at the face" in read.all_words()


def test_the_ellipse_is_that_of_the_covariance():
    """Of (10, 0), (-10, 0), (0, 4), (0, -4) the variances are 200/3 and 32/3; 68 % of a plane normal: chi2 = 2.2789."""
    points = np.array([[10.0, 0.0], [-10.0, 0.0], [0.0, 4.0], [0.0, -4.0]])
    read = ReadBack(draw_strike_picture(StrikePicture((StrikeBatch(1, points),), Handedness.LEFT)))
    x, _ = np.array(read.places("strikes-1")).T
    px_per_mm = (x[0] - x[1]) / 20.0
    ring = np.array(read.line("spread-1"))
    half_across, half_up = (ring.max(axis=0) - ring.min(axis=0)) / 2 / px_per_mm
    assert half_across == pytest.approx(np.sqrt(200 / 3 * 2.2789), rel=5e-3)
    assert half_up == pytest.approx(np.sqrt(32 / 3 * 2.2789), rel=5e-3)


@pytest.mark.parametrize("n", [1, 2, 3, 20])
def test_any_number_of_strikes(n):
    points = np.column_stack([np.linspace(-45.0, 60.0, n), np.cos(np.arange(n)) * 20.0])
    read = ReadBack(draw_strike_picture(StrikePicture((StrikeBatch(2, points),), Handedness.RIGHT), SCREEN))
    assert len(read.places("strikes-1")) == n
    assert ("spread-1" in read.groups) == (n > 2)
    width, height = (float(v) for v in read.root.get("viewBox").split()[2:])
    assert all(0 < x < width and 0 < y < height for x, y in read.places("strikes-1"))


def test_no_strike_is_told():
    with pytest.raises(BadInputError, match="strike across and strike up"):
        draw_strike_picture(StrikePicture((StrikeBatch(1, np.empty((0, 2))),), Handedness.RIGHT))
