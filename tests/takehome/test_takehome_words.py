"""Texts, chart, page budget and table of the take-home."""

import csv
import io
from datetime import date
from pathlib import Path

import pytest

from review.charts.looks import look_of
from review.takehome import Chart, ChartPoint, ClipSide, Pair, TakeHome
from review.takehome.chart import draw_chart
from review.takehome.page import MOST_CLIP_BYTES, PageClip, choose_embedded, format_page
from review.takehome.table import format_measures
from review.takehome.text import clean, drawable, say_date, wrap
from review.takehome.writing import slug


def test_formatting_characters_are_gone():
    # U+202E turns the reading direction round and makes "gpj.exe" look harmless; U+0007 is the bell
    assert clean("a\u202eb\u0007c\n d\u200b") == "abc d"


def test_what_the_lettering_lacks_is_a_box_or_nothing():
    assert drawable("Ana 李 🏌") == "Ana □"


def test_lines_keep_their_width_and_are_cut_with_an_ellipsis():
    lines = wrap("turn the lead hip behind you " * 10 + "x" * 90, 20, 3, len)
    assert len(lines) == 3
    assert all(len(line) <= 20 for line in lines)
    assert lines[-1].endswith("…")
    assert wrap("x" * 50, 20, 5, len) == ("x" * 20, "x" * 20, "x" * 10)
    assert wrap("short", 20, 3, len) == ("short",)
    assert wrap("", 20, 3, len) == ()


def test_the_day_is_said_the_same_everywhere():
    assert say_date(date(2026, 3, 4)) == "4 March 2026"


@pytest.mark.parametrize("view", ["../../etc", "face-on", "C:\\x", "אבג", ""])
def test_file_names_are_plain(view):
    assert slug(view).replace("-", "").isalnum()
    assert slug(view).isascii()


def test_the_chart_leaves_out_what_is_left_out():
    values = (5.0, 7.0, 100.0, 1.0, 3.0)
    points = tuple(ChartPoint(n, v, 1 if n < 4 else 2, n == 3) for n, v in enumerate(values, 1))
    drawn = draw_chart(Chart("Club path", "°", points))
    assert drawn is not None
    # (5 + 7) / 2 and (1 + 3) / 2
    assert [band.mean_words for band in drawn.bands] == ["mean 6.0°", "mean 2.0°"]
    assert [point.left_out for point in drawn.points] == [False, False, True, False, False]
    assert "Batch 1: 3 swings, mean 6.0°" in drawn.summary


def test_batches_differ_in_shape_and_colour():
    looks = [look_of(number) for number in range(1, 6)]
    for of in ("shape", "on_dark", "on_light"):
        assert len({getattr(look, of) for look in looks}) == 5


def relative_luminance(colour: str) -> float:
    """WCAG 2.2, definition of relative luminance."""
    parts = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    linear = [p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def test_marks_stand_out_from_their_ground():
    """WCAG 2.2, 1.4.11: graphics need a contrast of 3 to 1."""
    for look in (look_of(number) for number in range(1, 6)):
        for colour, ground in ((look.on_light, "#efede6"), (look.on_dark, "#20242b")):
            light, dark = sorted((relative_luminance(colour), relative_luminance(ground)), reverse=True)
            assert (light + 0.05) / (dark + 0.05) >= 3.0, (colour, ground)


@pytest.mark.parametrize("values", [(0.0,), (5.0, 5.0), (-3.2, 4.1), (1e-9, 2e-9), (4000.0, 4600.0)])
def test_every_value_lies_inside_the_chart(values):
    drawn = draw_chart(Chart("x", "rpm", tuple(ChartPoint(n, v, 1) for n, v in enumerate(values, 1))))
    assert drawn is not None
    ys = [float(pair.split(",")[1]) for point in drawn.points for pair in point.outline.split()]
    assert min(ys) >= drawn.top - 10
    assert max(ys) <= drawn.bottom + 10
    assert 2 <= len(drawn.y_ticks) <= 8


def test_a_chart_without_swings_is_none():
    assert draw_chart(Chart("x", "°", ())) is None


def test_clips_beyond_the_budget_are_named_instead():
    side = ClipSide(Path("a.mp4"), "Batch 1", 1, 1.0)
    clips = tuple(
        PageClip(Pair(side, side, "face-on", ""), f"{n}.mp4", b"x" * size, b"still")
        for n, size in enumerate((MOST_CLIP_BYTES - 10, 11, 10))
    )
    assert [len(clip.small_mp4) for clip in choose_embedded(clips)] == [MOST_CLIP_BYTES - 10, 0, 10]
    page = format_page(TakeHome("", date(2026, 3, 14)), (clips[1], PageClip(clips[0].pair, "9.mp4", b"", b"s")))
    assert page.count("<video") == 1
    assert page.count("<img") == 1
    assert "Too large for this page" in page


def test_the_table_says_units_and_loses_no_cell():
    lines = ({"swing": 1.0, "club path [deg]": -2.5}, {"swing": 2.0, "club path [deg]": "", "note": "\t=cmd|x, 1"})
    text = format_measures(TakeHome("", date(2026, 3, 14), swings_csv=lines))
    read = list(csv.DictReader(io.StringIO(text)))
    assert read[0] == {"swing": "1", "club path [deg]": "-2.5", "note": ""}
    assert read[1] == {"swing": "2", "club path [deg]": "", "note": "'=cmd|x, 1"}


def test_without_lines_the_table_is_made_from_the_charts():
    chart = Chart("Club path", "°", (ChartPoint(2, 1.5, 1), ChartPoint(1, 2.5, 1)))
    read = list(csv.DictReader(io.StringIO(format_measures(TakeHome("", date(2026, 3, 14), charts=(chart,))))))
    assert [(line["swing"], line["Club path [deg]"]) for line in read] == [("1", "2.5"), ("2", "1.5")]
