"""Recordings of single shots without a clock: a column of the shot, or a folder of files, whose times begin anew."""

from datetime import date, datetime
from functools import partial

import numpy as np
import pytest

from review.errors import BadInputError
from review.lesson import Handedness
from review.pressure import ColumnMapping, PressureRecord, cut_shots, read_number, read_trace_folder, read_trace_table
from review.pressure.reading import pieces as pieces_module
from review.pressure.reading.shot_starts import number_files

ON = date(2024, 10, 12)
START = datetime(2024, 10, 12, 10)


def samples(shot, n=50, rate_hz=100.0, begin_s=0.0, say_time=lambda t: f"{t:.4f}"):
    """Lines whose x says the shot and whose y counts its samples."""
    return [f"{say_time(begin_s + i / rate_hz)},{shot},{i},{600 + shot}\n" for i in range(n)]


def write_column(path, shots, header="shot", name=str, **rest):
    lines = [f"{header},time [s],x [cm],y [cm],force [N]\n"]
    lines += [f"{name(shot)},{line}" for shot in shots for line in samples(shot, **rest)]
    path.write_text("".join(lines), encoding="utf-8")
    return path


def check(record, shots, n=50):
    assert record.started_at is None
    assert [shot.number for shot in record.shots] == list(shots)
    for piece, shot in zip(cut_shots(record), shots, strict=True):
        assert record.xy_cm[piece, 0].tolist() == [shot] * n
        assert record.xy_cm[piece, 1].tolist() == list(range(n))
        assert record.time_s[piece] - record.time_s[piece.start] == pytest.approx(np.arange(n) / 100, abs=1e-6)


@pytest.mark.parametrize("header", ["shot", "Swing No.", "trial", "stroke", "no.", "#"])
def test_a_column_of_the_shot_parts_recordings_whose_time_begins_anew(tmp_path, header):
    record = read_trace_table(write_column(tmp_path / "p.csv", (1, 2, 4), header))
    check(record, (1, 2, 4))
    assert not any("not used" in note or "clock" in note for note in record.notes)


def test_the_coachs_mapping_names_the_column(tmp_path):
    path = write_column(tmp_path / "p.csv", (3, 5), "which", name=lambda shot: f"Swing {shot:02}")
    check(read_trace_table(path, ColumnMapping(columns={"which": "shot"})), (3, 5))


def test_time_that_runs_on_is_parted_too_and_an_empty_cell_goes_on(tmp_path):
    lines = [f"{shot if i == 0 else ''},{line}" for shot in (1, 2) for i, line in enumerate(samples(shot, 50))]
    lines[50:] = [line.replace(",0.", ",20.", 1) for line in lines[50:]]
    path = tmp_path / "p.csv"
    path.write_text("shot,time [s],x [cm],y [cm],force [N]\n" + "".join(lines), encoding="utf-8")
    check(read_trace_table(path), (1, 2))


def test_cells_that_are_empty_before_the_first_name_are_of_its_shot(tmp_path):
    lines = [f"{1 if i == 20 else ''},{line}" for i, line in enumerate(samples(1))]
    lines += [f"{'' if i else 2},{line}" for i, line in enumerate(samples(2))]
    path = tmp_path / "p.csv"
    path.write_text("shot,time [s],x [cm],y [cm],force [N]\n" + "".join(lines), encoding="utf-8")
    check(read_trace_table(path), (1, 2))


def test_a_column_of_the_shot_that_is_empty_is_none_and_it_is_told(tmp_path):
    path = write_column(tmp_path / "p.csv", (1,), name=lambda shot: " ")
    for mapping in (None, ColumnMapping(columns={"shot": "shot"})):
        record = read_trace_table(path, mapping)
        assert (record.started_at, record.shots) == (None, ())
        assert "column 'shot' is empty and was not used" in record.notes
        assert any("times are seconds from an unknown start" in note for note in record.notes)
        assert not any("columns not used" in note for note in record.notes)


def test_times_of_day_that_begin_at_midnight_with_every_shot_are_no_clock(tmp_path):
    path = write_column(tmp_path / "p.csv", (1, 2, 3), say_time=lambda t: f"00:00:{t:05.2f}")
    check(read_trace_table(path, on_date=ON), (1, 2, 3))


def test_a_column_of_the_shot_beside_a_clock_is_accepted(tmp_path):
    lines = [f"1,{line}" for line in samples(1, say_time=lambda t: f"10:00:{t:05.2f}")]
    lines += [f"2,{line}" for line in samples(2, say_time=lambda t: f"10:01:{t:05.2f}")]
    path = tmp_path / "p.csv"
    path.write_text("shot,time,x [cm],y [cm],force [N]\n" + "".join(lines), encoding="utf-8")
    record = read_trace_table(path, on_date=ON)
    assert (record.started_at, record.shots, record.notes) == (START, (), ())
    given = read_trace_table(write_column(tmp_path / "q.csv", (1,)), started_at=START)
    assert (given.started_at, given.shots) == (START, ())


def test_a_column_that_counts_samples_is_none_of_shots(tmp_path):
    lines = [f"{i},{line}" for i, line in enumerate(samples(7))]
    path = tmp_path / "p.csv"
    path.write_text("no.,time [s],x [cm],y [cm],force [N]\n" + "".join(lines), encoding="utf-8")
    record = read_trace_table(path)
    assert record.shots == ()
    assert "columns not used: no." in record.notes


def test_time_that_goes_back_within_a_shot_or_without_its_column_is_refused(tmp_path):
    path = write_column(tmp_path / "p.csv", (1, 2))
    text = path.read_text(encoding="utf-8")
    path.write_text(text + f"2,{samples(2, 1)[0]}", encoding="utf-8")
    with pytest.raises(BadInputError, match="line 102, column 'time .s.': expected seconds that increase"):
        read_trace_table(path)
    path.write_text(text.replace("shot", "ball bag", 1), encoding="utf-8")
    with pytest.raises(BadInputError, match="line 52, column 'time .s.': expected seconds that increase"):
        read_trace_table(path)


def test_a_long_table_at_2000_samples_a_second_is_parted_alike(tmp_path, monkeypatch):
    monkeypatch.setattr(pieces_module, "_PIECE", 20_000)
    monkeypatch.setattr(pieces_module, "_IN_ONE", 40_000)
    record = read_trace_table(write_column(tmp_path / "p.csv", (1, 2, 3), n=2001, rate_hz=2000.0))
    assert [shot.number for shot in record.shots] == [1, 2, 3]
    for piece, shot in zip(cut_shots(record), (1, 2, 3), strict=True):
        assert set(record.xy_cm[piece, 0].tolist()) == {shot}
        took_s = record.time_s[piece][-1] - record.time_s[piece][0]
        assert took_s == pytest.approx(1.0, abs=0.02)
        assert len(record.time_s[piece]) == pytest.approx(250, abs=6)  # neighbours are averaged, 250 a second


def test_the_lead_foot_of_a_left_hander(tmp_path):
    lines = [f"{shot},{i / 100},1,2,200,500\n" for shot in (1, 2) for i in range(20)]
    path = tmp_path / "p.csv"
    path.write_text("shot,time,x [cm],y [cm],left foot [N],right foot [N]\n" + "".join(lines), encoding="utf-8")
    record = read_trace_table(path, handedness=Handedness.LEFT)
    assert [record.lead_force_n[piece].tolist() for piece in cut_shots(record)] == [[500.0] * 20] * 2


@pytest.mark.parametrize(("text", "number"), [("7", 7), ("7.0", 7), ("Swing 07", 7), ("x", None), ("3 of 9", None)])
def test_the_number_in_a_cell(text, number):
    assert read_number(text) == number


@pytest.mark.parametrize(
    ("names", "told"),
    [
        (["shot_10", "shot_2", "shot_1"], [(1, 2), (2, 1), (10, 0)]),
        (["2026-03-14 trace 2", "2026-03-14 trace 1"], [(1, 1), (2, 0)]),
        (["2026-03-14_10-12-08", "2026-03-14_10-11-59"], [(101159, 1), (101208, 0)]),
        (["mat2 no 4 (6-iron)", "mat2 no 3 (6-iron)"], [(3, 1), (4, 0)]),
        (["6-iron 01", "driver 02"], [(1, 0), (2, 1)]),
        (["b", "a", "C"], [(None, 1), (None, 0), (None, 2)]),
    ],
)
def test_the_numbers_in_the_names_of_files(names, told):
    assert number_files(names, "folder") == told


@pytest.mark.parametrize("names", [["7-iron 2", "9-iron 1"], ["shot 1", "shot 1 (2)"], ["shot 1", "warm-up"]])
def test_names_that_do_not_tell_the_order_are_refused(names):
    with pytest.raises(BadInputError, match="folder: expected file names with one number that counts the shots"):
        number_files(names, "folder")


@pytest.mark.parametrize("say_time", [lambda t: f"{t:.2f}", lambda t: f"00:00:{t:05.2f}"])
def test_a_folder_of_files_without_a_clock(tmp_path, say_time):
    for shot in (2, 10, 9):
        text = "time,x [cm],y [cm],force [N]\n" + "".join(samples(shot, say_time=say_time))
        (tmp_path / f"swing {shot}.csv").write_text(text, encoding="utf-8")
    read = partial(read_trace_table, on_date=ON)
    record = read_trace_folder(tmp_path, read)
    check(record, (2, 9, 10))
    assert [shot.name for shot in record.shots] == ["swing 2.csv", "swing 9.csv", "swing 10.csv"]
    assert record.notes == ("3 files were put together in the order of their numbers",)
    lines = samples(11, say_time=lambda t: f"10:00:{t:05.2f}")
    (tmp_path / "swing 11.csv").write_text("time,x [cm],y [cm],force [N]\n" + "".join(lines), encoding="utf-8")
    if say_time(0.0) == "0.00":
        with pytest.raises(
            BadInputError, match=r"swing 10.csv: expected the clock of its samples, as 1 of 4 files have"
        ):
            read_trace_folder(tmp_path, read)


def test_files_that_name_their_shot_in_a_column_go_by_it(tmp_path):
    for name, shot in (("b", 1), ("a", 2)):
        write_column(tmp_path / f"{name}.csv", (shot,))
    check(read_trace_folder(tmp_path, read_trace_table), (1, 2))


def test_force_platforms_a_file_a_shot_go_by_the_same_rule(tmp_path):
    """What a C3D file gives is a record without a clock."""
    for shot in (2, 1):
        (tmp_path / f"{shot}.c3d").touch()

    def read(path):
        shot, at = int(path.stem), np.arange(50)
        xy = np.column_stack([np.full(50, shot), at]).astype(float)
        return PressureRecord(path.name, path.stem * 64, None, at / 100, xy, np.full(50, 600.0))

    check(read_trace_folder(tmp_path, read), (1, 2))
