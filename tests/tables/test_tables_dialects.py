"""The same four shots in five dialects must give the same shots."""

from datetime import date, datetime, time
from fractions import Fraction
from pathlib import Path

import openpyxl
import pytest

from review.lesson import Shot
from review.shots import read_shot_table

# Exact by definition: NIST SP 811 (2008), appendix B.8: mile = 1609.344 m, yard = 0.9144 m, inch = 25.4 mm.
MPS_PER_MPH = Fraction(1609344, 1000) / 3600
M_PER_YD = Fraction(9144, 10000)

ON = date(2024, 10, 12)
TIMES = ("10:12:08", "10:13:11", "10:13:52", "10:14:45")
# club speed mph, ball speed mph, path deg, face deg, back spin rpm, carry yd, strike across mm, remark
ROWS = (
    (69.7, 92.4, 4.8, 0.8, 4408, 116.5, 4, "first"),
    (69.1, 94.4, 4.2, 3.7, 5675, 128.5, 2, "late; high"),
    (68.6, 79.0, 6.7, -0.6, 3915, 87.8, 18, "Zehe, tief"),
    (69.7, 94.5, -5.5, 3.4, 12720, None, -4, "=1+1"),
)
MEASURES = (
    "club_speed_mph",
    "ball_speed_mph",
    "club_path_deg",
    "face_angle_deg",
    "back_spin_rpm",
    "carry_yd",
    "strike_across_mm",
)
NAMES = ("club speed", "ball speed", "club path", "face angle", "back spin", "carry", "impact across")
UNITS = ("mph", "mph", "deg", "deg", "rpm", "yd", "mm")


def _comma_point() -> bytes:
    lines = ["time,club," + ",".join(f"{n} [{u}]" for n, u in zip(NAMES, UNITS, strict=True)) + ",remark"]
    for at, row in zip(TIMES, ROWS, strict=True):
        cells = ["" if v is None else str(v) for v in row[:-1]]
        lines.append(f'{at},6-iron,{",".join(cells)},"{row[-1]}"')
    return "\n".join(lines).encode()


def _semicolon_comma() -> bytes:
    lines = ["Date;Time;Club;" + ";".join(f"{n.title()} ({u})" for n, u in zip(NAMES, UNITS, strict=True)) + ";remark"]
    for at, row in zip(TIMES, ROWS, strict=True):
        cells = ["" if v is None else str(v).replace(".", ",") for v in row[:-1]]
        lines.append(f'12.10.2024;{at};6-iron;{";".join(cells)};"{row[-1]}"')
    return "\r\n".join([*lines, ""]).encode("utf-8-sig")


def _tabs_units_row() -> bytes:
    lines = ["time\tclub\t" + "\t".join(n.replace(" ", "_") for n in NAMES) + "\tremark"]
    lines.append("HH:MM:SS\t\t" + "\t".join(f"[{u}]" for u in UNITS) + "\t")
    for at, row in zip(TIMES, ROWS, strict=True):
        cells = ["-" if v is None else str(v).replace("-", "\u2212") for v in row[:-1]]
        lines.append(f"{at}\t6-iron\t" + "\t".join(cells) + f"\t{row[-1]}")
    return "\n".join(lines).encode("utf-16")


def _metric_quoted() -> bytes:
    """Windows-1252 with every field in quotes, thousands parted, metres and metres a second, a preamble."""
    units = ("m/s", "m/s", "°", "°", "rpm", "m", "cm")
    lines = ['"bay 2 – practice"', ""]
    lines.append('"time";"club";' + ";".join(f'"{n} [{u}]"' for n, u in zip(NAMES, units, strict=True)) + ';"remark"')
    factors = (MPS_PER_MPH, MPS_PER_MPH, 1, 1, 1, M_PER_YD, Fraction(1, 10))
    for at, row in zip(TIMES, ROWS, strict=True):
        numbers = [None if v is None else Fraction(str(v)) * f for v, f in zip(row[:-1], factors, strict=True)]
        cells = ["" if v is None else f"{float(v):,.12f}".replace(",", " ").replace(".", ",") for v in numbers]
        lines.append(f'"{at}";"6-iron";' + ";".join(f'"{c}"' for c in cells) + f';"{row[-1]}"')
    return "\r\n".join(lines).encode("cp1252")


def _workbook(path: Path) -> None:
    book = openpyxl.Workbook()
    cover = book.active
    cover.title = "cover"
    cover.append(["practice of the day"])
    sheet = book.create_sheet("shots")
    sheet.append(["time", "club", *[f"{n} [{u}]" for n, u in zip(NAMES, UNITS, strict=True)], "remark"])
    for at, row in zip(TIMES, ROWS, strict=True):
        sheet.append([time.fromisoformat(at), "6-iron", *row[:-1], row[-1]])
        sheet.cell(sheet.max_row, len(row) + 2).data_type = "s"  # text, also where it begins with =
    book.save(path)


@pytest.fixture(params=["comma", "semicolon", "tabs", "workbook", "metric"])
def table(request: pytest.FixtureRequest, tmp_path: Path) -> Path:
    path = tmp_path / "table.dat"  # the kind is told from the content, not the name
    if request.param == "workbook":
        _workbook(path)
    else:
        writers = {
            "comma": _comma_point,
            "semicolon": _semicolon_comma,
            "tabs": _tabs_units_row,
            "metric": _metric_quoted,
        }
        path.write_bytes(writers[request.param]())
    return path


def test_every_dialect_gives_the_same_shots(table: Path) -> None:
    read = read_shot_table(table, on_date=ON)
    assert len(read.shots) == len(ROWS)
    for number, (shot, at, row) in enumerate(zip(read.shots, TIMES, ROWS, strict=True), start=1):
        want = {m: v for m, v in zip(MEASURES, row[:-1], strict=True) if v is not None}
        # 1e-9: the metric table is written with 12 decimals, all else is exact.
        assert shot.values == pytest.approx(want, rel=1e-9)
        assert shot.struck_at == datetime.combine(ON, time.fromisoformat(at))
        assert shot.time_resolution_s == 1.0
        assert shot.club == "6-iron"
        assert shot.row_number == number
        assert shot.extra == {"remark": row[-1]}
    assert read.unmapped == ("remark",)
    assert any("remark" in note for note in read.notes)


def test_numbers_that_need_no_conversion_come_out_exactly(write_table) -> None:
    shot = read_shot_table(write_table(_comma_point())).shots[0]
    assert shot.values == dict(zip(MEASURES, ROWS[0][:-1], strict=True))


def test_reading_again_gives_the_same_ids_and_another_content_others(write_table) -> None:
    first = read_shot_table(write_table(_comma_point(), "a.csv")).shots
    again = read_shot_table(write_table(_comma_point(), "b.csv")).shots
    other = read_shot_table(write_table(_comma_point() + b"\n", "c.csv")).shots
    assert [shot.id for shot in first] == [shot.id for shot in again]
    assert len({shot.id for shot in first}) == len(first)
    assert {shot.id for shot in first}.isdisjoint(shot.id for shot in other)
    assert isinstance(first[0], Shot)
    assert first[0].table == "a.csv"


def test_formulas_in_a_workbook_are_not_run(tmp_path: Path) -> None:
    book = openpyxl.Workbook()
    book.active.append(["club", "ball speed [mph]", "carry [yd]"])
    book.active.append(["6-iron", 92.4, "=1+1"])  # never calculated: no result is saved with it
    book.save(tmp_path / "t.xlsx")
    read = read_shot_table(tmp_path / "t.xlsx")
    assert read.shots[0].values == {"ball_speed_mph": 92.4}
    assert any("formulas" in note for note in read.notes)


def test_formula_like_text_stays_text_in_every_text_place(write_table) -> None:
    text = 'club,ball speed [mph],remark\n"=HYPERLINK(""x"")",92.4,@SUM(A1)\n'
    shot = read_shot_table(write_table(text)).shots[0]
    assert shot.club == '=HYPERLINK("x")'
    assert shot.extra == {"remark": "@SUM(A1)"}


@pytest.mark.parametrize("encoding", ["utf-16-le", "utf-16-be"])
def test_utf16_without_a_byte_order_mark(write_table, encoding: str) -> None:
    read = read_shot_table(write_table("club;carry [m]\n6-iron;91,44\n", encoding=encoding))
    assert read.shots[0].values["carry_yd"] == pytest.approx(100.0, abs=1e-12)  # 100 yd = 91.44 m, SP 811


def test_a_first_line_that_states_the_delimiter(write_table) -> None:
    read = read_shot_table(write_table("sep=|\nclub|carry [yd]\n6-iron|120\n"))
    assert read.shots[0].values == {"carry_yd": 120.0}


def test_line_breaks_and_delimiters_inside_quotes(write_table) -> None:
    text = 'remark,"carry\n[yd]"\n"one, two\nthree",120\n'
    read = read_shot_table(write_table(text))
    assert read.shots[0].values == {"carry_yd": 120.0}
    assert read.shots[0].extra == {"remark": "one, two\nthree"}
