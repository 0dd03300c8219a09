"""Tables that come in pieces, grids of cells, a folder of files: the same numbers as from one plain table."""

from datetime import date, datetime, timedelta
from functools import partial

import numpy as np
import pytest

from review.errors import BadInputError
from review.pressure import read_trace_folder, read_trace_table
from review.pressure.reading import pieces as pieces_module

ON = date(2024, 10, 12)
START = datetime(2024, 10, 12, 23, 59, 58)
HEADER = "time,x [cm],y [cm],vertical force [N]\n"


def lines_of(n, rate_hz, begin=START, first=0):
    """A circle of 10 cm once a second, past midnight."""
    for i in range(first, first + n):
        t = i / rate_hz
        at = begin + timedelta(seconds=t)
        yield f"{at:%H:%M:%S.%f},{10 * np.cos(2 * np.pi * t):.4f},{10 * np.sin(2 * np.pi * t):.4f},{600 + i % 7}\n"


@pytest.fixture
def small_pieces(monkeypatch):
    monkeypatch.setattr(pieces_module, "_PIECE", 20_000)
    monkeypatch.setattr(pieces_module, "_IN_ONE", 40_000)


def test_pieces_and_one_table_are_the_same_at_a_usual_rate(tmp_path, monkeypatch):
    path = tmp_path / "p.csv"
    path.write_text(HEADER + "".join(lines_of(2000, 250)), encoding="utf-8")
    whole = read_trace_table(path, on_date=ON)
    monkeypatch.setattr(pieces_module, "_PIECE", 20_000)
    monkeypatch.setattr(pieces_module, "_IN_ONE", 40_000)
    cut = read_trace_table(path, on_date=ON)
    assert (cut.started_at, cut.sha256, cut.notes) == (whole.started_at, whole.sha256, whole.notes)
    for name in ("time_s", "xy_cm", "force_n"):
        assert np.array_equal(getattr(cut, name), getattr(whole, name))
    assert cut.time_s[-1] == pytest.approx(1999 / 250)  # past midnight


def test_at_2000_samples_a_second_neighbours_are_averaged(tmp_path, small_pieces):
    path = tmp_path / "p.csv"
    path.write_text(HEADER + "".join(lines_of(12_000, 2000)), encoding="utf-8")
    record = read_trace_table(path, on_date=ON)
    assert record.step_s == pytest.approx(0.004)
    angle = 2 * np.pi * record.time_s
    # 4 ms of the circle are averaged: closed form, 10 cm x (1 - sinc^2-like loss of (2 pi 0.004)^2 / 24)
    assert record.xy_cm == pytest.approx(10 * np.column_stack([np.cos(angle), np.sin(angle)]), abs=0.001)
    assert any("12000 samples were averaged to" in note for note in record.notes)


def test_a_fault_deep_in_a_long_table_names_its_line(tmp_path, small_pieces):
    rows = list(lines_of(3000, 250))
    rows[2500] = rows[2400]
    path = tmp_path / "p.csv"
    path.write_text(HEADER + "".join(rows), encoding="utf-8")
    with pytest.raises(BadInputError, match="line 2502, column 'time': expected times that increase"):
        read_trace_table(path, on_date=ON)


def test_a_header_that_stands_again_is_passed_over(tmp_path):
    rows = list(lines_of(20, 100))
    path = tmp_path / "p.csv"
    path.write_text(HEADER + "".join(rows[:10]) + HEADER + "".join(rows[10:]), encoding="utf-8")
    record = read_trace_table(path, on_date=ON)
    assert len(record.time_s) == 20
    assert record.notes[-1] == "the header stands again in line 12: the recording was begun anew there"


@pytest.mark.parametrize(("unit", "to_n"), [("N", 1.0), ("kPa", 1e3 * 0.02 * 0.03), ("", None)])
def test_a_grid_of_cells_gives_the_centre_and_the_total(tmp_path, unit, to_n):
    n_rows, n_columns = 3, 4
    names = [f"r{r} c{c}" + (f" [{unit}]" if unit else "") for r in range(1, 4) for c in range(1, 5)]
    values = np.random.default_rng(2).uniform(0, 9, (6, n_rows * n_columns)).round(2)
    lines = ["time [s]," + ",".join(names)]
    lines += [f"{i / 100:.2f}," + ",".join(map(str, row)) for i, row in enumerate(values)]
    path = tmp_path / "grid.csv"
    path.write_text("\n".join(lines), encoding="utf-8")
    record = read_trace_table(path, started_at=START, cell_cm=(2.0, 3.0))
    grid = values.reshape(6, n_rows, n_columns)
    x = (grid.sum(axis=1) * 2.0 * np.arange(n_columns)).sum(axis=1) / values.sum(axis=1)
    y = (grid.sum(axis=2) * 3.0 * np.arange(n_rows)).sum(axis=1) / values.sum(axis=1)
    assert record.xy_cm == pytest.approx(np.column_stack([x, y]))
    if to_n is None:
        assert record.force_n is None
    else:
        assert record.force_n == pytest.approx(values.sum(axis=1) * to_n)


def test_a_grid_whose_cells_nobody_measured_is_refused(tmp_path):
    path = tmp_path / "grid.csv"
    path.write_text("time [s],r1 c1,r1 c2,r2 c1,r2 c2\n0,1,1,1,1\n0.01,1,1,1,1\n", encoding="utf-8")
    with pytest.raises(BadInputError, match="grid of 4 cells was found; say how large one is: cell_width_cm"):
        read_trace_table(path, started_at=START)


def test_a_folder_of_one_file_for_each_shot(tmp_path):
    whole = tmp_path / "whole.csv"
    rows = list(lines_of(600, 100))
    whole.write_text(HEADER + "".join(rows[:200] + rows[400:]), encoding="utf-8")
    folder = tmp_path / "shots"
    folder.mkdir()
    (folder / "b.csv").write_text(HEADER + "".join(rows[:200]), encoding="utf-8")
    (folder / "a.csv").write_text(HEADER + "".join(f"2024-10-13T{row}" for row in rows[400:]), encoding="utf-8")
    read = partial(read_trace_table, on_date=ON)
    one, many = read(whole), read_trace_folder(folder, read)
    assert many.started_at == one.started_at
    assert many.time_s == pytest.approx(one.time_s)
    assert np.array_equal(many.xy_cm, one.xy_cm)
    (folder / "c.csv").write_text(HEADER + "".join(rows[100:300]), encoding="utf-8")
    with pytest.raises(BadInputError, match="c.csv: expected to begin after b.csv ends"):
        read_trace_folder(folder, read)
