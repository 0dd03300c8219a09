"""First against last: shots, means, the difference on its own scale, the verdict in words."""

import math

import numpy as np
import pytest

from review.charts import SCREEN, StripPlot, draw_strip_plot
from review.compare import Sample, compare_samples
from review.errors import BadInputError
from review.lesson import Handedness
from tests.charts.svg_reading import ReadBack

FIRST, LAST = (4.8, 4.2, 6.7, 5.5, 7.9), (0.3, 1.6, 2.5, 3.3, 2.0)


def strip(first=FIRST, last=LAST, name="club_path_deg", hand=Handedness.RIGHT, in_aim=True, **more):
    samples = Sample(tuple(first)), Sample(tuple(last))
    found = compare_samples(name, *samples, repeatability=0.5, batches_closed=True, in_aim=in_aim)
    return StripPlot(found, *samples, hand, **more)


def test_shots_means_and_difference_stand_to_scale():
    plot = strip(numbers=(1, 3))
    read = ReadBack(draw_strip_plot(plot))
    first, last = read.places("first"), read.places("last")
    assert (len(first), len(last)) == (5, 5)
    assert [x for x, _ in first] == sorted(x for x, _ in first)  # as struck
    slope, offset = np.polyfit([*FIRST, *LAST], [y for _, y in (*first, *last)], 1)
    assert slope < 0
    for gid, mean in (("first-mean", np.mean(FIRST)), ("last-mean", np.mean(LAST))):
        assert read.line(gid)[0][1] == pytest.approx(slope * mean + offset, abs=0.02)
    # on its own scale the difference stands level with the last mean, its interval around it
    c = plot.comparison
    assert read.line("difference")[0][1] == pytest.approx(read.line("last-mean")[0][1], abs=0.02)
    ends = [y for _, y in read.line("difference-interval")]
    expected = [slope * (np.mean(FIRST) + end) + offset for end in (c.low, c.high)]
    assert ends == pytest.approx(expected, abs=0.02)
    assert read.line("difference")[0][0] > max(x for x, _ in last)


def test_verdict_is_said_in_words():
    words = ReadBack(draw_strip_plot(strip(numbers=(1, 3)))).all_words()
    assert "Clear: 3.9° less in-to-out" in words
    assert "less in-to-out (95%)" in words
    assert "5.8° in-to-out" in words
    assert "Batch 3" in words
    assert "Not judged" in ReadBack(draw_strip_plot(strip(in_aim=False))).all_words()


def test_mirrored_shots_of_a_left_hander_read_the_same():
    mirrored = strip([-v for v in FIRST], [-v for v in LAST], hand=Handedness.LEFT)
    read = ReadBack(draw_strip_plot(mirrored))
    assert "Clear: 3.9° less in-to-out" in read.all_words()
    ys = [y for _, y in read.places("first")]
    assert np.polyfit([-v for v in FIRST], ys, 1)[0] < 0
    assert "5.8° in-to-out" in read.all_words()


@pytest.mark.parametrize(("first", "last"), [((5.0,), (3.0,)), ((5.0, 4.0, 6.0), ()), ((), (2.0,))])
def test_too_few_shots_leave_out_only_what_cannot_be_had(first, last):
    read = ReadBack(draw_strip_plot(strip(first, last)))
    assert ("first" in read.groups) == bool(first)
    assert ("last" in read.groups) == bool(last)
    assert ("difference" in read.groups) == bool(first and last)
    assert "difference-interval" not in read.groups
    assert ("not measured" in read.words) == (not first or not last)
    assert "nan" not in read.all_words()


def test_no_shot_at_all_is_told():
    with pytest.raises(BadInputError, match="choose another measure"):
        draw_strip_plot(strip((), ()))


def test_values_only_known_as_a_bound_are_told():
    plot = strip()
    bounded = Sample(LAST, n_bounded=2, bounded_as="turned away about 105° or more", bounded_side=-1)
    words = ReadBack(draw_strip_plot(StripPlot(plot.comparison, plot.first, bounded, plot.handedness))).all_words()
    assert "Batch 2: 2 not counted, turned away about 105° or more." in words


@pytest.mark.parametrize("canvas", [None, SCREEN])
def test_long_names_and_strange_letters_stay_inside(canvas):
    name = "Maximiliane-Josephine of $x^2$ <Hill> & Dale, the second lesson of a long winter, " * 3
    plot = strip(names=(name, "\x00\x1b[1mlast\u202e"), under=name)
    drawing = draw_strip_plot(plot) if canvas is None else draw_strip_plot(plot, canvas)
    read = ReadBack(drawing)
    assert any("$x^2$" in words or "Maximiliane" in words for words in read.words)
    from review.charts.drawing import measure_px

    widest = max(measure_px(words, drawing.canvas.letter_px) for words in read.words if "Max" in words)
    assert widest <= drawing.canvas.width_px
    assert not any(ord(c) < 32 for words in read.words for c in words if c != "\n")
    assert math.isfinite(widest)
