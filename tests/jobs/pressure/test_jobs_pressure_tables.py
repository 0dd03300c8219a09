"""Pressure of a lesson from tables with a mat's own headers and from two force platforms, trace and steps alike."""

import csv
from dataclasses import replace
from datetime import datetime, time
from pathlib import Path

import numpy as np
import pytest

from review.jobs.adding import add_lesson
from review.jobs.lesson_file import read_lesson_file
from review.jobs.pressure.mats import load_mat
from review.library import Library
from tests.pressure.made_plates import write_plates

SAMPLE = Path(__file__).parents[3] / "sample_clips"
MAPPING = """
[columns]
"wann" = "time"
"quer" = "x"
"vor" = "y"
"Last" = "force"

[units]
"quer" = "mm"
"vor" = "mm"
"""


def retell(source, to, header="wann;quer;vor;Last"):
    """A table of the sample lesson as another mat would write it: millimetres, decimal commas, its own headers."""
    with source.open(encoding="utf-8") as file:
        rows = list(csv.reader(file))[1:]
    lines = [f"{t};{10 * float(x):.1f};{10 * float(y):.1f};{force}".replace(".", ",") for t, x, y, force in rows]
    to.write_text("\n".join([header, *lines]) + "\n", encoding="utf-8")


def add(tmp_path, **changes):
    plan = replace(read_lesson_file(SAMPLE / "lesson.toml"), clips=(), **changes)
    with Library.open(tmp_path / "library") as library:
        added = add_lesson(library, plan)
        return added, load_mat(library, added.lesson.id), [s.trace for s in library.swings(added.lesson.id) if s.trace]


def test_trace_and_steps_are_read_by_the_mats_mapping(tmp_path):
    plan = read_lesson_file(SAMPLE / "lesson.toml")
    for name in ("pressure", "pressure_calibration"):
        retell(SAMPLE / f"{name}.csv", tmp_path / f"{name}.csv")
    (tmp_path / "mat.toml").write_text(MAPPING, encoding="utf-8")
    added, mat, traces = add(
        tmp_path,
        pressure=tmp_path / "pressure.csv",
        pressure_mapping=tmp_path / "mat.toml",
        mat=replace(plan.mat, calibration=tmp_path / "pressure_calibration.csv"),
    )
    _, plain, as_written = add(tmp_path / "plain")
    assert not added.questions
    assert mat.placement.angle_deg == pytest.approx(plain.placement.angle_deg, abs=0.01)
    assert len(traces) == len(as_written) == 15
    for one, other in zip(traces, as_written, strict=True):
        assert one.xy_cm == pytest.approx(other.xy_cm, abs=0.01)


def test_two_platforms_under_the_feet_tell_the_lead_foots_share(tmp_path):
    """Steps and trace as C3D: the steps tell the target line, so which platform is the lead foot's."""
    plan = read_lesson_file(SAMPLE / "lesson.toml")
    step_s, n = 5.0, 15_000
    t = np.arange(n) / 1000
    part = np.interp(t, [0, step_s - 1, step_s, 2 * step_s - 1, 2 * step_s, 15], [0.5, 0.5, 0.9, 0.9, 0.5, 0.5])
    y_mm = np.interp(t, [0, 2 * step_s - 1, 2 * step_s, 15], [40.0, 40.0, 110.0, 110.0])
    middles = (-250.0, 0.0), (250.0, 0.0)
    loads = [
        (np.stack([np.full(n, x), y_mm]), 600 * share, np.zeros((2, n)))
        for x, share in ((-220.0, 1 - part), (220.0, part))
    ]
    write_plates(tmp_path / "steps.c3d", loads, middles)
    added, mat, traces = add(
        tmp_path,
        pressure=tmp_path / "steps.c3d",
        mat=replace(plan.mat, calibration=tmp_path / "steps.c3d", steps=None, first_sample_at=time(10, 12, 2)),
    )
    assert mat.placement.angle_deg == pytest.approx(0.0, abs=1.0)
    assert not added.questions
    trace = traces[0]  # of the row of 10:12:08, when the weight is on the lead foot
    at_s = (datetime(2026, 3, 14, 10, 12, 8) - trace.started_at).total_seconds()
    i = int(np.searchsorted(trace.time_s, at_s))
    assert trace.lead_force_n[i] / trace.force_n[i] == pytest.approx(0.9, abs=0.01)
