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


FULL = "Club Speed [mph];Ball Speed [mph];Carry [yd];Path;Face;Launch direction;Spin [rpm];nr"


def full_rows(swap=lambda path, face, launch: (path, face, launch)):
    """Rows whose ball starts 72 % of the way from path to face, as published shares (61 to 83 %) have it."""
    rows = []
    for i in range(8):
        path, face = 8.0 - 0.3 * i, 2.0 + 0.7 * (i % 3)
        cells = swap(path, face, path + 0.72 * (face - path))
        rows.append(";".join(["80.1", "110.2", "150.4", *(f"{v:.2f}" for v in cells), "6000", str(i + 1)]))
    return rows


def test_a_right_table_raises_no_doubt(write_table):
    assert not propose(write_table, FULL, rows=full_rows())[1].questions


@pytest.mark.parametrize(
    ("swap", "said"),
    [
        (lambda p, f, d: (f, p, d), "if face and path are swapped"),
        (lambda p, f, d: (-p, f, d), "if the sign of the path is turned round"),
        (lambda p, f, d: (p, -f, d), "if the sign of the face is turned round"),
        (lambda p, f, d: (p, f, -d), "if the sign of launch direction is turned round"),
    ],
)
def test_columns_exchanged_or_turned_are_asked_about(write_table, swap, said):
    (question,) = propose(write_table, FULL, rows=full_rows(swap))[1].questions
    assert said in question


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        (("110.2", "60.2"), "0.75 times club speed of about 80.1 mph, where whole shots have 0.8 to 1.6 times"),
        (("150.4", "390.4"), "is farther than a ball at 110 mph could fly without air"),
        (("6000", "6.1"), "spin of about 6 rpm is not what shots have"),
        (("80.1", "801"), "club speed of about 801.0 mph is not what shots have"),
    ],
)
def test_numbers_that_cannot_be_are_asked_about_though_their_unit_is_stated(write_table, wrong, said):
    rows = [row.replace(*wrong) for row in full_rows()]
    questions = propose(write_table, FULL, rows=rows)[1].questions
    assert any(said in question for question in questions)


def test_the_coachs_unit_for_a_header_counts_more_than_the_header(write_table):
    said = ColumnMapping(columns={"Carry [yd]": "carry_yd"}, units={"Carry [yd]": "m"})
    path = write_table("\n".join((FULL, *full_rows())))
    assert read_shot_table(path, said).shots[0].values["carry_yd"] == pytest.approx(150.4 / 0.9144)
    assert propose_table(path, said).mapping.units["Carry [yd]"] == "m"
    # the same device switched to metres: the header is another, and counts
    switched = write_table("\n".join((FULL.replace("Carry [yd]", "Carry [m]"), *full_rows())))
    kept = ColumnMapping(columns={"Carry [yd]": "carry_yd"}, units={"Carry [yd]": "yd"})
    assert read_shot_table(switched, kept).shots[0].values["carry_yd"] == pytest.approx(150.4 / 0.9144)


def test_a_unit_that_cannot_be_is_asked_about_with_those_that_can(write_table):
    rows = [row.replace("110.2", "50.2") for row in full_rows()]
    columns, _ = propose(write_table, FULL.replace("Ball Speed [mph]", "ball_speed_ms"), rows=rows)
    assert columns["ball_speed_ms"].choices == ("ball_speed_mph mph", "ball_speed_mph m/s", "ball_speed_mph km/h")
    said = ColumnMapping(columns={"ball_speed_ms": "ball_speed_mph"}, units={"ball_speed_ms": "m/s"})
    columns, _ = propose(write_table, FULL.replace("Ball Speed [mph]", "ball_speed_ms"), said, rows=rows)
    assert (columns["ball_speed_ms"].certainty, columns["ball_speed_ms"].unit) == (Certainty.SURE, "m/s")


def test_reading_asks_too_where_a_unit_may_be_another(write_table):
    path = write_table("Ball Speed [mph];Carry\n" + "110.2;150.4\n" * 6)
    (question,) = read_shot_table(path).questions
    assert "'Carry' states no unit; about 150 can be yd or m, and was read as yd" in question
    alike = write_table("Ball Speed [m/s];Total [m];Carry\n" + "50.2;155.0;150.4\n" * 6)
    table = read_shot_table(alike)
    assert not table.questions
    assert table.shots[0].values["carry_yd"] == pytest.approx(150.4 / 0.9144)


def test_times_under_a_name_that_says_nothing_are_asked_about(write_table):
    path = write_table("Uhr;Path\n" + "".join(f"10:0{i}:00;1.{i}\n" for i in range(6)))
    (question,) = read_shot_table(path).questions
    assert "'Uhr' holds times and is not read" in question
