from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from review.errors import BadInputError, MachineError
from review.lesson import KINDS, Source
from review.shots import ColumnMapping, propose_mapping, read_mapping, read_shot_table, write_mapping

DEVICE = [name for name, kind in KINDS.items() if kind.source is Source.DEVICE]
FULL = ColumnMapping(
    name='bay "2"',
    columns={"A [mph]": "ball_speed_mph", 'Ü "x"\\': "club_path_deg", "when": "time", "rest": "ignore"},
    units={"A [mph]": "mph"},
    flipped=frozenset({'Ü "x"\\'}),
    date_order="dmy",
    time_format="%H.%M.%S",
    decimal=",",
    delimiter="\t",
    header_row=3,
    absent=("n/a", "none"),
)


@pytest.mark.parametrize("mapping", [FULL, ColumnMapping()])
def test_a_mapping_survives_writing_and_reading(tmp_path: Path, mapping: ColumnMapping) -> None:
    write_mapping(tmp_path / "m.toml", mapping)
    assert read_mapping(tmp_path / "m.toml") == mapping
    assert [p.name for p in tmp_path.iterdir()] == ["m.toml"]


@settings(max_examples=60, deadline=None)
@given(
    headers=st.lists(
        st.text(st.characters(exclude_categories=("Cs",)), min_size=1, max_size=12), unique=True, max_size=5
    ),
    name=st.text(st.characters(exclude_categories=("Cs",)), max_size=12),
)
def test_any_text_survives_as_header_and_name(
    tmp_path_factory: pytest.TempPathFactory, headers: list[str], name: str
) -> None:
    path = tmp_path_factory.mktemp("m") / "m.toml"
    mapping = ColumnMapping(name=name, columns=dict.fromkeys(headers, "carry_yd"), units=dict.fromkeys(headers, "m"))
    write_mapping(path, mapping)
    assert read_mapping(path) == mapping


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ('sorts = "x"', "unknown key 'sorts'; known are name, decimal"),
        ('[columns]\n"a" = "spin_of_the_moon"', "found 'spin_of_the_moon'; known are club_speed_mph"),
        ('[columns]\n"a" = "hip_turn_deg"', "found 'hip_turn_deg'; known are"),
        ('decimal = ":"', "decimal must be one of 'auto', '.', ','"),
        ('delimiter = "x"', "delimiter must be one of"),
        ('date_order = "yyy"', "date_order must be one of"),
        ("header_row = 0", "counts lines from 1"),
        ('header_row = "2"', "must be a line number"),
        ("name = 3", "name must be text"),
        ('absent = "n/a"', "must be a list of texts"),
        ("[columns]\na = 3", "must have lines of the form"),
        (
            'flipped = ["path"]\n[columns]\n"club path" = "club_path_deg"',
            "flipped names 'path', which columns does not",
        ),
        ('flipped = ["t"]\n[columns]\n"t" = "time"', "is no measure"),
        ('name = "a', "as TOML"),
    ],
)
def test_a_wrong_mapping_is_told(tmp_path: Path, text: str, message: str) -> None:
    (tmp_path / "m.toml").write_text(text)
    with pytest.raises(BadInputError, match=r"m\.toml") as caught:
        read_mapping(tmp_path / "m.toml")
    assert message in str(caught.value)


def test_a_missing_or_unwritable_mapping(tmp_path: Path) -> None:
    with pytest.raises(BadInputError, match="no such file"):
        read_mapping(tmp_path / "m.toml")
    with pytest.raises(MachineError, match="could not be written"):
        write_mapping(tmp_path / "no folder" / "m.toml", FULL)


def test_a_refused_mapping_leaves_the_earlier_one(tmp_path: Path) -> None:
    write_mapping(tmp_path / "m.toml", FULL)
    with pytest.raises(BadInputError):
        write_mapping(tmp_path / "m.toml", ColumnMapping(columns={"a": "nothing"}))
    assert read_mapping(tmp_path / "m.toml") == FULL


# The words are plain English of the trade; the measures are those of the project's glossary.
@pytest.mark.parametrize(
    ("header", "measure", "unit"),
    [
        ("Club Path", "club_path_deg", "deg"),
        ("ClubPath [deg]", "club_path_deg", "deg"),
        ("face_to_path_deg", "face_to_path_deg", "deg"),
        ("Face-to-Path (°)", "face_to_path_deg", "deg"),
        ("angle of attack", "attack_angle_deg", "deg"),
        ("Ball velocity [km/h]", "ball_speed_mph", "km/h"),
        ("BALL SPEED (MPH)", "ball_speed_mph", "MPH"),
        ("club head speed m/s", "club_speed_mph", "m/s"),
        ("Launch angle", "launch_angle_deg", "deg"),
        ("horizontal launch angle", "launch_direction_deg", "deg"),
        ("Backspin", "back_spin_rpm", "rpm"),
        ("side spin [rpm]", "side_spin_rpm", "rpm"),
        ("Carry distance [m]", "carry_yd", "m"),
        ("offline yds", "offline_yd", "yds"),
        ("apex [ft]", "height_yd", "ft"),
        ("strike across [cm]", "strike_across_mm", "cm"),
        ("impact up [inch]", "strike_up_mm", "inch"),
    ],
)
def test_plain_terms_are_understood(header: str, measure: str, unit: str) -> None:
    mapping = propose_mapping([header])
    assert mapping.columns == {header: measure}
    assert compute(mapping.units[header]) == compute(unit)


def compute(text: str) -> str:
    return {"°": "deg"}.get(text, text).casefold()


def test_every_device_measure_can_be_found_by_its_own_label() -> None:
    for name in DEVICE:
        label = KINDS[name].label
        mapping = propose_mapping([label], sample_rows=[["1.0"]])
        assert mapping.columns == {label: name}


@pytest.mark.parametrize(
    "header", ["spin loft", "carry (max)", "mood", "ball", "ball speed [deg]", "tempo", "", "[mph]"]
)
def test_what_is_not_understood_stays_unmapped(header: str) -> None:
    assert propose_mapping([header]).columns == {}


def test_loose_names_need_numbers_beneath_them() -> None:
    headers = ["side", "total", "time"]
    assert propose_mapping(headers, sample_rows=[["left", "-", "0.4"]]).columns == {}
    assert propose_mapping(headers, sample_rows=[["3.2 L", "150", "10:12:08"]]).columns == {
        "side": "offline_yd",
        "total": "total_yd",
        "time": "time",
    }


def test_the_units_row_counts_where_the_header_has_none() -> None:
    mapping = propose_mapping(["carry", "ball speed"], ["[m]", "km/h"])
    assert mapping.units == {"carry": "m", "ball speed": "km/h"}


def test_a_proposal_can_be_kept_and_reads_the_same(tmp_path: Path, write_table) -> None:
    table = write_table("time,club,carry [m],side\n10:00:00,7-iron,100,3 L\n")
    first = read_shot_table(table)
    write_mapping(tmp_path / "m.toml", first.mapping)
    again = read_shot_table(table, read_mapping(tmp_path / "m.toml"))
    assert again.shots == first.shots
    assert again.mapping == first.mapping


def test_the_mapping_goes_before_plain_terms(write_table) -> None:
    table = write_table("carry [yd],second carry [yd],club path [deg]\n100,90,3\n")
    mapping = ColumnMapping(columns={"second carry [yd]": "carry_yd", "club path [deg]": "ignore"})
    read = read_shot_table(table, mapping)
    assert read.shots[0].values == {"carry_yd": 90.0}
    assert read.unmapped == ("carry [yd]",)
    assert read.shots[0].extra == {"carry [yd]": "100"}


def test_a_flipped_column_changes_its_sign_only(write_table) -> None:
    table = write_table("carry [yd],side [m],club path\n100,-9.144,3\n")
    mapping = ColumnMapping(columns={"side [m]": "offline_yd"}, flipped=frozenset({"side [m]"}))
    values = read_shot_table(table, mapping).shots[0].values
    assert values == {"carry_yd": 100.0, "offline_yd": pytest.approx(10.0, rel=1e-12), "club_path_deg": 3.0}


def test_a_device_switched_to_metres_is_read_right_and_told(write_table) -> None:
    mapping = ColumnMapping(columns={"carry [yd]": "carry_yd"}, units={"carry [yd]": "yd"})
    read = read_shot_table(write_table("club,carry [m]\n7-iron,91.44\n"), mapping)
    assert read.shots[0].values["carry_yd"] == pytest.approx(100.0, rel=1e-12)
    assert any("is in m in this table, not in yd" in note for note in read.notes)


def test_a_unit_from_the_mapping_and_a_missing_one(write_table) -> None:
    table = write_table("carry,ball speed\n91.44,100\n")
    read = read_shot_table(table, ColumnMapping(columns={"carry": "carry_yd"}, units={"carry": "m"}))
    assert read.shots[0].values == {"carry_yd": pytest.approx(100.0, rel=1e-12), "ball_speed_mph": 100.0}
    assert any("'ball speed' states no unit and was read as mph" in note for note in read.notes)
    assert not any("'carry' states no unit" in note for note in read.notes)


def test_words_that_mean_an_empty_cell(write_table) -> None:
    table = write_table("carry [yd],club path\nn/a,3\n")
    with pytest.raises(BadInputError, match="'n/a'"):
        read_shot_table(table)
    assert read_shot_table(table, ColumnMapping(absent=("N/A",))).shots[0].values == {"club_path_deg": 3.0}


def test_a_mapped_column_that_is_not_there_is_told(write_table) -> None:
    mapping = ColumnMapping(columns={"speed of sound": "ball_speed_mph"})
    read = read_shot_table(write_table("carry [yd]\n100\n"), mapping)
    assert any("speed of sound" in note for note in read.notes)


def test_two_columns_mapped_to_one_measure_are_refused(write_table) -> None:
    mapping = ColumnMapping(columns={"a": "carry_yd", "b": "carry_yd"})
    with pytest.raises(BadInputError, match="'a' and 'b', both mapped"):
        read_shot_table(write_table("a,b\n1,2\n"), mapping)
