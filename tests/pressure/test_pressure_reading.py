from datetime import date, datetime
from fractions import Fraction
from pathlib import Path

import numpy as np
import openpyxl
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from review.errors import BadInputError, ReviewError
from review.pressure import ColumnMapping, PressureRecord, read_mapping, read_trace_table, write_mapping

ON = date(2024, 10, 12)
HEADER = "time [HH:MM:SS.ss],x toward target [cm],y toward toes [cm],vertical force [N]\n"
START = datetime(2024, 10, 12, 10, 12, 5, 680000)


def _write(path: Path, text: str, encoding: str = "utf-8") -> Path:
    path.write_bytes(text.encode(encoding))
    return path


def _samples(n: int = 5) -> list[tuple[str, float, float, int]]:
    return [(f"10:12:{5.68 + i / 100:05.2f}", 4.81 - i / 8, 3.68 + i / 4, 622 + i) for i in range(n)]


def _check(record: PressureRecord, n: int = 5) -> None:
    assert record.started_at == START
    # 1e-9 s: times are rounded to the nanosecond; 1e-9 cm and N: numbers are written with 9 digits or more.
    assert record.time_s == pytest.approx(np.arange(n) / 100, abs=1e-9)
    assert record.xy_cm[:, 0] == pytest.approx([x for _, x, _, _ in _samples(n)], abs=1e-9)
    assert record.xy_cm[:, 1] == pytest.approx([y for _, _, y, _ in _samples(n)], abs=1e-9)
    assert record.force_n == pytest.approx([f for *_, f in _samples(n)], abs=1e-9 * 700)


def test_a_plain_table(tmp_path: Path) -> None:
    text = HEADER + "".join(f"{t},{x},{y},{f}\n" for t, x, y, f in _samples())
    record = read_trace_table(_write(tmp_path / "p.csv", text), on_date=ON)
    _check(record)
    assert record.notes == ()
    assert record.step_s == pytest.approx(0.01, abs=1e-9)
    assert record.table == "p.csv"


def test_semicolons_decimal_commas_inches_and_pounds(tmp_path: Path) -> None:
    # Exact, NIST SP 811: inch = 2.54 cm, pound-force = 4.448 221 615 260 5 N.
    inch, lbf = Fraction(254, 100), Fraction(44482216152605, 10**13)
    lines = ["Time;X (inch);Y (inch);Total force (lbf)"]
    for t, x, y, f in _samples():
        cells = [float(Fraction(x) / inch), float(Fraction(y) / inch), float(Fraction(f) / lbf)]
        lines.append(t.replace(".", ",") + ";" + ";".join(repr(c).replace(".", ",") for c in cells))
    _check(read_trace_table(_write(tmp_path / "p.csv", "\r\n".join(lines), "utf-8-sig"), on_date=ON))


def test_tabs_units_row_dates_millimetres_and_kilograms(tmp_path: Path) -> None:
    # Standard gravity 9.80665 m/s2, exact (3rd CGPM, 1901).
    lines = ["time\tcop_x\tcop_y\tweight", "\tmm\tmm\tkg"]
    lines += [f"2024-10-12T{t}\t{x * 10!r}\t{y * 10!r}\t{f / 9.80665!r}" for t, x, y, f in _samples()]
    _check(read_trace_table(_write(tmp_path / "p.csv", "\n".join(lines), "utf-16")))


def test_a_workbook(tmp_path: Path) -> None:
    book = openpyxl.Workbook()
    book.active.append(["date", "time", "x [m]", "y [m]", "Fz [kN]"])
    for t, x, y, f in _samples():
        at = datetime.strptime(t, "%H:%M:%S.%f").time()
        book.active.append([ON, at, x / 100, y / 100, f / 1000])
    book.save(tmp_path / "p.xlsx")
    _check(read_trace_table(tmp_path / "p.xlsx"))


@pytest.mark.parametrize(("header", "factor"), [("time [s]", 1), ("t (ms)", 1000), ("seconds", 1)])
def test_plain_seconds_need_a_start(tmp_path: Path, header: str, factor: int) -> None:
    lines = [f"{header},x [cm],y [cm],force [N]"]
    lines += [f"{(7 + i / 100) * factor},{x},{y},{f}" for i, (_, x, y, f) in enumerate(_samples())]
    path = _write(tmp_path / "p.csv", "\n".join(lines))
    _check(read_trace_table(path, started_at=START))
    without = read_trace_table(path)
    assert without.started_at is None
    assert any("unknown start" in note for note in without.notes)


def test_times_of_day_without_a_date_have_no_clock(tmp_path: Path) -> None:
    text = HEADER + "".join(f"{t},{x},{y},{f}\n" for t, x, y, f in _samples())
    record = read_trace_table(_write(tmp_path / "p.csv", text))
    assert record.started_at is None
    assert any("give the lesson's date" in note for note in record.notes)


def test_past_midnight_goes_on(tmp_path: Path) -> None:
    text = HEADER + "23:59:59.99,1,2,600\n00:00:00.00,1,2,600\n00:00:00.01,1,2,600\n"
    record = read_trace_table(_write(tmp_path / "p.csv", text), on_date=ON)
    assert record.time_s == pytest.approx([0, 0.01, 0.02], abs=1e-9)
    assert record.started_at == datetime(2024, 10, 12, 23, 59, 59, 990000)


def test_cells_without_a_number_are_nan_and_told(tmp_path: Path) -> None:
    text = HEADER + "10:00:00.00,1,2,600\n10:00:00.01,,2,600\n10:00:00.02,NaN,2,600\n"
    record = read_trace_table(_write(tmp_path / "p.csv", text), on_date=ON)
    assert np.isnan(record.xy_cm[:, 0]).tolist() == [False, True, True]
    assert not np.isnan(record.xy_cm[:, 1]).any()
    assert "2 of 3 cells of 'x toward target [cm]' hold no number (first in line 3)" in record.notes


def test_a_table_without_force_and_with_other_columns(tmp_path: Path) -> None:
    text = "time,x [cm],y [cm],mood\n10:00:00.00,1,2,good\n10:00:00.01,1,2,good\n"
    record = read_trace_table(_write(tmp_path / "p.csv", text), on_date=ON)
    assert record.force_n is None
    assert "columns not used: mood" in record.notes
    assert "the table has no force" in record.notes


def test_a_header_with_its_units_may_stand_again_but_not_alone(tmp_path: Path) -> None:
    head = "time,x,y\n[s],[mm],[mm]\n"
    record = read_trace_table(_write(tmp_path / "p.csv", f"{head}0,10,20\n{head}0.1,20,20\n"))
    assert record.xy_cm.tolist() == [[1.0, 2.0], [2.0, 2.0]]
    assert any("stands again in line 4" in note for note in record.notes)
    for rows in (head, "0,10,20\n" + head):
        with pytest.raises(BadInputError, match="expected at least two samples"):
            read_trace_table(_write(tmp_path / "p.csv", head + rows))


def test_a_force_that_is_nowhere_is_left_out_and_told(tmp_path: Path) -> None:
    text = HEADER + "10:00:00.00,1,2,0\n10:00:00.01,1,2,0\n"
    record = read_trace_table(_write(tmp_path / "p.csv", text), on_date=ON)
    assert record.force_n is None
    assert record.xy_cm.tolist() == [[1.0, 2.0], [1.0, 2.0]]
    assert any("nowhere above 0" in note for note in record.notes)


def test_a_mapping_names_units_and_flips(tmp_path: Path) -> None:
    mapping = ColumnMapping(
        columns={"across": "x", "along": "y", "x": "ignore"}, units={"along": "mm"}, flipped=frozenset({"across"})
    )
    write_mapping(tmp_path / "m.toml", mapping)
    path = _write(tmp_path / "p.csv", "time,x,across,along\n10:00:00.00,9,1,20\n10:00:00.01,9,2,30\n")
    record = read_trace_table(path, read_mapping(tmp_path / "m.toml"), ON)
    assert record.xy_cm.tolist() == [[-1.0, 2.0], [-2.0, 3.0]]
    assert any("'across' states no unit and was read as cm" in note for note in record.notes)
    again = read_trace_table(path, record.mapping, ON)
    assert again.xy_cm.tolist() == record.xy_cm.tolist()
    with pytest.raises(
        BadInputError, match="known are time, date, x, y, force, left_force, right_force, lead_force, trail_force, "
    ):
        write_mapping(tmp_path / "m.toml", ColumnMapping(columns={"a": "carry_yd"}))


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("", "empty file"),
        ("10:00:00.00,1,2,600\n10:00:00.01,1,2,600\n", "found numbers"),
        ("time,x [cm],vertical force [N]\n10:00:00.00,1,600\n", "name y so"),
        (HEADER, "at least two samples beneath the header, found 0"),
        (HEADER + "10:00:00.00,1,2,600\n", "found 1"),
        (
            HEADER + "10:00:00.00,1,2,600\n10:00:00.01,1,far,600\n",
            "line 3, column 'y toward toes [cm]': expected a number",
        ),
        (
            HEADER + "10:00:00.00,1,2,600\n10:00:00.01,1,2,inf\n",
            "line 3, column 'vertical force [N]': expected a number",
        ),
        (HEADER + "10:00:00.00,1,2,600\n10:00:00.01,1,1e308,600\n", "line 3, column 'y toward toes [cm]'"),
        (HEADER + "10:00:00.00,1,2,600\nsoon,1,2,600\n", "line 3, column 'time [HH:MM:SS.ss]': expected a time"),
        (HEADER + "10:00:00.00,1,2,600\n,1,2,600\n", "line 3, column 'time [HH:MM:SS.ss]': expected a time"),
        (HEADER + "10:00:00,1,2,6\n10:00:01,1,2,6\n10:00:01,1,2,6\n", "line 4, column 'time [HH:MM:SS.ss]': expected"),
        (HEADER + "10:00:00,1,2,6\n10:00:01,1,2,6\n10:00:01,1,2,6\n", "with more digits"),
        (HEADER + "10:00:02,1,2,6\n10:00:01,1,2,6\n", "found '10:00:01' after '10:00:02'; sort the table"),
        ("time [s],x [cm],y [cm]\n1.5,1,2\n1.5,1,2\n", "expected seconds that increase"),
        ("time [s],x [cm],y [cm]\n1.5,1,2\n,1,2\n", "line 3, column 'time [s]': expected a time"),
        ("time [cm],x [cm],y [cm]\n1.5,1,2\n1.6,1,2\n", "expected a unit such as s, found 'cm'"),
        ("time [s],x [N],y [cm]\n1.5,1,2\n1.6,1,2\n", "column 'x [N]': expected a unit such as cm, found 'N'"),
        (HEADER + "10:00:00.00,,2,600\n10:00:00.01,,2,600\n", "found none in the column"),
    ],
)
def test_tables_that_cannot_be_used(tmp_path: Path, text: str, message: str) -> None:
    with pytest.raises(BadInputError, match=r"p\.csv") as caught:
        read_trace_table(_write(tmp_path / "p.csv", text), on_date=ON)
    assert message in str(caught.value)


@settings(max_examples=80, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.lists(st.tuples(*[st.text(st.sampled_from("0123456789.:-+en ;'T"), max_size=10)] * 4), max_size=4))
def test_no_cell_ends_in_a_traceback(tmp_path: Path, rows: list[tuple[str, ...]]) -> None:
    text = HEADER + "10:00:00.00,1,2,600\n10:00:00.01,1,2,600\n" + "".join(",".join(row) + "\n" for row in rows)
    try:
        record = read_trace_table(_write(tmp_path / "p.csv", text), on_date=ON)
    except ReviewError:
        return
    assert len(record.time_s) >= 2
