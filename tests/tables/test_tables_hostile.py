"""Tables made to break a reader: each ends in a clear message or in the right numbers, never in a traceback."""

import codecs
import io

import openpyxl
import pytest

from review.errors import BadInputError
from review.shots import read_shot_table

HEAD = "club path [deg],carry [yd]"
GOOD = {"club_path_deg": 2.5, "carry_yd": 150.0}


def _text(*rows: str, head: str = HEAD, end: str = "\n") -> bytes:
    return (end.join([head, *rows]) + end).encode()


def _workbook(rows, merged="", hidden=False) -> bytes:
    book = openpyxl.Workbook()
    sheet = book.active
    for row in rows:
        sheet.append(row)
    if merged:
        sheet.merge_cells(merged)
    if hidden:
        book.create_sheet("empty")
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


RIGHT = {
    "byte-order mark": codecs.BOM_UTF8 + _text("2.5,150"),
    "UTF-16": _text("2.5,150").decode().encode("utf-16"),
    "a Windows code page": _text("2.5,150,gr\xfc\xdfe", head=f"{HEAD},note").decode().encode("cp1252"),
    "old Macintosh ends of line": _text("2.5,150", end="\r"),
    "Windows ends of line": _text("2.5,150", end="\r\n"),
    "blank lines before and between": b"\n\n" + _text("", "2.5,150", ""),
    "quoted cells with line breaks": _text('2.5,150,"two\nlines, and a ""quote"""', head=f"{HEAD},note"),
    "semicolons and decimal commas": _text("2,5;150,0", head=HEAD.replace(",", ";")),
    "tabs": _text("2.5\t150", head=HEAD.replace(",", "\t")),
    "a minus of its own": _text("\u22122.5,150"),
    "a plus": _text("+2.5,+150"),
    "spaces that are none": _text("\u00a02.5\u202f,150\u2009"),
    "right-to-left marks in a header": _text("2.5,150", head="\u200fclub path [deg],\u200ecarry [yd]"),
    "a direction in letters": _text("2.5 R,150"),
    "units in the cells": _text("2.5 deg,150 yd", head="club path,carry"),
    "an exponent": _text("2.5e0,1.5E2"),
    "too few cells in a row": _text("2.5,150", "1.0"),
    "too many header cells, empty": _text("2.5,150,,,", head=f"{HEAD},,,"),
    "a formula as text": _text('2.5,150,"=HYPERLINK(1)"', head=f"{HEAD},note"),
    "a workbook with merged cells": _workbook([["club path [deg]", "carry [yd]", "x"], [2.5, 150, ""]], merged="C1:C2"),
    "a workbook with an empty sheet": _workbook([["club path [deg]", "carry [yd]"], [2.5, 150]], hidden=True),
    "a workbook with text for numbers": _workbook([["club path [deg]", "carry [yd]"], ["2.5", "150"]]),
    "ten thousand columns": _text(
        ",".join(["2.5", "150", *["7"] * 10_000]), head=",".join([HEAD, *[f"c{i}" for i in range(10_000)]])
    ),
}
REFUSED = {
    "nothing": b"",
    "blank": b" \n\n \n",
    "only a NUL": b"\x00" * 4096,
    "NUL bytes within": _text("2.5,1\x0050"),
    "pictures": b"\xff\xd8\xff\xe0" + bytes(range(256)) * 40,
    "numbers without a header": b"2.5,150\n1.5,140\n",
    "one giant line": b"x" * 3_000_000,
    "a header twice": _text("2.5,150,3", head=f"{HEAD},club path [deg]"),
    "infinity": _text("inf,150"),
    "beyond any number": _text("1e308,150"),
    "words for a number": _text("far,150"),
    "both decimal marks": _text("2.5,150", "1,,2,140"),
    "a date for a number": _text("2026-03-14,150"),
    "percent": _text("2.5%,150"),
    "a cut workbook": _workbook([["club path [deg]", "carry [yd]"], [2.5, 150]])[:700],
    "only headers of another trade": b"name,street,town\nA,B,C\n",
}


@pytest.mark.parametrize("what", RIGHT)
def test_read_rightly(tmp_path, what):
    data = RIGHT[what]
    path = tmp_path / ("t.xlsx" if data[:2] == b"PK" else "t.csv")
    path.write_bytes(data)
    shot = read_shot_table(path).shots[0]
    expected = {**GOOD, "club_path_deg": -2.5} if what == "a minus of its own" else GOOD
    assert {name: shot.values[name] for name in GOOD} == expected


@pytest.mark.parametrize("what", REFUSED)
def test_refused_in_words(tmp_path, what):
    data = REFUSED[what]
    path = tmp_path / ("t.xlsx" if data[:2] == b"PK" else "t.csv")
    path.write_bytes(data)
    with pytest.raises(BadInputError) as refusal:
        read_shot_table(path)
    assert path.name in str(refusal.value)
    assert len(str(refusal.value)) < 600


def test_negative_zero_and_nan_are_nothing_strange(tmp_path):
    path = tmp_path / "t.csv"
    path.write_bytes(_text("-0.0,NaN", "2.5,150"))
    table = read_shot_table(path)
    assert str(table.shots[0].values["club_path_deg"]) == "0.0"
    assert "carry_yd" not in table.shots[0].values
    assert any("NaN" in note for note in table.notes)
