"""A mat's table and its steps added to a lesson that is there, beside the truth of the sample lesson."""

import json
import shutil
from dataclasses import replace
from pathlib import Path

import pytest

from review.cli.main import main
from review.errors import BadInputError, Cancelled
from review.jobs.adding import add_lesson
from review.jobs.lesson_file import read_lesson_file
from review.jobs.pressure.adding import add_pressure, look_at_mat, plan_mat
from review.jobs.pressure.mats import load_mat
from review.lesson import KeyFrame
from review.library import Library

SAMPLE = Path(__file__).parents[3] / "sample_clips"
TRUTH = json.loads((SAMPLE / "truth.json").read_text(encoding="utf-8"))
TRACE, STEPS = SAMPLE / "pressure.csv", SAMPLE / "pressure_calibration.csv"


@pytest.fixture(scope="module")
def bare(tmp_path_factory):
    """The sample lesson without pressure, with the true key frames."""
    folder = tmp_path_factory.mktemp("bare") / "library"
    keys = {Path(clip["file"]).name: clip["key_frames_s"] for clip in TRUTH["clips"]}
    with Library.open(folder) as library:
        plan = replace(read_lesson_file(SAMPLE / "lesson.toml"), pressure=None, mat=None)
        lesson = add_lesson(library, plan).lesson
        for swing in library.swings(lesson.id):
            for clip in swing.clips:
                times = {**keys[clip.original_name], "arm level": keys[clip.original_name]["impact"] - 0.08}
                library.set_key_frames(clip.id, [KeyFrame(n, t, round(60 * t), 1.0, "pose") for n, t in times.items()])
    return folder, lesson.id


@pytest.fixture
def lesson(bare, tmp_path):
    return shutil.copytree(bare[0], tmp_path / "library"), bare[1]


def read_kept(folder, lesson_id):
    with Library.open(folder) as library:
        swings = library.swings(lesson_id)
        traces = [s.trace and (s.trace.id, s.trace.started_at, len(s.trace.time_s)) for s in swings]
        names = {m.name for found in library.measures(lesson_id).values() for m in found}
        return (
            load_mat(library, lesson_id),
            traces,
            "pressure_position_pct" in names,
            [replace(s, trace=None) for s in swings],
        )


def test_trace_and_steps_give_what_the_lesson_file_gives(lesson, tmp_path):
    before = read_kept(*lesson)
    added = add_pressure(*lesson, TRACE, plan_mat(STEPS, 43.5, (20, 8)))
    mat, traces, has_numbers, swings = read_kept(*lesson)
    assert mat.placement == added.mat.placement
    assert mat.placement.angle_deg == pytest.approx(TRUTH["pressure_mat"]["rotation_deg"], abs=1.0)
    assert (mat.placement.stance_cm, mat.lead_flare_deg, mat.trail_flare_deg) == (43.5, 20, 8)
    assert swings == before[3]  # pairs, batches, ids are as they were
    assert has_numbers
    assert len(added.read.swings) == 15
    with Library.open(tmp_path / "whole") as library:
        whole = add_lesson(library, read_lesson_file(SAMPLE / "lesson.toml")).lesson
        same = [s.trace and (s.trace.started_at, len(s.trace.time_s)) for s in library.swings(whole.id)]
    assert [trace and trace[1:] for trace in traces] == same
    assert added.n_new_traces == sum(trace is not None for trace in same)


def test_what_is_refused_or_stopped_leaves_what_is_there(lesson):
    add_pressure(*lesson, TRACE, plan_mat(STEPS, 43.5))
    before = read_kept(*lesson)
    with pytest.raises(BadInputError, match="three stretches held still"):
        add_pressure(*lesson, TRACE, plan_mat(TRACE))
    with pytest.raises(BadInputError, match="at the time of the lesson's swings"):
        add_pressure(*lesson, STEPS, plan_mat(None, edge_deg=30.0))

    def stop_late(done, total):
        if done == total:
            raise Cancelled("Stopped.")

    with pytest.raises(Cancelled):
        add_pressure(*lesson, TRACE, plan_mat(None, edge_deg=30.0), progress=stop_late)
    assert read_kept(*lesson) == before


def test_another_mat_takes_the_place_of_the_first_and_traces_stay(lesson):
    add_pressure(*lesson, TRACE, plan_mat(STEPS, 43.5))
    _, traces, _, _ = read_kept(*lesson)
    looked = look_at_mat(*lesson, None, plan_mat(None, 40.0, edge_deg=-86.0, is_mirrored=True))
    assert looked.has_mat
    assert looked.n_traces == sum(trace is not None for trace in traces)
    added = add_pressure(*lesson, None, plan_mat(None, 40.0, edge_deg=-86.0, is_mirrored=True))
    mat, now, has_numbers, _ = read_kept(*lesson)
    assert mat.placement == added.mat.placement == looked.mat.placement
    assert (mat.placement.angle_deg, mat.placement.is_mirrored, mat.placement.stance_cm) == (-86.0, True, 40.0)
    assert now == traces
    assert has_numbers


def test_looking_says_each_refusal_by_itself(lesson):
    looked = look_at_mat(*lesson, TRACE, plan_mat(TRACE))
    assert looked.record is not None
    assert "three stretches" in looked.mat_refusal
    assert "at the time of the lesson's swings" in look_at_mat(*lesson, STEPS, None).trace_refusal
    looked = look_at_mat(*lesson, SAMPLE / "shots.csv", plan_mat(STEPS))
    assert looked.mat is not None
    assert looked.trace_refusal


def test_the_command_adds_it_and_checks_numbers_as_a_lesson_file_does(lesson, capsys):
    asked = ["add", "--library", str(lesson[0]), "--pupil", "Ines Calder"]
    assert main([*asked, "--pressure-steps", str(STEPS), "--stance", "430"]) == 2
    assert "expected 5 to 150, found 430" in capsys.readouterr().err
    assert main([*asked, "--stance", "43"]) == 2
    assert "the table of the three steps" in " ".join(capsys.readouterr().err.split())
    assert main([*asked, "--pressure-steps", str(STEPS), "--stance", "43", "--flare", "20", "8"]) == 0
    assert "stance 43.0 cm" in capsys.readouterr().out
    assert read_kept(*lesson)[0].trail_flare_deg == 8
    assert main([*asked[:3], str(SAMPLE / "lesson.toml"), "--edge", "4"]) == 2
