"""What a table would be read as: terms, units from sizes, sums over the rows; what cannot be told is asked."""

import csv
from pathlib import Path

import pytest

from review.errors import BadInputError
from review.shots import Certainty, ColumnMapping, propose_table, read_shot_table

EXCERPT = Path(__file__).parents[1] / "data" / "caddieset_excerpt.csv"

# made up: six shots of a 7-iron, speeds in m/s, lengths in m
ROWS = (
    "36.1;50.2;140.2;4.2;1.5;-2.7;6500;1.39",
    "36.6;51.0;142.0;3.2;2.5;-0.7;6400;1.39",
    "35.9;49.5;138.2;5.1;1.0;-4.1;6720;1.38",
    "37.4;52.2;147.0;4.4;0.2;-4.2;6110;1.40",
    "37.2;51.9;146.1;2.2;-1.5;-3.7;6230;1.40",
    "36.4;50.8;143.2;4.0;1.7;-2.3;6450;1.40",
)


def propose(write_table, header, mapping=None, rows=ROWS):
    proposal = propose_table(write_table("\n".join((header, *rows)) + "\n"), mapping)
    return {column.header: column for column in proposal.columns}, proposal


def test_trade_terms_with_units_are_sure(write_table):
    columns, proposal = propose(
        write_table, "Club Speed [m/s];Ball Speed [m/s];Carry [m];Path;Face;Face to path;Spin;quotient"
    )
    assert [c.certainty for c in columns.values()][:7] == [Certainty.SURE] * 7
    assert columns["Carry [m]"].samples == ("153.3 yd", "155.3 yd")
    assert columns["Face to path"].samples[0] == "2.7° left of the path"
    assert columns["quotient"].certainty is Certainty.LEFT_OUT
    assert "ball speed over club speed" in columns["quotient"].reason
    assert not proposal.questions


def test_a_unit_that_can_be_two_is_asked_not_guessed(write_table):
    columns, proposal = propose(write_table, "Club Speed [mph];Ball Speed [mph];Carry;Path;Face;c;Spin;q",
                                rows=["80;112;150;1;1;1;6000;1.4"] * 6)  # fmt: skip
    assert columns["Carry"].certainty is Certainty.ASKED
    assert columns["Carry"].choices == ("carry_yd yd", "carry_yd m")
    assert "Carry" not in proposal.mapping.columns
    (question,) = proposal.questions
    assert "--as 'Carry=carry yd' or --as 'Carry=carry m'" in question


def test_one_unit_said_settles_the_others_by_physics(write_table):
    """A ball at 51 miles an hour cannot fly 143 m: without air it would fly 53 m at most (v^2 / g)."""
    said = ColumnMapping(columns={"Carry": "carry_yd"}, units={"Carry": "m"})
    columns, proposal = propose(write_table, "Club Speed;Ball Speed;Carry;Path;Face;c;Spin;q", said)
    assert (columns["Ball Speed"].unit, columns["Club Speed"].unit) == ("m/s", "m/s")
    assert columns["Ball Speed"].certainty is Certainty.LIKELY
    assert proposal.mapping.units["Ball Speed"] == "m/s"


def test_other_columns_of_a_kind_tell_the_unit(write_table):
    columns, _ = propose(write_table, "Club Speed [m/s];Ball Speed [m/s];Total [m];Carry;Face;c;Spin;q",
                         rows=["36;51;150;142;1;1;6000;1.4"] * 6)  # fmt: skip
    assert (columns["Carry"].unit, columns["Carry"].certainty) == ("m", Certainty.LIKELY)


def test_a_sum_over_the_rows_names_a_column(write_table):
    columns, _ = propose(write_table, "Club Speed [m/s];Ball Speed [m/s];Carry [m];Path;Face;P2F;Spin;q")
    assert (columns["P2F"].meaning, columns["P2F"].certainty) == ("face_to_path_deg", Certainty.LIKELY)
    assert "face less path" in columns["P2F"].reason


def test_a_sum_with_the_other_sign_is_turned_round(write_table):
    turned = [";".join([*(r := row.split(";"))[:5], str(-float(r[5])), *r[6:]]) for row in ROWS]
    columns, proposal = propose(
        write_table, "Club Speed [m/s];Ball Speed [m/s];Carry [m];Path;Face;P2F;Spin;q", rows=turned
    )
    assert columns["P2F"].meaning == "face_to_path_deg"
    assert proposal.mapping.flipped == {"P2F"}
    assert columns["P2F"].samples[0] == "2.7° left of the path"


@pytest.mark.parametrize("turned", ["Path", "Face", "Face to path"])
def test_a_column_counted_the_other_way_round_is_asked_about(write_table, turned):
    at = 3 + ["Path", "Face", "Face to path"].index(turned)
    rows = []
    for row in ROWS:
        cells = row.split(";")
        cells[at] = str(-float(cells[at]))
        rows.append(";".join(cells))
    header = "Club Speed [m/s];Ball Speed [m/s];Carry [m];Path;Face;Face to path;Spin;q"
    _, proposal = propose(write_table, header, rows=rows)
    (question,) = proposal.questions
    assert f"--flip {turned!r}" in question


def test_a_stated_unit_narrows_an_unknown_name(write_table):
    columns, _ = propose(write_table, "x [m/s];Ball Speed [m/s];Carry [m];Path;Face;c;y [rpm];q")
    assert columns["x [m/s]"].meaning == "club_speed_mph"
    assert columns["y [rpm]"].choices == ("spin_rpm rpm", "back_spin_rpm rpm", "side_spin_rpm rpm")


def test_times_and_clubs_are_known_by_what_they_are(write_table):
    rows = ["10:01:05;7 iron;4.2", "10:02:09;6 iron;1.2", "10:03:00;7 iron;2.2"]
    columns, proposal = propose(write_table, "Zeit;Schlaeger;Path", rows=rows)
    assert (columns["Zeit"].meaning, columns["Schlaeger"].meaning) == ("time", "club")
    assert proposal.clubs == (("7 iron", 2, ""), ("6 iron", 1, ""))


def test_open_data_without_names_is_told_by_its_sums(tmp_path):
    """CaddieSet (see tests/data): spin axis, spin and units come out of the numbers of real shots."""
    with EXCERPT.open(encoding="utf-8") as lines:
        rows = list(csv.reader(lines))
    rows[0][rows[0].index("SpinAxis")] = "c9"
    path = tmp_path / "open.csv"
    with path.open("w", newline="", encoding="utf-8") as out:
        csv.writer(out).writerows(rows)
    proposal = propose_table(path, ColumnMapping(columns={"Carry": "carry_yd"}, units={"Carry": "m"}))
    columns = {column.header: column for column in proposal.columns}
    assert columns["c9"].meaning == "spin_axis_deg"
    assert columns["SpinBack"].meaning == "back_spin_rpm"
    assert columns["BallSpeed"].unit == "m/s"
    assert columns["View"].certainty is Certainty.LEFT_OUT


def test_numbers_that_cannot_be_miles_an_hour_are_refused_not_misread(write_table):
    path = write_table("Ball Speed;Carry;Path\n" + "65.2;180.4;1.0\n" * 6)
    with pytest.raises(BadInputError, match=r"'Ball Speed' \(about 65.2\) can be m/s.*lesson-review table table.csv"):
        read_shot_table(path)
    kept = ColumnMapping(columns={"Ball Speed": "ball_speed_mph"}, units={"Ball Speed": "m/s"})
    assert read_shot_table(path, kept).shots[0].values["ball_speed_mph"] == pytest.approx(65.2 / 0.44704)


def test_clubs_are_called_as_in_the_coachs_bag(write_table):
    path = write_table("Club;Path\n7I;1.0\nDR;2.0\n")
    shots = read_shot_table(path, ColumnMapping(clubs={"7I": "my 7-iron"})).shots
    assert [shot.club for shot in shots] == ["my 7-iron", "DR"]
    assert shots[0].extra["Club"] == "7I"
