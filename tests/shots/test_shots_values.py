import math
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from review.errors import BadInputError
from review.shots import ColumnMapping, read_shot_table


@settings(max_examples=60, deadline=None)
@given(
    speed_mph=st.floats(20, 250),
    carry_yd=st.floats(1, 400),
    path_deg=st.floats(-20, 20),
    across_mm=st.floats(-50, 50),
    units=st.tuples(
        st.sampled_from(["mph", "m/s", "km/h", "ft/s"]),
        st.sampled_from(["yd", "m", "ft"]),
        st.just("deg"),
        st.sampled_from(["mm", "cm", "inch"]),
    ),
    decimal=st.sampled_from([".", ","]),
)
def test_the_choice_of_units_and_marks_changes_no_value(
    tmp_path_factory: pytest.TempPathFactory,
    speed_mph: float,
    carry_yd: float,
    path_deg: float,
    across_mm: float,
    units: tuple[str, ...],
    decimal: str,
) -> None:
    per_own = {  # how many of the unit are one of ours; exact: NIST SP 811 (2008), appendix B.8
        "mph": Fraction(1), "m/s": Fraction(44704, 100000), "km/h": Fraction(1609344, 1000000),
        "ft/s": Fraction(16093440, 3048 * 3600), "yd": Fraction(1), "m": Fraction(9144, 10000), "ft": Fraction(3),
        "deg": Fraction(1), "mm": Fraction(1), "cm": Fraction(1, 10), "inch": Fraction(10, 254),
    }  # fmt: skip
    values = (speed_mph, carry_yd, path_deg, across_mm)
    cells = [repr(float(Fraction(v) * per_own[u])) for v, u in zip(values, units, strict=True)]
    names = ("ball speed", "carry", "club path", "strike across")
    header = ";".join(f"{n} [{u}]" for n, u in zip(names, units, strict=True))
    path = tmp_path_factory.mktemp("t") / "t.csv"
    path.write_text(f"{header}\n{';'.join(cells).replace('.', decimal)}\n")
    read = read_shot_table(path, ColumnMapping(decimal=decimal)).shots[0].values
    # 1e-12: a handful of roundings of a double; 1e-300 for denormal numbers near 0.
    assert read["ball_speed_mph"] == pytest.approx(speed_mph, rel=1e-12)
    assert read["carry_yd"] == pytest.approx(carry_yd, rel=1e-12)
    assert read["club_path_deg"] == path_deg
    assert read["strike_across_mm"] == pytest.approx(across_mm, rel=1e-12, abs=1e-300)


@pytest.mark.parametrize(
    ("header", "cell", "value"),
    [
        ("club path", "3.2 R", 3.2),
        ("club path", "L 3.2", -3.2),
        ("club path", "3.2L", -3.2),
        ("club path", "3.2 left", -3.2),
        ("club path", "3.2° R", 3.2),
        ("offline [yd]", "9.144 m L", -10.0),
        ("attack angle", "2.4 down", -2.4),
        ("attack angle", "2.4 U", 2.4),
        ("impact across [mm]", "7 heel", -7.0),
        ("impact up [mm]", "H 7", 7.0),
        ("club path", "\u22123.2", -3.2),
        ("club path", "+3.2", 3.2),
        ("club path", ".5", 0.5),
        ("club path", "1e1", 10.0),
        ("carry [yd]", "91.44 m", 100.0),
        ("back spin [rpm]", "5\u00a0520.0", 5520.0),
        ("back spin [rpm]", "5'520.0", 5520.0),
        ("back spin [rpm]", '"5,520.0"', 5520.0),
        ("club path", "-0", 0.0),
    ],
)
def test_ways_to_write_a_number(write_table, header: str, cell: str, value: float) -> None:
    read = read_shot_table(write_table(f"{header},club\n{cell},7-iron\n"))
    (got,) = read.shots[0].values.values()
    assert got == pytest.approx(value, rel=1e-12)
    assert math.copysign(1, got) == math.copysign(1, value)


@pytest.mark.parametrize(
    "cell",
    ["abc", "-3.2 L", "R 3.2 R", "3.2 in-to-out", "3.2 mph", "3..2", "1.2.3", "inf", "-Infinity", "1e308", "1e400",
     "9" * 400, "=1+1", "12:30", "3 4", "0x10", "1_0", "--3", "3.2 R L", "\u0663x"],
)  # fmt: skip
def test_what_is_no_number_is_refused_with_its_place(write_table, cell: str) -> None:
    path = write_table(f"club,club path\n7-iron,1.5\n7-iron,{cell}\n")
    with pytest.raises(BadInputError) as caught:
        read_shot_table(path)
    text = str(caught.value)
    assert "table.csv, line 3, column 'club path': expected a number" in text
    assert cell[:30] in text
    assert "leave it empty" in text


@pytest.mark.parametrize("cell", ["", "  ", "-", "--", "–", "NaN", "nan"])
def test_cells_without_a_number_are_absent(write_table, cell: str) -> None:
    read = read_shot_table(write_table(f"carry [yd],club path\n100,{cell}\n"))
    assert read.shots[0].values == {"carry_yd": 100.0}
    assert any("NaN" in note for note in read.notes) == (cell.strip().casefold() == "nan")


def test_a_letter_gives_the_direction_whatever_the_column_says(write_table) -> None:
    mapping = ColumnMapping(columns={"club path": "club_path_deg"}, flipped=frozenset({"club path"}))
    read = read_shot_table(write_table("club path\n3 R\n3\n"), mapping)
    assert [shot.values["club_path_deg"] for shot in read.shots] == [3.0, -3.0]


def test_a_unit_in_the_cell_counts_and_the_sign_of_the_column_stays(write_table) -> None:
    mapping = ColumnMapping(columns={"side [yd]": "offline_yd"}, flipped=frozenset({"side [yd]"}))
    read = read_shot_table(write_table("side [yd]\n9.144 m\n-10\n"), mapping)
    # 10 yd = 9.144 m, SP 811
    assert [shot.values["offline_yd"] for shot in read.shots] == pytest.approx([-10.0, 10.0], rel=1e-12)


def test_a_decimal_mark_that_nobody_can_tell_is_asked_for(write_table) -> None:
    path = write_table("club;carry [m]\n7-iron;1,234\n")
    with pytest.raises(BadInputError, match="set decimal in the column mapping"):
        read_shot_table(path)
    read = read_shot_table(path, ColumnMapping(decimal=","))
    assert read.shots[0].values["carry_yd"] == pytest.approx(1.234 / 0.9144, rel=1e-12)


def test_a_table_that_mixes_marks_is_refused(write_table) -> None:
    path = write_table("club;carry [m]\na;100,5\nb;101,5\nc;99.5\n")
    with pytest.raises(BadInputError, match=r"line 4, column 'carry \[m\]'.*writes decimals with a comma"):
        read_shot_table(path)
