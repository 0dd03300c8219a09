"""The kinds of file: workbooks of the open format, JSON records, headers in two lines."""

import io
import json
import zipfile
from datetime import datetime

import pytest

from review.errors import BadInputError
from review.shots import read_shot_table

NAMES = " ".join(
    f'xmlns:{name}="urn:oasis:names:tc:opendocument:xmlns:{name}:1.0"' for name in ("office", "table", "text")
)
CELL = '<table:table-cell office:value-type="float" office:value="{0}"><text:p>{0}</text:p></table:table-cell>'
WORD = '<table:table-cell office:value-type="string"><text:p>{0}</text:p></table:table-cell>'
HEAD = "<table:table-row>" + WORD.format("club path [deg]") + WORD.format("carry [yd]") + "</table:table-row>"


def ods(rows: str, before: str = "") -> bytes:
    # OpenDocument 1.3 part 3, 9.1: a spreadsheet's tables, rows and cells
    file = io.BytesIO()
    with zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("mimetype", "application/vnd.oasis.opendocument.spreadsheet")
        archive.writestr(
            "content.xml",
            f'<?xml version="1.0"?>{before}<office:document-content {NAMES}><office:body><office:spreadsheet>'
            f'<table:table table:name="Sheet">{rows}</table:table>'
            "</office:spreadsheet></office:body></office:document-content>",
        )
    return file.getvalue()


def row(*cells: str) -> str:
    return f"<table:table-row>{''.join(cells)}</table:table-row>"


def test_an_open_workbook_is_read_with_its_repeats_and_empty_tail(write_table) -> None:
    repeated = CELL.format("-4.5").replace("<table:table-cell", '<table:table-cell table:number-columns-repeated="2"')
    tail = '<table:table-row table:number-rows-repeated="1048570"><table:table-cell/></table:table-row>'
    read = read_shot_table(write_table(ods(HEAD + row(CELL.format("3.5"), CELL.format(150)) + row(repeated) + tail)))
    assert [shot.values for shot in read.shots] == [
        {"club_path_deg": 3.5, "carry_yd": 150.0},
        {"club_path_deg": -4.5, "carry_yd": -4.5},
    ]


def test_dates_times_and_formulas_of_an_open_workbook(write_table) -> None:
    head = row(*map(WORD.format, ("date", "time", "carry [m]")))
    day = '<table:table-cell office:value-type="date" office:date-value="2026-03-04"/>'
    clock = '<table:table-cell office:value-type="time" office:time-value="PT10H05M07S"/>'
    sum_ = '<table:table-cell table:formula="of:=1+99" office:value-type="float" office:value="100"/>'
    read = read_shot_table(write_table(ods(head + row(day, clock, sum_))))
    assert read.shots[0].struck_at == datetime(2026, 3, 4, 10, 5, 7)
    assert read.shots[0].values["carry_yd"] == pytest.approx(100 / 0.9144)
    assert any("formulas" in note for note in read.notes)


@pytest.mark.parametrize(
    ("content", "message"),
    [
        (
            ods(
                '<table:table-row table:number-rows-repeated="1048576">'
                + CELL.format(1).replace("<table:table-cell", '<table:table-cell table:number-columns-repeated="16384"')
                + "</table:table-row>"
            ),
            "more than 20,000,000 cells",
        ),
        (ods(HEAD, '<!DOCTYPE x [<!ENTITY a "aaaa">]>'), "DTDForbidden"),
        (ods(HEAD + "<table:table-row>"), "damaged or cut short"),
        (ods(HEAD + row(CELL.format("many"))), "damaged or cut short"),
    ],
)
def test_an_open_workbook_that_is_damaged_or_made_to_harm(write_table, content: bytes, message: str) -> None:
    with pytest.raises(BadInputError, match=message):
        read_shot_table(write_table(content))


RECORDS = [
    {"time": "10:00:01", "club path [deg]": 3.5, "ball": {"speed [mph]": 120}},
    {"time": "10:00:31", "ball": {"speed [mph]": 118.5, "deep": {"a": [1]}}, "club path [deg]": None},
]


@pytest.mark.parametrize("data", [RECORDS, {"made": "today", "shots": RECORDS}])
@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16"])
def test_records_are_read_by_name(write_table, data: object, encoding: str) -> None:
    read = read_shot_table(write_table(json.dumps(data), "shots.json", encoding))
    assert [shot.values for shot in read.shots] == [
        {"club_path_deg": 3.5, "ball_speed_mph": 120.0},
        {"ball_speed_mph": 118.5},
    ]
    assert read.shots[1].extra["ball.deep"] == '{"a": [1]}'


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ('[{"carry": 1}, {"carry"', "damaged or cut short"),
        ('[{"carry": 1, "carry": 2}]', "'carry' twice"),
        ('{"a": [{"carry": 1}], "b": [{"carry": 2}]}', "found 2 lists of records"),
        ('{"carry": 1}', "found no list of records"),
        ("[]", "found no list of records"),
        ("[" + '{"a":[' * 100_000, "without end"),
        ("[" * 100_000 + "]" * 100_000, "brackets inside each other without end"),
        ("[" * 100_000, "brackets inside each other without end"),
        ("[" * 900 + "]" * 900, "found no list of records"),
        ("[" * 900, "damaged or cut short"),
        ('[{"carry": ' + "[" * 5_000 + "]" * 5_000 + "}]", "brackets inside each other without end"),
        ('[{"carry [yd]": 1e999}]', "a number that can be measured"),
        ('[{"carry [yd]": 12}, {"carry [yd]": "far"}]', "record 2, column 'carry"),
        ('[{"moon": 12}]', "expected column headers such as"),
    ],
)
def test_records_that_cannot_be_used(write_table, text: str, message: str) -> None:
    with pytest.raises(BadInputError, match=r"shots\.json") as caught:
        read_shot_table(write_table(text, "shots.json"))
    assert message in str(caught.value)


def test_a_header_that_begins_with_a_bracket_is_no_json(write_table) -> None:
    read = read_shot_table(write_table("[x],club path [deg]\n1,2.5\n"))
    assert read.shots[0].values == {"club_path_deg": 2.5}


def test_groups_units_and_names_make_one_header(write_table) -> None:
    text = "Lesson in the bay;;;\nClub;;Ball;\nSpeed;Path;Speed;Launch angle\n[mph];[deg];[m/s];[deg]\n90;3,5;60;12,5\n"
    read = read_shot_table(write_table(text))
    assert read.shots[0].values == {
        "club_speed_mph": 90.0,
        "club_path_deg": 3.5,
        "ball_speed_mph": pytest.approx(60 / 0.44704),
        "launch_angle_deg": 12.5,
    }
    assert any("two lines, which were joined" in note for note in read.notes)


@pytest.mark.parametrize("above", ["", "Lesson in the bay\n", "Lesson,,\n", "Numbers,of the,day\n"])
def test_a_title_above_changes_no_header(write_table, above: str) -> None:
    read = read_shot_table(write_table(f"{above}club path [deg],carry [yd],side [yd]\n1.5,100,-2\n"))
    assert read.shots[0].values == {"club_path_deg": 1.5, "carry_yd": 100.0, "offline_yd": -2.0}


def test_a_json_number_of_thousands_of_digits_is_refused_in_the_coachs_words(tmp_path):
    path = tmp_path / "shots.json"
    path.write_text('[{"carry [yd]": ' + "9" * 5000 + "}]")
    with pytest.raises(BadInputError, match="a number far too long") as refusal:
        read_shot_table(path)
    assert "sys." not in str(refusal.value)
