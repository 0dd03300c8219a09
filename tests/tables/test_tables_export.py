"""No cell that is written runs, wherever the spreadsheet splits its lines; numbers stay numbers."""

import csv
import io
import math
import re
from dataclasses import replace
from datetime import date
from pathlib import Path

from hypothesis import example, given, settings
from hypothesis import strategies as st
from openpyxl import Workbook, load_workbook

from review.cli.compare.csv_file import write_comparison_csv
from review.compare import Sample, compare_samples
from review.tables import export_cell, format_csv
from review.takehome import Chart, ChartPoint, TakeHome
from review.takehome.table import format_measures

# What a spreadsheet takes for a formula: OWASP, "CSV Injection", which also names the full-width forms and the
# separators; what may stand before it unseen is ours.
STARTS = ("=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠", "﹣", "﹢", "﹦", "﹫")  # noqa: RUF001
HIDING = st.sampled_from(
    ["", " ", "\n", "\t", "\u00a0", "\u3000", "\u200b", "\ufeff", "\x00", "\u202e", "slow;", 'a","']
)
BODIES = st.sampled_from(["1+1", "SUM(A1:A9)", "cmd|' /C calc'!A0", 'HYPERLINK("http://a.b";"x")', "-4.0", "", '";=1'])
HOSTILE = st.builds(lambda *parts: "".join(parts), HIDING, st.sampled_from(STARTS), HIDING, BODIES)
TEXTS = HOSTILE | st.text(max_size=20)
NUMBERS = st.floats(-1e300, 1e300) | st.sampled_from([math.nan, math.inf, -math.inf]) | st.integers(-(10**6), 10**6)


def runs(cell: str) -> bool:
    return cell.startswith(STARTS) and re.fullmatch(r"[+-]?[0-9]+(\.[0-9]+)?(e[+-]?[0-9]+)?", cell) is None


@given(st.lists(TEXTS | NUMBERS, min_size=1, max_size=4), st.sampled_from([",", ";", "\t"]))
@settings(max_examples=300, deadline=None)
@example(["=1+1", "@a", "-4.0", " =2"], ";")
def test_no_cell_of_a_csv_runs(cells: list[str | float], separator: str) -> None:
    # split elsewhere, a whole line is a cell; ours all begin with the number of a swing or the name of a measure
    cells = [1, *cells]
    text = format_csv([cells, cells])
    lines = list(csv.reader(io.StringIO(text, newline=""), delimiter=separator))
    assert len(lines) == 2  # nothing breaks out of its line
    for line in lines:
        assert not any(runs(cell) for cell in line), line
    if separator == ",":
        assert [len(line) for line in lines] == [len(cells)] * 2


@given(st.lists(TEXTS | NUMBERS, min_size=1, max_size=5))
@settings(max_examples=50, deadline=None)
def test_no_cell_of_a_workbook_runs(cells: list[str | float]) -> None:
    # openpyxl writes a text that begins with = as a formula, as whoever exports XLSX would
    book, file = Workbook(), io.BytesIO()
    book.active.append([export_cell(cell) for cell in cells])
    book.save(file)
    (row,) = load_workbook(io.BytesIO(file.getvalue())).active.iter_rows(max_col=len(cells)) or [()]
    for given_cell, found in zip(cells, row, strict=True):
        assert found.data_type != "f"
        if isinstance(given_cell, str):
            assert found.value is None or not runs(str(found.value))
        elif math.isfinite(given_cell):
            assert found.data_type == "n"
            assert math.isclose(found.value, given_cell, rel_tol=1e-12)
        else:
            assert found.value is None


@given(st.floats(allow_nan=False, allow_infinity=False))
def test_numbers_are_read_back_as_they_were(number: float) -> None:
    assert float(format_csv([[number]]).strip()) == number
    assert export_cell(f"{number:.1f}") == f"{number:.1f}"  # a number that came as text


@given(HOSTILE)
@settings(max_examples=60, deadline=None)
def test_what_people_wrote_does_not_run_in_the_take_home(text: str) -> None:
    # cue, feel, club or header: as the name of a column and as a cell of it
    held = TakeHome(text, date(2026, 3, 14), worked_on=text)
    with_lines = replace(held, swings_csv=({"swing": 1.0, text: text},))
    of_charts = replace(held, charts=(Chart(text, text, (ChartPoint(1, 2.0, 1),)),))
    for contents in (with_lines, of_charts):
        table = csv.reader(io.StringIO(format_measures(contents), newline=""))
        assert not any(runs(cell) for line in table for cell in line)


def test_what_people_wrote_does_not_run_in_a_comparison(tmp_path: Path) -> None:
    sides = Sample((-4.0, -3.0)), Sample((-2.5, -1.0))
    c = compare_samples("club_path_deg", *sides, key_frame="=1+1", repeatability=0.5, batches_closed=True, in_aim=True)
    to = tmp_path / "numbers.csv"
    write_comparison_csv([c], to)
    (line,) = csv.DictReader(io.StringIO(to.read_text(encoding="utf-8-sig"), newline=""))
    assert line["key_frame"] == "'=1+1"
    assert line["mean_first"] == "-3.5"
    assert not any(runs(cell) for cell in line.values())
