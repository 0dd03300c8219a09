"""No cell of measures.csv runs, wherever the spreadsheet splits its lines."""

import csv
import io
from datetime import date

import pytest

from review.takehome import TakeHome
from review.takehome.table import format_measures

# what a spreadsheet takes for a formula: OWASP, "CSV Injection" (also: mind the other separators)
STARTS = ("=", "+", "-", "@", "\t", "\r", "＝", "＋", "－", "＠")  # noqa: RUF001
TEXTS = [
    *(f"{lead}{start}1+1" for start in STARTS for lead in ("", " ", "\n", "\u200b", "\ufeff")),
    *(f"slow{separator}{start}1+1" for separator in (",", ";", "\t", '";', '","') for start in STARTS),
]


@pytest.mark.parametrize("separator", [",", ";", "\t"])
def test_no_text_runs(separator):
    for text in TEXTS:
        table = format_measures(TakeHome("", date(2026, 3, 14), swings_csv=({"swing": 1.0, text: text},)))
        lines = list(csv.reader(io.StringIO(table, newline=""), delimiter=separator))
        # a heading and one line, nothing breaks out of them
        assert len(lines) == 2
        for line in lines:
            assert not any(cell.startswith(STARTS) for cell in line), line


def test_numbers_stay_numbers_and_unknown_ones_are_empty():
    line = {"a [deg]": -2.5, "b [deg]": float("nan"), "c [deg]": float("inf"), "d": 3.0}
    table = format_measures(TakeHome("", date(2026, 3, 14), swings_csv=(line,)))
    assert table.splitlines()[1] == "-2.5,,,3"
