"""Run chart and many batches: the right marks at the right places, in the player's words."""

import numpy as np
import pytest

from review.charts import SCREEN, BatchChart, BatchPoint, RunChart, RunPoint, draw_batch_chart, draw_run_chart
from review.charts.means import compute_mean_interval
from review.compare import Sample, Window
from review.errors import BadInputError
from review.lesson import Bound, Handedness
from tests.charts.svg_reading import ReadBack

RIGHT, LEFT = Handedness.RIGHT, Handedness.LEFT
# club path of the sample lesson, batches of five
PATH = [4.8, 4.2, 6.7, 5.5, 7.9, 6.4, 3.0, 4.5, 4.5, 5.2, 0.3, 1.6, 2.5, 3.3, 2.0]


def run_chart(values=PATH, size=5, left_out=(), hand=RIGHT, **more):
    points = [RunPoint(n + 1, v, n // size + 1, left_out=n + 1 in left_out) for n, v in enumerate(values)]
    return RunChart("club_path_deg", hand, tuple(points), **more)


@pytest.mark.parametrize("canvas", [None, SCREEN])
def test_marks_stand_in_order_and_to_scale(canvas):
    drawing = draw_run_chart(run_chart()) if canvas is None else draw_run_chart(run_chart(), canvas)
    read = ReadBack(drawing)
    places = [place for n in (1, 2, 3) for place in read.places(f"batch-{n}")]
    assert len(places) == len(PATH)
    x, y = np.array(places).T
    assert np.allclose(np.diff(x), np.diff(x)[0], atol=0.01)
    assert np.diff(x)[0] > 0
    slope, offset = np.polyfit(PATH, y, 1)
    assert slope < 0  # a higher number stands higher
    assert np.allclose(y, slope * np.array(PATH) + offset, atol=0.01)
    for n in (1, 2, 3):
        mean = np.mean(PATH[5 * n - 5 : 5 * n])
        ends = read.line(f"mean-{n}")
        assert [end[1] for end in ends] == pytest.approx([slope * mean + offset] * 2, abs=0.01)
        assert ends[0][0] < x[5 * n - 5]
        assert ends[1][0] > x[5 * n - 1]


def test_a_swing_left_out_is_hollow_and_in_no_mean():
    read = ReadBack(draw_run_chart(run_chart(left_out=(5,))))
    assert len(read.places("batch-1")) == 4
    assert len(read.places("batch-1-left-out")) == 1
    assert "fill-opacity: 0" in read.style("batch-1-left-out")
    assert "fill-opacity: 0" not in read.style("batch-1")
    assert "mean 5.3°" in read.all_words()  # of 4.8 4.2 6.7 5.5
    assert "Hollow: left out" in read.all_words()


def test_a_bound_is_drawn_but_in_no_mean():
    points = (*(RunPoint(n, -40.0 - n, 1) for n in range(1, 4)), RunPoint(4, -75.0, 1, bound=Bound.AT_LEAST))
    read = ReadBack(draw_run_chart(RunChart("hip_turn_deg", RIGHT, points, "top")))
    assert len(read.places("batch-1")) == 3
    assert len(read.places("batch-1-bound")) == 1
    assert "mean turned away 42°" in read.all_words()
    assert "Hip turn at top, degrees" in read.words
    assert {"↑ less turned away", "↓ more turned away"} <= set(read.words)


def test_the_window_stands_at_its_values_and_counts():
    read = ReadBack(draw_run_chart(run_chart(window=Window(2.0, 5.0))))
    ys = sorted({y for _, y in read.line("window")})
    values_y = np.array([y for n in (1, 2, 3) for _, y in read.places(f"batch-{n}")])
    slope, offset = np.polyfit(PATH, values_y, 1)
    assert ys == pytest.approx(sorted([slope * 2.0 + offset, slope * 5.0 + offset]), abs=0.02)
    assert "batch 1: 2 of 5, batch 2: 3 of 5, batch 3: 3 of 5" in read.all_words()
    assert "2.0° in-to-out to 5.0° in-to-out" in read.all_words()


def test_words_of_direction_follow_the_hand():
    right = ReadBack(draw_run_chart(run_chart([-2.0, 3.0])))
    left = ReadBack(draw_run_chart(run_chart([2.0, -3.0], hand=LEFT)))
    assert {"↑ in-to-out", "↓ out-to-in"} <= set(right.words)
    assert {"↑ out-to-in", "↓ in-to-out"} <= set(left.words)


def test_two_batches_never_share_colour_and_shape():
    read = ReadBack(draw_run_chart(run_chart([1.0] * 5, size=1)))
    shapes = {next(read.groups[f"batch-{n}"].iter("{http://www.w3.org/2000/svg}path")).get("d") for n in range(1, 6)}
    fills = {read.style(f"batch-{n}").split(";")[0] for n in range(1, 6)}
    assert len(shapes) == len(fills) == 5


@pytest.mark.parametrize("n", [1, 3, 20, 90])
def test_any_number_of_swings_stays_inside_the_picture(n):
    drawing = draw_run_chart(run_chart([(-1) ** k * k * 1.7 for k in range(n)], size=6))
    read = ReadBack(drawing)
    places = [p for gid in read.groups if gid.startswith("batch-") for p in read.places(gid)]
    assert len(places) == n
    width, height = (float(v) for v in read.root.get("viewBox").split()[2:])
    assert all(0 < x < width and 0 < y < height for x, y in places)


def test_no_swing_is_told_to_the_coach():
    with pytest.raises(BadInputError, match="no swing has a club path"):
        draw_run_chart(RunChart("club_path_deg", RIGHT, ()))
    with pytest.raises(ValueError, match="no place in a chart"):
        RunPoint(1, float("nan"), 1)


def test_mean_interval_is_students():
    # scipy.stats.ttest_1samp knows it from elsewhere
    from scipy.stats import ttest_1samp

    mean, low, high = compute_mean_interval(PATH[:5])
    expected = ttest_1samp(PATH[:5], 0.0).confidence_interval(0.95)
    assert (mean, low, high) == pytest.approx((np.mean(PATH[:5]), expected.low, expected.high), rel=1e-12)
    assert np.isnan(compute_mean_interval([3.0])[1])


def test_many_batches_have_mean_and_interval_in_order():
    batches = [BatchPoint(n + 1, Sample(tuple(PATH[5 * n : 5 * n + 5]))) for n in range(3)]
    batches.append(BatchPoint(4, Sample((1.0,))))
    batches.append(BatchPoint(5, Sample(())))
    read = ReadBack(draw_batch_chart(BatchChart("club_path_deg", RIGHT, tuple(batches))))
    means = [np.mean(PATH[5 * n : 5 * n + 5]) for n in range(3)] + [1.0]
    x, y = np.array([read.places(f"mean-{k}")[0] for k in range(1, 5)]).T
    assert np.allclose(np.diff(x), np.diff(x)[0], atol=0.01)
    slope, offset = np.polyfit(means, y, 1)
    assert np.allclose(y, slope * np.array(means) + offset, atol=0.01)
    _, low, high = compute_mean_interval(PATH[:5])
    ends = [end[1] for end in read.line("interval-1")]
    assert ends == pytest.approx([slope * low + offset, slope * high + offset], abs=0.02)
    assert "interval-4" not in read.groups
    assert "mean-5" not in read.groups
    assert "1 shot" in read.words


def test_the_interval_of_two_shots_does_not_flatten_the_others():
    batches = [BatchPoint(1, Sample(tuple(PATH[:5]))), BatchPoint(2, Sample((1.0, 4.0)))]
    read = ReadBack(draw_batch_chart(BatchChart("club_path_deg", RIGHT, tuple(batches))))
    assert "runs on beyond the picture" in read.all_words()
    (_, low), (_, high) = read.line("interval-1")
    assert abs(low - high) > 40
