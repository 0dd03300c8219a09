"""A mat's table before it belongs to a lesson: what is said of its columns, kept, and used by itself later."""

from datetime import date
from pathlib import Path

import pytest

from review.errors import BadInputError
from review.jobs.pressure.tables import PressureTables
from review.jobs.tables.kept_mappings import PRESSURE_TABLE, keep_mapping, list_mappings
from review.jobs.tables.looking import TableWishes
from review.jobs.tables.looking_pressure import is_pressure_table, look_at_pressure_table
from review.lesson import Handedness

SAMPLE = Path(__file__).parents[3] / "sample_clips"
ODD = """made by a mat;;;;
When;Across (mm);Along (mm);Here (N);There (N)
10:00:00,00;12,5;20,5;300;310
10:00:00,01;12,6;20,6;300;320
"""
SAID = TableWishes(
    ("when=time", "Across (mm)=x", "Along (mm)=y mm", "Here (N)=lead force", "There (N)=trail force N"),
    ("Across (mm)",),
)


@pytest.fixture
def odd(tmp_path):
    path = tmp_path / "odd.csv"
    path.write_text(ODD, encoding="utf-8")
    return path


def test_columns_said_are_read_kept_and_used_by_the_next_lesson(odd, tmp_path):
    looked = look_at_pressure_table(tmp_path, odd, SAID)
    assert [column.role for column in looked.columns] == ["time", "x", "y", "lead_force", "trail_force"]
    assert looked.record.xy_cm.tolist() == [pytest.approx([-1.25, 2.05]), pytest.approx([-1.26, 2.06])]
    assert looked.record.force_n.tolist() == [610, 620]
    keep_mapping(tmp_path, "bay mat", looked.mapping, PRESSURE_TABLE)
    assert list_mappings(tmp_path, PRESSURE_TABLE) == ("bay mat",)
    assert list_mappings(tmp_path) == ()  # no shot table is tried with it
    record = PressureTables(tmp_path, date(2026, 3, 14), Handedness.LEFT).read(odd)
    assert record.xy_cm[0] == pytest.approx([-1.25, 2.05])
    assert record.lead_force_n.tolist() == [300, 300]
    assert "your mapping 'bay mat'" in record.notes[0]
    folder = tmp_path / "shots"
    folder.mkdir()
    for i in (1, 2):
        (folder / f"swing {i}.csv").write_text(ODD.replace("10:00", f"10:0{i}"), encoding="utf-8")
    (folder / "Thumbs.db").write_bytes(b"nothing")
    notes = PressureTables(tmp_path, date(2026, 3, 14), Handedness.LEFT).read(folder).notes
    assert "shots is read with your mapping 'bay mat'" in notes
    assert "passed over, no table: Thumbs.db" in notes
    named = PressureTables(tmp_path, date(2026, 3, 14), Handedness.LEFT, Path("bay mat")).read(odd)
    assert named.force_n.tolist() == [610, 620]


def test_what_nobody_said_is_shown_as_it_stands(odd, tmp_path):
    looked = look_at_pressure_table(tmp_path, odd, TableWishes())
    assert looked.record is None
    assert "expected columns for time, x and y" in looked.refusal
    assert looked.columns[1].samples == ("12,5", "12,6")
    assert not is_pressure_table(odd, tmp_path)
    assert is_pressure_table(SAMPLE / "pressure.csv", tmp_path)
    assert not is_pressure_table(SAMPLE / "shots.csv", tmp_path)


def test_a_grid_is_counted(tmp_path):
    path = tmp_path / "grid.csv"
    path.write_text("time,r1 c1,r1 c2,r2 c1,r2 c2\n0,1,3,0,0\n0.1,0,0,1,1\n")
    assert "how large one is" in look_at_pressure_table(tmp_path, path, TableWishes()).refusal
    looked = look_at_pressure_table(tmp_path, path, TableWishes(), (1.0, 2.0))
    assert looked.n_cells == 4
    assert looked.record.xy_cm.tolist() == [[0.75, 0.0], [0.5, 2.0]]
    keep_mapping(tmp_path, "grid", looked.mapping, PRESSURE_TABLE)
    record = PressureTables(tmp_path, date(2026, 3, 14), Handedness.RIGHT).read(path)
    assert record.xy_cm.tolist() == [[0.75, 0.0], [0.5, 2.0]]
    plain = tmp_path / "plain.csv"
    plain.write_text("time,x,y\n0,1,3\n0.1,0,0\n")
    assert not any(
        "your mapping" in note
        for note in PressureTables(tmp_path, date(2026, 3, 14), Handedness.RIGHT).read(plain).notes
    )
    with pytest.raises(BadInputError, match="cell_cm must be above 0"):
        look_at_pressure_table(tmp_path, path, TableWishes(), (-1.0, 2.0))


@pytest.mark.parametrize(
    ("columns", "flipped", "reason"),
    [
        (("When=banana",), (), "found 'banana'. Known: time, date, x, y"),
        (("When",), (), "expects HEADER=WHAT"),
        (("Nowhere=x",), (), "has no column 'Nowhere'"),
        ((), ("When",), "expected the column of x or y"),
        (("Across (mm)=x kg",), (), "found 'x kg'"),
    ],
)
def test_what_is_said_wrongly_is_refused(odd, tmp_path, columns, flipped, reason):
    with pytest.raises(BadInputError, match=reason):
        look_at_pressure_table(tmp_path, odd, TableWishes(columns, flipped))


def test_plain_german_is_read(tmp_path):
    path = tmp_path / "deutsch.csv"
    head = "Uhrzeit;Schlag;x Richtung Ziel [mm];y Richtung Zehen [mm];linker Fuß [N];rechter Fuß [N]"
    path.write_text(f"{head}\n10:00:00,00;1;12,5;20,5;300;310\n10:00:00,01;1;12,6;20,6;300;310\n", encoding="utf-8")
    looked = look_at_pressure_table(tmp_path, path, TableWishes())
    assert [column.role for column in looked.columns] == ["time", "shot", "x", "y", "left_force", "right_force"]
    assert looked.record.force_n[0] == 610
