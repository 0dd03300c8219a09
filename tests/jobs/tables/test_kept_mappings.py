"""Mappings kept by name: which table is read with which, and what every command does with it."""

from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from review.errors import BadInputError
from review.jobs.adding import add_lesson
from review.jobs.comparing import compare_table
from review.jobs.lesson_file import LessonPlan, PupilPlan
from review.jobs.live.table_watch import TableWatch
from review.jobs.tables.kept_mappings import find_mapping, keep_mapping, list_mappings, locate_mapping
from review.lesson import Handedness
from review.library import Library
from review.shots import ColumnMapping, read_mapping

BAY_2 = ColumnMapping(
    columns={"Zeit": "time", "Weg": "club_path_deg", "Flug": "carry_yd"},
    units={"Flug": "m"},
    flipped=frozenset({"Weg"}),
    clubs={"7I": "7-iron"},
    repeatability={"club_path_deg": 0.4},
)
ROWS = "Zeit;Weg;Flug\n" + "".join(f"10:{i:02}:00;-{i}.5;100.0\n" for i in range(1, 7))


@pytest.fixture
def table(tmp_path: Path) -> Path:
    path = tmp_path / "shots.csv"
    path.write_text(ROWS)
    return path


def test_a_mapping_is_kept_whole_under_its_name(tmp_path):
    path = keep_mapping(tmp_path / "library", "bay 2", BAY_2)
    assert path == tmp_path / "library" / "mappings" / "bay 2.toml"
    assert read_mapping(path) == replace(BAY_2, name="bay 2")
    assert list_mappings(tmp_path / "library") == ("bay 2",)


@pytest.mark.parametrize("name", ["", "../x", "a/b", ".hidden", "x" * 61, "con:", "bay "])
def test_a_name_that_is_none_of_a_file_is_refused(tmp_path, name):
    with pytest.raises(BadInputError, match="A mapping's name"):
        keep_mapping(tmp_path, name, BAY_2)
    assert not list(tmp_path.rglob("*.toml"))


def test_a_later_table_is_read_with_it_by_itself(tmp_path, table):
    assert find_mapping(tmp_path, table).mapping is None
    keep_mapping(tmp_path, "bay 2", BAY_2)
    found = find_mapping(tmp_path, table)
    assert found.mapping == replace(BAY_2, name="bay 2")
    assert found.notes == ("shots.csv is read with your mapping 'bay 2'",)


def test_a_table_of_another_device_is_not(tmp_path):
    keep_mapping(tmp_path, "bay 2", BAY_2)
    other = tmp_path / "other.csv"
    other.write_text("time;club path [deg];Flug\n10:00:00;1.0;90\n")
    assert find_mapping(tmp_path, other) == find_mapping(tmp_path / "none", other)


def test_of_two_that_fit_the_fuller_is_taken_and_equals_are_asked_about(tmp_path, table):
    keep_mapping(tmp_path, "short", ColumnMapping(columns={"Weg": "face_angle_deg"}))
    keep_mapping(tmp_path, "bay 2", BAY_2)
    assert find_mapping(tmp_path, table).mapping == replace(BAY_2, name="bay 2")
    keep_mapping(tmp_path, "bay 3", replace(BAY_2, flipped=frozenset()))
    with pytest.raises(BadInputError, match="several of your mappings fit this table .bay 2, bay 3.; say --mapping"):
        find_mapping(tmp_path, table)
    assert find_mapping(tmp_path, table, Path("bay 3")).mapping.flipped == frozenset()


def test_a_long_table_and_a_damaged_mapping(tmp_path, table):
    table.write_text(ROWS + "10:07:00;-1.0;99.0\n" * 20_000)
    keep_mapping(tmp_path, "bay 2", BAY_2)
    (tmp_path / "mappings" / "old.toml").write_text("columns = 3")
    found = find_mapping(tmp_path, table)
    assert found.mapping is not None
    assert "the kept mapping 'old' was not used" in found.notes[0]


def test_what_is_said_may_be_a_file_or_a_name(tmp_path):
    kept = keep_mapping(tmp_path, "bay 2", BAY_2)
    assert locate_mapping(tmp_path, Path("bay 2")) == locate_mapping(tmp_path, kept) == kept
    with pytest.raises(BadInputError, match=r"bay 3: expected a column mapping.*\(bay 2\)"):
        locate_mapping(tmp_path, Path("bay 3"))


def test_adding_reads_with_it_and_keeps_the_devices_error(tmp_path, table):
    keep_mapping(tmp_path / "library", "bay 2", BAY_2)
    plan = LessonPlan(PupilPlan("Pupil", Handedness.RIGHT), date(2026, 3, 14), (), shots=table)
    with Library.open(tmp_path / "library") as library:
        added = add_lesson(library, plan)
        shots = library.shots(added.lesson.id)
        assert library.lesson(added.lesson.id).repeatability == (("club_path_deg", 0.4),)
    assert shots[0].values["club_path_deg"] == 1.5
    assert shots[0].values["carry_yd"] == pytest.approx(100 / 0.9144)
    assert any("your mapping 'bay 2'" in note for note in added.notes)


def test_a_live_table_is_read_with_it(tmp_path, table):
    keep_mapping(tmp_path, "bay 2", BAY_2)
    now = [0.0]
    watch = TableWatch(table, None, date(2026, 3, 14), lambda: now[0], tmp_path)
    watch.look()
    now[0] = 10.0
    rows, notes = watch.look()
    assert [shot.values["club_path_deg"] for shot in rows] == [1.5, 2.5, 3.5, 4.5, 5.5, 6.5]
    assert any("your mapping 'bay 2'" in note for note in notes)


def test_the_kept_error_is_what_counts_in_a_comparison_unless_another_is_said(table):
    def error(said):
        found = compare_table(table, "1-3", "4-6", mapping=BAY_2, repeatability=said).comparisons
        return next(c.typical_error for c in found if c.name == "club_path_deg")

    assert error(None) == 0.4
    assert error({"club_path_deg": 0.9}) == 0.9
