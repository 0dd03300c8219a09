"""Numbers and points as other programs read them: pandas and pyarrow for the tables, ezc3d and the format's guide."""

import struct
from dataclasses import replace
from pathlib import Path

import ezc3d
import numpy as np
import pandas as pd
import pyarrow.parquet as pq
import pytest

from review.errors import BadInputError
from review.lesson import KINDS
from review.lesson.definitions import DEFINITIONS
from review.takehome.exports import COLUMNS, NumberRow, PointsOfClip, write_exports
from review.takehome.exports.c3d import write_c3d
from review.takehome.exports.dictionary import HEADS


def row(swing: int, measure: str, value: float | None, key_frame: str = "", **more: object) -> NumberRow:
    values: dict[str, object] = {
        "lesson": "l1",
        "pupil": "=cmd|' /C calc'!A0",
        "held_on": "2026-03-14",
        "swing": swing,
        "batch": 1,
        "kind": "shot",
        "left_out": "no",
        "table_row": None,
        "measure": measure,
        "key_frame": key_frame,
        "value": value,
        "unit": "deg",
        "low": None,
        "high": None,
        "own_sd": None,
        "shared_sd": None,
        "setup": None,
        "bound": "",
        "why_missing": "" if value is not None else "not seen",
        "source": "pose",
        "method": "body 4",
    }
    return NumberRow(**(values | more))  # type: ignore[arg-type]


ROWS = (
    row(1, "hip_turn_deg", 33.125, "impact", low=25.0, high=41.0, own_sd=3.0, shared_sd=4.0, setup=1),
    row(1, "club_path_deg", -4.5, source="device", method=""),
    row(2, "hip_turn_deg", None, "impact"),
)
WIDE = (["swing", "hip turn at impact [deg]"], [1.0, 33.125], [2.0, ""])


def points(time_s: np.ndarray) -> PointsOfClip:
    n = len(time_s)
    xyz = np.stack([1000.0 * time_s, np.zeros(n), 900.0 + 10.0 * time_s], axis=1)
    return PointsOfClip(
        file_name="swing-01-face-on.c3d",
        view="face-on",
        time_s=time_s,
        xyz_mm=np.stack([xyz, xyz + 100.0], axis=1),
        confidence=np.full((n, 2), 0.75),
        labels=("LEAD_HIP", "TRAIL_HIP"),
        descriptions=("lead hip", "trail hip"),
        events=(("address", float(time_s[0]) + 0.1, "pose"), ("impact", float(time_s[0]) + 0.5, "coach")),
        toward_target="+X",
        scale_relative_sd=0.05,
        model="full",
    )


def test_tables_say_the_same_as_csv_and_parquet(tmp_path: Path) -> None:
    names = write_exports(ROWS, WIDE, (), tmp_path / "out")
    assert names == ("dictionary.csv", "measures.csv", "measures.parquet", "swings.csv", "swings.parquet")
    csv = pd.read_csv(tmp_path / "out" / "measures.csv")
    parquet = pd.read_parquet(tmp_path / "out" / "measures.parquet")
    assert list(csv.columns) == list(parquet.columns) == [c.name for c in COLUMNS]
    for name in ("swing", "value", "low", "high", "own_sd", "shared_sd"):
        np.testing.assert_array_equal(csv[name].to_numpy(float), parquet[name].to_numpy(float))
    assert parquet["value"].tolist()[:2] == [33.125, -4.5]
    assert np.isnan(parquet["value"][2])
    assert (csv["pupil"] == "'=cmd|' /C calc'!A0").all()  # led by an apostrophe: no spreadsheet runs it


def test_parquet_columns_carry_unit_and_meaning(tmp_path: Path) -> None:
    write_exports(ROWS, WIDE, (), tmp_path / "out")
    wide = pq.read_table(tmp_path / "out" / "swings.parquet")
    field = wide.schema.field("hip turn at impact")
    assert field.metadata == {b"unit": b"deg", b"definition": DEFINITIONS["hip_turn_deg"].encode()}
    assert wide.column("hip turn at impact").to_pylist() == [33.125, None]
    assert wide.column("club path").to_pylist() == [-4.5, None]
    long = pq.read_schema(tmp_path / "out" / "measures.parquet")
    assert all(long.field(c.name).metadata[b"definition"].decode() == c.definition for c in COLUMNS)


def test_dictionary_has_every_column_and_number(tmp_path: Path) -> None:
    write_exports(ROWS, WIDE, (), tmp_path / "out")
    lines = pd.read_csv(tmp_path / "out" / "dictionary.csv", keep_default_na=False)
    assert tuple(lines.columns) == HEADS
    assert list(lines["name"]) == [c.name for c in COLUMNS] + ["hip_turn_deg", "club_path_deg"]
    hip = lines[lines["name"] == "hip_turn_deg"].iloc[0]
    assert (hip["unit"], hip["positive"], hip["negative"]) == ("deg", "open", "turned away")
    assert (hip["source"], hip["key_frames"]) == ("pose", "impact")


def test_every_kind_of_number_is_defined() -> None:
    assert set(DEFINITIONS) == set(KINDS)


def test_an_earlier_export_is_replaced_and_a_take_home_is_not(tmp_path: Path) -> None:
    to = tmp_path / "out"
    write_exports(ROWS, WIDE, (), to)
    write_exports(ROWS[:1], WIDE, (), to)
    assert len(pd.read_csv(to / "measures.csv")) == 1
    (to / ".take-home").write_text("take-home of a lesson; files:\nmeasures.csv\n", encoding="utf-8")
    with pytest.raises(BadInputError, match="earlier export"):
        write_exports(ROWS, WIDE, (), to)
    assert len(pd.read_csv(to / "measures.csv")) == 1


def test_c3d_reads_back_with_gaps_events_and_honesty(tmp_path: Path) -> None:
    made = points(np.arange(121) / 120.0 + 2.0)
    xyz = made.xyz_mm.copy()
    xyz[10:20, 1] = np.nan
    write_c3d(replace(made, xyz_mm=xyz), tmp_path / "a.c3d")
    read = ezc3d.c3d(str(tmp_path / "a.c3d"))
    parameters = read["parameters"]
    assert parameters["POINT"]["UNITS"]["value"] == ["mm"]
    assert parameters["POINT"]["RATE"]["value"][0] == pytest.approx(120.0, rel=1e-6)
    assert parameters["POINT"]["LABELS"]["value"] == ["LEAD_HIP", "TRAIL_HIP"]
    back = read["data"]["points"][:3].transpose(2, 1, 0)
    np.testing.assert_allclose(back[:, 0], xyz[:, 0], rtol=1e-6)
    residuals = read["data"]["meta_points"]["residuals"][0]
    assert (residuals[1, 10:20] == -1).all()
    assert (np.delete(residuals[1], range(10, 20)) == 0).all()
    assert (residuals[0] == 0).all()
    np.testing.assert_allclose(read["data"]["analogs"][0, 0], 0.75)
    np.testing.assert_allclose(read["data"]["analogs"][0, 1], np.where(residuals[1] < 0, 0.0, 0.75))
    events = parameters["EVENT"]
    assert events["USED"]["value"][0] == 2
    assert events["LABELS"]["value"] == ["address", "impact"]
    np.testing.assert_allclose(events["TIMES"]["value"], [[0.0, 0.0], [0.1, 0.5]], atol=1e-6)
    assert "guess" in parameters["VIDEO"]["HOW"]["value"][0]
    assert parameters["VIDEO"]["RESAMPLED"]["value"][0] == 0
    assert parameters["AXES"]["TARGET"]["value"] == ["+X"]


def test_c3d_keeps_the_formats_own_rules(tmp_path: Path) -> None:
    """Header words and required parameters as in the C3D user guide (c3d.org), read byte by byte."""
    write_c3d(points(np.arange(61) / 60.0), tmp_path / "a.c3d")
    data = (tmp_path / "a.c3d").read_bytes()
    assert data[1] == 0x50  # the format's key
    n_points, n_analog, first, last = struct.unpack_from("<4H", data, 2)
    assert (n_points, n_analog, last - first + 1) == (2, 2, 61)
    (scale,) = struct.unpack_from("<f", data, 12)
    assert scale < 0  # points are floating numbers
    (rate_hz,) = struct.unpack_from("<f", data, 20)
    assert rate_hz == pytest.approx(60.0, rel=1e-6)
    parameters = ezc3d.c3d(str(tmp_path / "a.c3d"))["parameters"]
    needed = {
        "POINT": ("USED", "SCALE", "RATE", "DATA_START", "FRAMES", "LABELS", "DESCRIPTIONS", "UNITS"),
        "ANALOG": ("USED", "LABELS", "DESCRIPTIONS", "GEN_SCALE", "SCALE", "OFFSET", "UNITS", "RATE"),
        "FORCE_PLATFORM": ("USED",),
    }
    for group, names in needed.items():
        assert set(names) <= set(parameters[group])
    assert parameters["POINT"]["USED"]["value"][0] == 2
    assert parameters["POINT"]["FRAMES"]["value"][0] == 61
    assert parameters["FORCE_PLATFORM"]["USED"]["value"][0] == 0


def test_uneven_video_is_laid_on_an_even_rate_and_says_so(tmp_path: Path) -> None:
    uneven_s = np.cumsum(np.tile([1 / 40.0, 1 / 120.0], 40))
    write_c3d(points(uneven_s), tmp_path / "a.c3d")
    read = ezc3d.c3d(str(tmp_path / "a.c3d"))
    assert read["parameters"]["VIDEO"]["RESAMPLED"]["value"][0] == 1
    rate_hz = read["parameters"]["POINT"]["RATE"]["value"][0]
    even_s = uneven_s[0] + np.arange(len(uneven_s)) / rate_hz
    # x moves at a metre a second, so it tells the time of each row
    np.testing.assert_allclose(read["data"]["points"][0, 0], 1000.0 * even_s, rtol=1e-4)
