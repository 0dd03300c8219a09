"""What the lesson chart draws, without Qt. Means and scatter by hand; words by lesson/words.py's own tests."""

import math
from dataclasses import replace

import pytest
from shown_lessons import PATH, at_least, make_lesson, path

from review.app.lesson_chart.drawing import Drawn, draw_measure
from review.app.lesson_chart.first_last import say_first_last
from review.jobs.comparing import compare_lesson
from review.lesson import Handedness, SwingKind
from review.library import Library


def test_bands_hold_mean_and_scatter_of_what_counts():
    shown = make_lesson(
        [path(4.0), path(6.0), path(50.0), path(1.0), path(2.0), path(3.0)],
        [1, 1, 1, 2, 2, 2],
        left_out={3: "thinned"},
        kinds={6: SwingKind.PRACTICE},
    )
    drawing = draw_measure(shown, PATH)
    first, last = drawing.bands
    assert (first.start, first.end, last.end) == (0.5, 3.5, 6.5)
    assert (first.n, first.mean) == (2, 5.0)
    assert first.sd == pytest.approx(math.sqrt(2))
    assert (last.n, last.mean) == (2, 1.5)
    assert first.mean_words == "5.0° in-to-out"
    assert first.spread_words == "scatter 1.4°"


def test_every_sort_of_swing_is_drawn_its_own_way():
    shown = make_lesson(
        [path(4.0), path(9.0), path(5.0), None, path(3.0), path(2.0)],
        [1, 1, 1, 1, 1, None],
        left_out={2: "thinned"},
        doubts={3: "Face and path do not go with the direction."},
        kinds={5: SwingKind.DRILL},
    )
    marks = draw_measure(shown, PATH).marks
    assert [mark.drawn for mark in marks] == [
        Drawn.COUNTED,
        Drawn.LEFT_OUT,
        Drawn.SUSPECT,
        Drawn.ABSENT,
        Drawn.OTHER,
        Drawn.COUNTED,
    ]
    assert marks[0].words == "Swing 1: 4.0° in-to-out"
    assert "thinned" in marks[1].why
    assert "Face and path" in marks[2].why
    assert marks[3].words == "Swing 4: no club path, the device has no row for it"
    assert marks[4].words.startswith("Swing 5, drill:")
    assert marks[5].batch_number is None
    assert len(draw_measure(shown, PATH).notes) == 4


def test_a_bound_points_the_way_the_true_value_lies():
    shown = make_lesson([at_least(-105.0), at_least(-105.0)], [1, 1])
    marks = draw_measure(shown, ("shoulder_turn_deg", "top")).marks
    assert [mark.away for mark in marks] == [-1, -1]
    assert marks[0].words == "Swing 1: turned away about 105° or more"


def test_a_left_handers_path_is_said_in_his_words():
    shown = make_lesson([path(4.0), path(5.0)], [1, 1], handedness=Handedness.LEFT)
    drawing = draw_measure(shown, PATH)
    assert drawing.marks[0].words == "Swing 1: 4.0° out-to-in"
    assert drawing.bands[0].mean_words == "4.5° out-to-in"
    assert drawing.up == "more out-to-in"


def test_a_batch_without_a_swing_yet_stands_at_the_end():
    shown = make_lesson([path(4.0)], [1], n_batches=2, open_batches=(2,))
    bands = draw_measure(shown, PATH).bands
    assert [band.batch.number for band in bands] == [1, 2]
    assert not bands[1].batch.is_closed
    assert bands[1].start >= bands[0].end
    assert (bands[1].n, bands[1].mean_words) == (0, "")


def test_a_batch_taken_up_again_has_two_bands():
    shown = make_lesson([path(1.0), path(2.0), path(3.0)], [1, 2, 1])
    assert [band.batch.number for band in draw_measure(shown, PATH).bands] == [1, 2, 1]


def test_all_marks_lie_inside_the_scale():
    shown = make_lesson([path(-3.3), path(17.0), path(0.2)], [1, 1, 2])
    drawing = draw_measure(shown, PATH)
    assert drawing.low <= -3.3
    assert drawing.high >= 17.0
    assert drawing.ticks[0][0] == drawing.low
    assert drawing.ticks[-1][0] == drawing.high


def test_nothing_is_drawn_of_an_empty_lesson():
    assert draw_measure(make_lesson([], [], n_batches=0), PATH) is None


def test_the_words_of_a_batch_taken_up_again_stand_once_over_its_widest_part():
    shown = make_lesson([path(1.0), path(2.0), path(3.0), path(4.0)], [1, 2, 1, 1])
    assert [(band.batch.number, band.has_words) for band in draw_measure(shown, PATH).bands] == [
        (1, False),
        (2, True),
        (1, True),
    ]


def test_a_mean_is_said_without_its_side_only_where_there_is_one():
    assert draw_measure(make_lesson([path(4.0), path(6.0)], [1, 1]), PATH).bands[0].mean_short == "5.0°"
    assert draw_measure(make_lesson([path(-1.0), path(6.0)], [1, 1]), PATH).bands[0].mean_short == ""


def test_what_must_be_known_of_a_change_stands_with_it(sample_library):
    """Another club, a row that may be misread: remarks and warnings of the comparison are on the chart."""
    with Library.open(sample_library) as library:
        compared = compare_lesson(library, library.lessons()[0])
    plain = compared.comparisons[0]
    told = replace(
        plain, remarks=("row 3 may be misread: without it 3.1° less",), warnings=("club: 6-iron and 7-iron",)
    )
    said = say_first_last(replace(compared, comparisons=(told,)), (plain.name, plain.key_frame))
    assert said.noted == "Club: 6-iron and 7-iron. Row 3 may be misread: without it 3.1° less."
    assert say_first_last(compared, (plain.name, plain.key_frame)).noted == ""
    unknown = replace(plain, in_aim=True, why="the repeatability of club path is not known", typical_error=None)
    how = "R says how far one reading errs."
    said = [
        say_first_last(replace(compared, comparisons=(one,)), (plain.name, plain.key_frame), how).why
        for one in (unknown, replace(unknown, typical_error=1.0))
    ]
    assert [how in why for why in said] == [True, False]
