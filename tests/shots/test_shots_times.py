from datetime import date, datetime, time
from pathlib import Path

import openpyxl
import pytest

from review.errors import BadInputError
from review.shots import ColumnMapping, read_shot_table

ON = date(2024, 10, 12)


def _read(write_table, *cells: str, on: date | None = ON, mapping: ColumnMapping | None = None):
    return read_shot_table(write_table("time;carry [yd]\n" + "".join(f"{c};100\n" for c in cells)), mapping, on)


@pytest.mark.parametrize(
    ("cell", "moment", "resolution_s"),
    [
        ("10:12:08", datetime(2024, 10, 12, 10, 12, 8), 1.0),
        ("10:12", datetime(2024, 10, 12, 10, 12), 60.0),
        ("9:02:08", datetime(2024, 10, 12, 9, 2, 8), 1.0),
        ("10:12:08.50", datetime(2024, 10, 12, 10, 12, 8, 500000), 0.01),
        ("10:12:08,125", datetime(2024, 10, 12, 10, 12, 8, 125000), 0.001),
        ("1:12:08 PM", datetime(2024, 10, 12, 13, 12, 8), 1.0),
        ("12:12:08 a.m.", datetime(2024, 10, 12, 0, 12, 8), 1.0),
        ("2024-10-12T10:12:08", datetime(2024, 10, 12, 10, 12, 8), 1.0),
        ("2024-10-12 10:12:08.5", datetime(2024, 10, 12, 10, 12, 8, 500000), 0.1),
        ("12.10.2024 10:12:08", datetime(2024, 10, 12, 10, 12, 8), 1.0),
        ("12.10.24, 10:12:08", datetime(2024, 10, 12, 10, 12, 8), 1.0),
        ("25/10/2024 10:12:08", datetime(2024, 10, 25, 10, 12, 8), 1.0),
        ("10/25/2024 10:12:08", datetime(2024, 10, 25, 10, 12, 8), 1.0),
        ("12 Oct 2024 10:12:08", datetime(2024, 10, 12, 10, 12, 8), 1.0),
        ("October 12, 2024 10:12:08", datetime(2024, 10, 12, 10, 12, 8), 1.0),
        ("2024-10-12T10:12:08+02:00", datetime(2024, 10, 12, 10, 12, 8), 1.0),
    ],
)
def test_ways_to_write_a_time(write_table, cell: str, moment: datetime, resolution_s: float) -> None:
    read = _read(write_table, cell)
    assert read.shots[0].struck_at == moment
    assert read.shots[0].struck_at.tzinfo is None
    assert read.shots[0].time_resolution_s == pytest.approx(resolution_s, rel=1e-12)
    assert any("time zone" in note for note in read.notes) == ("+02:00" in cell)


@pytest.mark.parametrize(
    "cell", ["25:00:00", "10:61:00", "10:12:60", "soon", "13:00:00 pm", "2024-13-40 10:00:00", "1012"]
)
def test_what_is_no_time_is_refused_with_its_place(write_table, cell: str) -> None:
    with pytest.raises(BadInputError, match=r"table\.csv, line 3, column 'time': expected a time.*HH:MM:SS"):
        _read(write_table, "10:12:08", cell)


def test_times_without_a_date_are_kept_as_text_until_the_day_is_known(write_table) -> None:
    read = _read(write_table, "10:12:08", on=None)
    assert read.shots[0].struck_at is None
    assert read.shots[0].extra == {"time": "10:12:08"}
    assert any("no date" in note for note in read.notes)


def test_a_row_without_a_time_is_kept_and_told(write_table) -> None:
    read = _read(write_table, "10:12:08", "")
    assert [shot.struck_at is None for shot in read.shots] == [False, True]
    assert "rows without a time: 1" in read.notes


def test_the_tables_own_date_counts_and_a_difference_is_told(write_table) -> None:
    read = _read(write_table, "2024-10-13 10:12:08")
    assert read.shots[0].struck_at == datetime(2024, 10, 13, 10, 12, 8)
    assert any("2024-10-13" in note and "2024-10-12" in note for note in read.notes)


def test_day_or_month_first_is_asked_for_when_nothing_decides(write_table) -> None:
    cell = "05/04/2024 10:12:08"
    with pytest.raises(BadInputError, match="set date_order in the column mapping"):
        _read(write_table, cell, on=None)
    assert _read(write_table, cell, on=date(2024, 4, 5)).shots[0].struck_at == datetime(2024, 4, 5, 10, 12, 8)
    assert _read(write_table, cell, on=date(2024, 5, 4)).shots[0].struck_at == datetime(2024, 5, 4, 10, 12, 8)
    mapping = ColumnMapping(date_order="mdy")
    assert _read(write_table, cell, on=None, mapping=mapping).shots[0].struck_at == datetime(2024, 5, 4, 10, 12, 8)


def test_another_row_decides_day_or_month_first(write_table) -> None:
    read = _read(write_table, "05/04/2024 10:00:00", "05/14/2024 10:00:00", on=None)
    assert [shot.struck_at.month for shot in read.shots] == [5, 5]


def test_date_and_time_in_two_columns(write_table) -> None:
    read = read_shot_table(write_table("date,time,carry [yd]\n2024-10-12,10:12:08,100\n"))
    assert read.shots[0].struck_at == datetime(2024, 10, 12, 10, 12, 8)


def test_the_coachs_own_time_format(write_table) -> None:
    mapping = ColumnMapping(columns={"time": "time"}, time_format="%Y%m%d-%H%M%S")
    read = _read(write_table, "20241012-101208", on=None, mapping=mapping)
    assert read.shots[0].struck_at == datetime(2024, 10, 12, 10, 12, 8)
    assert read.shots[0].time_resolution_s == 1.0
    with pytest.raises(BadInputError, match="%Y%m%d-%H%M%S"):
        _read(write_table, "10:12:08", mapping=mapping)


def test_times_in_a_workbook(tmp_path: Path) -> None:
    book = openpyxl.Workbook()
    book.active.append(["date", "time", "carry [yd]"])
    book.active.append([date(2024, 10, 12), time(10, 12, 8, 250000), 100])
    book.active.append([date(2024, 10, 12), time(10, 12, 9), 100])
    book.save(tmp_path / "t.xlsx")
    read = read_shot_table(tmp_path / "t.xlsx")
    assert [shot.struck_at for shot in read.shots] == [
        datetime(2024, 10, 12, 10, 12, 8, 250000),
        datetime(2024, 10, 12, 10, 12, 9),
    ]
    assert {shot.time_resolution_s for shot in read.shots} == {0.01}
