"""The picture of a pupil's years: every swing, the visits' ends joined, days and what held; read back from the SVG."""

from datetime import date, timedelta

import numpy as np
import pytest
from svg_reading import ReadBack

from review.charts import PHONE, Canvas
from review.charts.history_chart import HistoryBatch, HistoryChart, HistoryVisit, draw_history_chart
from review.errors import BadInputError
from review.lesson import Handedness

WIDE = Canvas(1280, 20, 640)


def _chart(n_visits: int = 4, n_batches: int = 3, n_shots: int = 6) -> HistoryChart:
    random = np.random.default_rng(3)
    visits = []
    for k in range(n_visits):
        day = date(2020, 1, 9) + timedelta(days=97 * k)
        batches = []
        for n in range(1, n_batches + 1):
            values = tuple((6.0 - 2 * n + random.normal(0, 0.5, n_shots)).tolist())
            mean = float(np.mean(values))
            batches.append(HistoryBatch(n, values, mean, mean - 0.5, mean + 0.5, joint=n - 1))
        days = (day.isoformat(), f"{day.month}/{day.year % 100}", f"’{day.year % 100}")
        visits.append(HistoryVisit(days, tuple(batches), "came back" if k else "", 4.0 - 0.3 * k))
    return HistoryChart("club_path_deg", Handedness.RIGHT, tuple(visits), under="Pupil", joints=("“a”", "“b”"))


def test_every_swing_and_mean_stands_where_its_value_is():
    chart = _chart()
    read = ReadBack(draw_history_chart(chart, WIDE))
    ys, values = [], []
    for k, visit in enumerate(chart.visits, start=1):
        for batch in visit.batches:
            places = read.places(f"swings-{k}-{batch.number}")
            assert len(places) == len(batch.values)
            ys += [y for _, y in places]
            values += batch.values
            ((_, mean_y),) = read.places(f"mean-{k}-{batch.number}")
            ys.append(mean_y)
            values.append(batch.mean)
    slope, start = np.polyfit(values, ys, 1)
    assert slope < 0
    assert np.allclose(start + slope * np.array(values), ys, atol=0.02)


def test_first_and_last_of_a_visit_are_joined_and_the_long_run_goes_through_all():
    read = ReadBack(draw_history_chart(_chart(), WIDE))
    (start, *_, end), (first,), (last,) = read.line("joined-2"), read.places("mean-2-1"), read.places("mean-2-3")
    assert start == pytest.approx(first, abs=0.02)
    assert end == pytest.approx(last, abs=0.02)
    assert len(read.line("long-run")) == 4


def test_days_are_written_one_way_for_all_and_what_held_beneath():
    wide, narrow = ReadBack(draw_history_chart(_chart(), WIDE)), ReadBack(draw_history_chart(_chart(7), PHONE))
    assert "2020-01-09" in wide.words
    assert "1/20" in narrow.words
    assert not any(word.startswith("2020-") for word in narrow.words)
    assert wide.words.count("came back") == 3
    assert "1 “a”" in wide.words


@pytest.mark.parametrize("n_visits", [1, 40])
def test_few_and_many_visits_are_drawn(n_visits):
    read = ReadBack(draw_history_chart(_chart(n_visits), PHONE))
    xs = [x for gid in read.groups if gid.startswith("mean-") for x, _ in read.places(gid)]
    assert 0 < min(xs) < max(xs) < PHONE.width_px


def test_without_values_nothing_is_drawn():
    empty = HistoryVisit(("2020-01-01",), (HistoryBatch(1, (), float("nan")),))
    with pytest.raises(BadInputError, match="no visit has a club path"):
        draw_history_chart(HistoryChart("club_path_deg", Handedness.RIGHT, (empty,)))
