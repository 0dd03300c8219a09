"""Texts, chart, page budget and table of the take-home."""

import csv
import gc
import io
import warnings
from datetime import date
from pathlib import Path

import pytest

from review.charts.looks import look_of
from review.takehome import Chart, ChartPoint, ClipSide, Pair, TakeHome
from review.takehome import text as takehome_text
from review.takehome.chart import draw_chart
from review.takehome.clips.files import slug
from review.takehome.page import MOST_CLIP_BYTES, PageClip, choose_embedded, format_page
from review.takehome.table import format_measures
from review.takehome.text import clean, drawable, reads_from_right, say_date, wrap


def test_formatting_characters_are_gone():
    # U+202E turns the reading direction round and makes "gpj.exe" look harmless; U+0007 is the bell
    assert clean("a\u202eb\u0007c\n d\u200b") == "abc d"


def test_what_joins_letters_stays_and_goes_where_it_joins_nothing():
    # a Persian word whose halves do not join (U+200C), and a picture made of two (U+200D)
    assert (
        clean("\u0645\u06cc\u200c\u062e\u0648\u0627\u0647\u0645") == "\u0645\u06cc\u200c\u062e\u0648\u0627\u0647\u0645"
    )
    assert clean("\U0001f469\u200d\U0001f680") == "\U0001f469\u200d\U0001f680"
    assert clean("\u200da\u200c \u200d b\u200d") == "a b"
    assert clean("a\u200d\u200d\u200cb") == "a\u200db"


def test_the_lettering_is_closed_once_it_was_read():
    takehome_text._known_characters.cache_clear()
    with warnings.catch_warnings(record=True) as told:
        warnings.simplefilter("always")
        assert drawable("é") == "é"
        gc.collect()
    assert [w for w in told if issubclass(w.category, ResourceWarning) and "DejaVu" in str(w.message)] == []


def test_what_is_newer_than_this_program_stays_and_what_is_no_character_goes():
    assert clean("a\U0003fffdb\ufffe\ufdd0\ud800c\ue000") == "a\U0003fffdbc"


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("Ana \u674e\u5c0f \U0001f3cc", "Ana …"),
        ("\u674e \u5c0f\u9f99", "…"),
        ("\U0001f469\u200d\U0001f680\ufe0f Ana \U0001f44d\U0001f3fd!", "Ana !"),
        ("\U0001f3cc\ufe0f\u200d\u2642\ufe0f Bo", "Bo"),
        ("1\ufe0f\u20e3 ball", "1 ball"),
        (
            "Nguyễn Łukasz Ørjan \u05d0\u05d1\u05d2 \u0645\u0631\u062d\u0628\u0627",
            "Nguyễn Łukasz Ørjan \u05d0\u05d1\u05d2 \u0645\u0631\u062d\u0628\u0627",
        ),
    ],
)
def test_what_the_lettering_lacks_is_an_ellipsis_or_nothing(text, shown):
    assert drawable(text) == shown


def test_where_a_line_begins_follows_its_first_letter():
    assert reads_from_right("12 \u05d0\u05d1 a")
    assert not reads_from_right("a \u05d0\u05d1")
    assert not reads_from_right("12 %")


def test_a_cut_leaves_no_letter_without_its_accent():
    # q with a dot below has no character of its own
    assert wrap("qqqq\u0323q\u0323qqq", 5, 1, len) == ("qqq…",)


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


def test_a_chart_says_the_digits_of_its_measure_and_one_swing_as_one():
    points = (ChartPoint(1, 25.4, 1), ChartPoint(2, 42.2, 2), ChartPoint(3, 41.2, 2))
    drawn = draw_chart(Chart("Hip turn", "°", points, decimals=0))
    assert drawn is not None
    assert drawn.summary == "Batch 1: 1 swing, mean 25°. Batch 2: 2 swings, mean 42°."
    assert [point.words for point in drawn.points[:1]] == ["Swing 1, batch 1: 25°"]


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
    assert [len(clip.small_mp4) for clip in choose_embedded(clips)[0]] == [MOST_CLIP_BYTES - 10, 0, 10]
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
