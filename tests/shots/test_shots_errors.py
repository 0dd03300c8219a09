import zipfile
from pathlib import Path

import openpyxl
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from review.errors import BadInputError, MachineError, ReviewError
from review.shots import ColumnMapping, read_shot_table

HEADER = "time,club,carry [yd]\n"


@pytest.mark.parametrize(
    ("content", "message"),
    [
        (b"", "empty file"),
        (b" \n\n", "empty file"),
        (b"\xef\xbb\xbf", "no filled line"),
        (b"10:12:08,6-iron,69.7,92.4,4.8\n10:13:11,6-iron,69.1,94.4,4.2\n", "found numbers"),
        (b"mood,weather\ngood,sunny\n", "found 'mood', 'weather'"),
        (b"time,club\n10:00:00,7-iron\n", "at least one column with a measure"),
        (b"carry [yd],Carry  [yd]\n1,2\n", "2 times (columns 1, 2)"),
        (b"club,carry,remark,remark\na,1,,\n", "found 'remark' 2 times (columns 3, 4)"),
        (b"club,carry [yd]\n7-iron,100,5\n", "line 2: expected 2 fields as in the header, found 3"),
        (b'club,carry [yd]\n"7-iron,100\n', "line 2: expected fields parted by commas, found a quotation mark"),
        (b"\x89PNG\r\n\x1a\n\x00\x00\x00\rIHDR" + bytes(range(256)), "binary content"),
        (b"\x00\x00\x00\x18ftypmp42\x00\x00\x00\x00mp42isom" + bytes(200), "binary content"),
        (b"%PDF-1.7\x01\x02\x03", "binary content"),
        (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + bytes(500), "save it as XLSX"),
        (b"PK\x03\x04" + b"cut short", "damaged or cut short"),
    ],
)
def test_files_that_cannot_be_used(write_table, content: bytes, message: str) -> None:
    with pytest.raises(BadInputError, match=r"table\.csv") as caught:
        read_shot_table(write_table(content))
    assert message in str(caught.value)
    assert caught.value.exit_code == 2


def test_missing_file_and_folder(tmp_path: Path) -> None:
    with pytest.raises(BadInputError, match=r"gone\.csv: expected a table, found no file"):
        read_shot_table(tmp_path / "gone.csv")
    with pytest.raises(BadInputError, match="found a folder"):
        read_shot_table(tmp_path)


@pytest.mark.parametrize(
    ("failure", "message"),
    [(OSError(5, "Input/output error"), "could not be read"), (PermissionError(13, "denied"), "may not read")],
)
def test_a_failing_disk_is_the_machines_fault(
    write_table, monkeypatch: pytest.MonkeyPatch, failure: OSError, message: str
) -> None:
    def fail(self: Path) -> bytes:
        raise failure

    path = write_table(HEADER)
    monkeypatch.setattr(Path, "read_bytes", fail)
    with pytest.raises(MachineError, match=message):
        read_shot_table(path)


def test_another_kind_of_archive(tmp_path: Path) -> None:
    with zipfile.ZipFile(tmp_path / "t.xlsx", "w") as archive:
        archive.writestr("word/document.xml", "<a/>")
    with pytest.raises(BadInputError, match="another kind of archive"):
        read_shot_table(tmp_path / "t.xlsx")


def test_letters_where_a_number_belongs(write_table) -> None:
    path = write_table(HEADER + "10:00:00,7-iron,150\n\n10:01:00,7-iron,far\n")
    with pytest.raises(BadInputError) as caught:
        read_shot_table(path)
    assert str(caught.value) == (
        "table.csv, line 4, column 'carry [yd]': expected a number for carry, found 'far'; "
        "correct the cell or leave it empty"
    )


def test_a_unit_that_does_not_fit_is_left_out_and_told_or_refused_when_mapped(write_table) -> None:
    path = write_table("club path [deg],carry [mph]\n3,100\n")
    assert read_shot_table(path).unmapped == ("carry [mph]",)
    with pytest.raises(BadInputError, match=r"line 1, column 'carry \[mph\]': expected a unit of carry such as yd"):
        read_shot_table(path, ColumnMapping(columns={"carry [mph]": "carry_yd"}))


def test_the_header_row_can_be_named(write_table) -> None:
    text = "carry,total\nclub,carry [yd]\n7-iron,100\n"
    read = read_shot_table(write_table(text), ColumnMapping(header_row=2))
    assert read.shots[0].values == {"carry_yd": 100.0}
    with pytest.raises(BadInputError, match="header in line 9"):
        read_shot_table(write_table(text), ColumnMapping(header_row=9))
    with pytest.raises(BadInputError, match="line 3: expected column headers"):
        read_shot_table(write_table(text), ColumnMapping(header_row=3))


def test_what_is_left_out_is_told(write_table) -> None:
    text = HEADER + "10:00:00,7-iron,150\ntime,club,carry [yd]\n,Average,150\nStd Dev,,0\n10:01:00,7-iron,\n,printed,\n"
    read = read_shot_table(write_table(text))
    assert [shot.values for shot in read.shots] == [{"carry_yd": 150.0}, {}]
    assert "summary rows (average and the like) left out: line 4, 5" in read.notes
    assert "repeated header left out: line 3" in read.notes
    assert "rows without a time and without a number left out: line 7" in read.notes
    assert "rows with a time but no number: line 6" in read.notes


def test_a_shot_of_a_club_named_like_a_summary_word_stays(write_table) -> None:
    read = read_shot_table(write_table(HEADER + "10:00:00,Max,150\n"))
    assert read.shots[0].club == "Max"


def test_a_header_without_a_shot_is_no_error(write_table) -> None:
    read = read_shot_table(write_table(HEADER))
    assert read.shots == ()
    assert "the table has a header but no shot yet" in read.notes


def test_short_rows_and_columns_without_a_name(write_table) -> None:
    read = read_shot_table(write_table("club,carry [yd],,club path,\n7-iron,100,x\n8-iron,90,,2,\n"))
    assert [shot.values for shot in read.shots] == [{"carry_yd": 100.0}, {"carry_yd": 90.0, "club_path_deg": 2.0}]
    assert read.shots[0].extra == {"column 3": "x"}


def test_the_shot_number_is_kept_as_text(write_table) -> None:
    read = read_shot_table(write_table("#,carry [yd]\n17,100\n"))
    assert read.shots[0].extra == {"#": "17"}
    assert read.shots[0].row_number == 1
    assert read.unmapped == ()


def _read_or_refuse(path: Path) -> str:
    """The refusal's text, empty when the table could be read; anything else fails the test."""
    try:
        read = read_shot_table(path)
    except ReviewError as error:
        return str(error)
    assert all(abs(value) < 1e7 for shot in read.shots for value in shot.values.values())
    return ""


@settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.one_of(st.binary(max_size=200), st.text(max_size=200).map(lambda t: t.encode("utf-8", "surrogatepass"))))
def test_no_content_ends_in_a_traceback(tmp_path: Path, tail: bytes) -> None:
    for content in (tail, HEADER.encode() + tail, b"PK\x03\x04" + tail):
        (tmp_path / "t.csv").write_bytes(content)
        refusal = _read_or_refuse(tmp_path / "t.csv")
        assert not refusal or "t.csv" in refusal


@settings(max_examples=100, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    st.lists(
        st.tuples(*[st.text(st.sampled_from("0123456789.,:/-+eELR ;\t\"'='%°mydé\n"), max_size=12)] * 3), max_size=4
    )
)
def test_no_cell_ends_in_a_traceback(tmp_path: Path, rows: list[tuple[str, ...]]) -> None:
    quoted = "".join(",".join('"' + cell.replace('"', '""') + '"' for cell in row) + "\n" for row in rows)
    (tmp_path / "t.csv").write_text(HEADER + quoted, encoding="utf-8")
    refusal = _read_or_refuse(tmp_path / "t.csv")
    assert not refusal or "t.csv" in refusal


def test_a_damaged_workbook_never_ends_in_a_traceback(tmp_path: Path) -> None:
    book = openpyxl.Workbook()
    book.active.append(["club", "carry [yd]"])
    for i in range(20):
        book.active.append(["7-iron", 100 + i / 10])
    book.save(tmp_path / "whole.xlsx")
    whole = (tmp_path / "whole.xlsx").read_bytes()
    assert len(read_shot_table(tmp_path / "whole.xlsx").shots) == 20
    n_refused = 0
    for i in range(60):  # every place in turn: one byte changed, and cut there
        at = i * len(whole) // 60
        for content in (whole[:at] + bytes([whole[at] ^ 0x55]) + whole[at + 1 :], whole[:at]):
            (tmp_path / "t.xlsx").write_bytes(content)
            try:
                read_shot_table(tmp_path / "t.xlsx")
            except ReviewError:
                n_refused += 1
    assert n_refused >= 60  # at the least every one that was cut
