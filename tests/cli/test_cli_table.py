"""``table`` as a coach types it: look, correct, keep, and the next table is read so."""

import json
import shutil
from pathlib import Path

import pytest

from review.cli.main import main

ROWS = """Zeit;Schlaeger;Weg;Blatt;P2F;Ball Speed;Carry
10:01:05;7I;4,2;1,5;-2,7;50,2;140,2
10:02:05;7I;3,2;2,5;-0,7;51,0;142,0
10:03:05;7I;5,1;1,0;-4,1;49,5;138,2
10:04:05;7I;0,4;0,2;-0,2;52,2;147,0
10:05:05;7I;0,2;-1,5;-1,7;51,9;146,1
10:06:05;7I;0,0;1,7;1,7;50,8;143,2
Mittel;;2,2;0,9;-1,3;50,9;142,8
"""


@pytest.fixture
def said(tmp_path: Path, capsys):
    path = tmp_path / "bay.csv"
    path.write_text(ROWS, encoding="cp1252")

    def say(*options: str, command: str = "table") -> tuple[int, str]:
        named = ["compare", "--table", str(path)] if command == "compare" else [command, str(path)]
        code = main([*named, "--library", str(tmp_path / "library"), *options])
        out = capsys.readouterr()
        return code, " ".join((out.out + out.err).split())

    return say


def test_what_is_not_known_is_shown_and_asked(said):
    code, text = said()
    assert code == 1
    assert "Not read: Weg, Blatt, P2F: the name says nothing that is known" in text
    assert "Question: 'Carry' states no unit; about 143 can be yd or m; say --as 'Carry=carry yd'" in text


def test_nothing_is_kept_while_a_unit_is_open(said, tmp_path):
    code, text = said("--as", "Weg=club path", "--keep", "bay 2")
    assert code == 1
    assert "Nothing was kept" in text
    assert not (tmp_path / "library").exists()


def test_answers_are_kept_and_used_by_the_next_command(said):
    answers = ("--as", "weg=club path", "--as", "Blatt=face", "--as", "Carry=carry m", "--club", "7I=7-iron")
    code, text = said(*answers, "--repeatability", "club path=0.5")
    assert code == 0
    assert "P2F face to path" in text
    assert "2.7° left" in text
    assert "the same command with --keep" in text
    assert "Rows: 6 shots" in text
    code, text = said(*answers, "--repeatability", "club path=0.5", "--keep", "bay 2")
    assert code == 0
    assert "Kept as 'bay 2'" in text
    code, text = said("--first", "1-3", "--last", "4-6", "--aim", "club path", command="compare")
    assert code == 0
    assert "4.0° less in-to-out" in text
    assert "read with your mapping 'bay 2'" in text
    assert "not known" not in text


def test_the_numbers_are_the_same_in_either_unit(said, tmp_path):
    """140.2 m are 153.3 yd (international yard, exact)."""
    out = tmp_path / "out.json"
    said("--as", "Carry=carry m", "--as", "Weg=club path", "--keep", "bay 2")
    said("--first", "1", "--last", "4", "--json", str(out), command="compare")
    carry = next(m for m in json.loads(out.read_text())["measures"] if m["name"] == "carry_yd")
    assert carry["mean_first"] == pytest.approx(140.2 / 0.9144)


@pytest.mark.parametrize(
    ("options", "expected"),
    [
        (("--as", "Wegg=club path"), "bay.csv has no column 'Wegg'; it has 'Zeit'"),
        (("--as", "Weg=slice"), "expected a measure and its unit after the equals sign, found 'slice'"),
        (("--as", "Carry=carry deg"), "expected a measure and its unit"),
        (("--as", "Weg"), "--as expects HEADER=MEASURE"),
        (("--flip", "Weg"), "say first what this column is"),
        (("--club", "7I"), "--club expects WRITTEN=YOURS"),
        (("--mapping", "bay 9"), "found no such file and none kept under that name"),
        (("--repeatability", "club path=0"), "expects a number above 0"),
        (("--as", "Carry=carry m", "--as", "Ball Speed=ball speed m/s", "--keep", "../x"), "A mapping's name"),
    ],
)
def test_wrong_answers_are_told(said, options, expected):
    code, text = said(*options)
    assert code == 2
    assert expected in text


def test_german_words_of_the_trade_are_read(tmp_path, capsys):
    path = tmp_path / "de.csv"
    head = "Uhrzeit;Schläger;Schlägerweg [Grad];Schlagfläche [Grad];Ballgeschwindigkeit [km/h];Carrylänge [m];"
    head += "Spinrate [U/min]"
    path.write_text(head + "\n" + "".join(f"10:0{i}:00;7;{i},5;1,0;180,5;140,0;6500\n" for i in range(6)), "cp1252")
    assert main(["table", str(path), "--library", str(tmp_path / "l")]) == 0
    shown = " ".join(capsys.readouterr().out.split())
    assert "Not read" not in shown
    assert "112.2 mph" in shown


def test_a_table_that_comes_later_joins_its_lesson(tmp_path, capsys):
    library = ["--library", str(tmp_path / "l")]
    clips = tmp_path / "clips"
    clips.mkdir()
    sample = Path(__file__).parents[2] / "sample_clips"
    shutil.copy(sample / "clips" / "20260314_101756.mp4", clips)
    about = ["--pupil", "Pat", "--consent-by", "Pat", "--consent-for", "keep,measure,share"]
    assert main(["add", str(clips), *about, "--handed", "left", *library]) == 0
    code = main(["add", "--pupil", "pat", "--date", "2026-03-14", "--shots", str(sample / "shots.csv"), *library])
    assert code in (0, 1)  # one clip against fifteen rows may be asked about
    assert "Pat, lesson of 2026-03-14: 0 new clips, 15 new rows." in capsys.readouterr().out
    assert main(["add", "--pupil", "Pat", "--date", "2026-03-15", "--shots", str(sample / "shots.csv"), *library]) == 2
    assert "Pat has no such lesson (lessons: 2026-03-14)" in capsys.readouterr().err


def test_a_sign_is_turned_though_the_header_carries_its_unit(tmp_path, capsys):
    path = tmp_path / "unit.csv"
    path.write_text("Club Path [deg];Carry [yd]\n" + "".join(f"{i}.5;150.0\n" for i in range(1, 6)))
    assert main(["table", str(path), "--library", str(tmp_path / "l"), "--flip", "Club Path [deg]"]) == 0
    assert "1.5° left of" in " ".join(capsys.readouterr().out.split())
