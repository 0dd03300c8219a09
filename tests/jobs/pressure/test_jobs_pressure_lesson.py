"""Pressure of a lesson: mat and numbers kept, beside the truth of the sample lesson; what is refused is told."""

import json
import re
from dataclasses import replace
from datetime import datetime
from pathlib import Path

import numpy as np
import pytest

from review.cli import pressure_command
from review.cli.main import main
from review.errors import BadInputError
from review.jobs.adding import add_lesson
from review.jobs.lesson_file import read_lesson_file
from review.jobs.marks import set_mark
from review.jobs.pressure.ground_shown import show_ground
from review.jobs.pressure.handing_out import draw_pressure_for_page
from review.jobs.pressure.mats import find_mat, load_mat, parse_mat
from review.jobs.pressure.measuring import keep_pressure, read_lesson_pressure
from review.jobs.pressure.report import group_by_batch, picture_pressure, tell_batch
from review.jobs.pressure.tables import PressureTables
from review.lesson import Handedness, KeyFrame, Measure
from review.library import Library
from review.pressure import say_patterns, tell_pattern

SAMPLE = Path(__file__).parents[3] / "sample_clips"
TRUTH = json.loads((SAMPLE / "truth.json").read_text(encoding="utf-8"))
TRUTH_TOP_S = -0.268
"""The moment of the truth's pressure at the top: the swing model's own top, about 20 ms after the hands reverse
(docs/pressure.md)."""
CLIPS = {Path(clip["file"]).name: clip for clip in TRUTH["clips"]}


@pytest.fixture(scope="module")
def lesson_folder(tmp_path_factory):
    """The sample lesson with the true key frames put in the place of found ones, which takes seconds, not minutes."""
    folder = tmp_path_factory.mktemp("pressure") / "library"
    with Library.open(folder) as library:
        lesson = add_lesson(library, read_lesson_file(SAMPLE / "lesson.toml")).lesson
        for swing in library.swings(lesson.id):
            for clip in swing.clips:
                times = dict(CLIPS[clip.original_name]["key_frames_s"])
                times["arm level"] = times["impact"] - 0.08
                library.set_key_frames(clip.id, [KeyFrame(n, t, round(60 * t), 1.0, "pose") for n, t in times.items()])
            foot = (
                Measure("heel_off_ms", 90.0),
                Measure("trail_foot_slip_cm", float("nan"), why_missing="it was hidden"),
            )
            library.set_measures(swing.id, foot, "pose")
    return folder


@pytest.fixture
def kept(lesson_folder):
    with Library.open(lesson_folder) as library:
        lesson = library.lessons()[0]
        yield library, lesson, keep_pressure(library, lesson)


def shot_of(swing):
    return next(s for s in TRUTH["shots"] if any(Path(c).name == swing.clips[0].original_name for c in s["clips"]))


def test_the_mat_of_the_lesson_file_is_kept(kept):
    library, lesson, read = kept
    mat = load_mat(library, lesson.id)
    assert mat == read.mat
    assert mat.placement.angle_deg == pytest.approx(TRUTH["pressure_mat"]["rotation_deg"], abs=1.0)
    assert mat.placement.stance_cm == 43.5
    assert not mat.placement.is_approximate
    assert (mat.lead_flare_deg, mat.trail_flare_deg) == (20, 8)


def test_numbers_at_the_true_time_are_the_truths(kept):
    """Without landmarks the trace is off in time; put right, position and peak are those of the truth."""
    library, lesson, read = kept
    off = {"top": [], "impact": []}
    moments_s = {"top": TRUTH_TOP_S, "impact": 0.0}
    for one in read.swings:
        true = shot_of(one.swing)
        struck = datetime.fromisoformat(f"2026-03-14T{true['impact_device_clock']}")
        late_s = (struck - one.swing.trace.started_at).total_seconds() - one.placed.impact_s
        assert abs(late_s) < 2 * one.placed.sd_s
        for name, values in off.items():
            x = one.path.at(moments_s[name] + late_s)[0]
            values.append((x - true["pressure"][name]["x_cm"]) / 0.435)
    assert len(off["top"]) == 15
    for values in off.values():
        assert np.median(np.abs(values)) < 1.0  # % of the stance; 2 asked for
        assert np.abs(values).max() < 3.0


def test_measures_are_kept_and_follow_the_coachs_marks(kept, lesson_folder):
    library, lesson, read = kept
    one = read.swings[0]
    clip = one.swing.clips[0]
    key = ("pressure_position_pct", "top")
    before = {(m.name, m.key_frame): m for m in library.measures(lesson.id)[one.swing.id]}[key]
    top_s = next(k.time_s for k in library.key_frames(clip.id) if k.name == "top")
    set_mark(lesson_folder, lesson.id, clip.id, "top", KeyFrame("top", top_s + 0.1, 1, 1.0, "coach"))
    after = {(m.name, m.key_frame): m for m in library.measures(lesson.id)[one.swing.id]}[key]
    assert after.value != before.value
    set_mark(lesson_folder, lesson.id, clip.id, "top", KeyFrame("top", top_s, 1, 1.0, "pose"))
    again = {(m.name, m.key_frame): m for m in library.measures(lesson.id)[one.swing.id]}[key]
    assert again.value == pytest.approx(before.value)


@pytest.mark.parametrize("text", ["text of the mat", "[]", "{}", '{"flares": [1, 2], "origin_cm": 3}'])
def test_a_kept_text_that_is_no_mat_is_none(kept, text):
    """As it may come with the archive of a lesson."""
    library, lesson, _ = kept
    good = library.pressure_mat(lesson.id)
    library.set_pressure_mat(lesson.id, text)
    assert load_mat(library, lesson.id) is None
    library.set_pressure_mat(lesson.id, good)


def test_a_lesson_without_a_mat_says_so(kept):
    library, lesson, _ = kept
    plan = read_lesson_file(SAMPLE / "lesson.toml").mat
    read = PressureTables(SAMPLE, lesson.held_on, Handedness.RIGHT).read
    wrong = replace(plan, steps=(plan.steps[1], plan.steps[0], plan.steps[0]))
    with pytest.raises(BadInputError, match="move of 2.5 cm or more"):
        find_mat(replace(wrong, steps=(plan.steps[0], plan.steps[1], plan.steps[0])), lesson.held_on, read)
    edge = find_mat(replace(plan, calibration=None, edge_deg=4.0), lesson.held_on, read)
    assert edge.placement.angle_deg == 4.0
    assert edge.placement.is_approximate


@pytest.mark.parametrize(
    ("table", "reason"),
    [
        ({"stance": 40}, "names 'stance'"),
        ({"stance_width_cm": 400}, "expected 5 to 150, found 400"),
        ({"stance_width_cm": "wide"}, "expected a number, found 'wide'"),
        ({"stand_still_from": "10:10:00"}, "lacks stand_still_to"),
        ({"edge_deg": float("nan")}, "expected a number, found nan"),
        ({"mirrored": "no"}, "expected true or false, found 'no'"),
        ({"first_sample_at": "10.10.33"}, 'expected a time such as "10:12:05.68", found'),
        ({"first_sample_at": "10:10:33+01:00"}, "expected a time such as"),
        ({"cell_width_cm": 0, "cell_depth_cm": 2}, "expected more than 0 and up to 10, found 0 and 2"),
        ({"lead_foot_flare_deg": 95}, "expected -30 to 70, found 95"),
    ],
)
def test_a_mat_that_cannot_be_read_is_refused(table, reason):
    with pytest.raises(BadInputError, match=reason):
        parse_mat(table, None)


def test_batches_are_grouped_and_told(kept):
    _, lesson, read = kept
    assert [(batch.number, len(swings)) for batch, swings in group_by_batch(lesson, read)] == [(1, 6), (2, 3), (3, 6)]
    told = {tell_batch(swings) for _, swings in group_by_batch(lesson, read)}
    assert told == {"the moment of impact is known to 0.15 s only"}  # no landmarks here, so by the fastest move


def test_the_command_prints_writes_and_draws(lesson_folder, tmp_path, capsys):
    to = tmp_path / "out.json"
    asked = ["pressure", "last", "--library", str(lesson_folder), "--json", str(to), "--pictures", str(tmp_path)]
    assert main(asked) == 0
    said = capsys.readouterr().out
    assert "Mat turned by 3.7°; stance 43.5 cm. 15 traces read." in said
    assert "Swing 8: no clip." in said
    assert "Trail foot in the pictures, means: heel off 90 ms before impact." in said
    assert said.count("No trail-foot slip: it was hidden.") == 1
    assert len(re.findall(r"^  mean +~?\d+ ±\d+ +- +- ", said, re.MULTILINE)) == 3  # impact by the fastest move
    assert "slip" not in said.partition("The trail foot in the pictures.")[2].splitlines()[2]
    assert max(map(len, said.splitlines()[:-1])) <= 80  # no line is broken on a usual screen
    report = json.loads(to.read_text())
    assert len(report["swings"]) == 15
    assert {m["name"] for m in report["swings"][0]["measures"]} >= {"pressure_position_pct", "pressure_return_cm"}
    assert [(m["name"], m["value"], m["why_missing"]) for m in report["swings"][0]["trail_foot"]] == [
        ("trail_foot_slip_cm", None, "it was hidden"),
        ("heel_off_ms", 90.0, ""),
    ]
    assert report["batches"][2]["trail_foot_means"] == [
        {"name": "heel_off_ms", "key_frame": "", "mean": 90.0, "unit": "ms", "swings": 6}
    ]
    assert report["batches"][2]["trail_foot_missing"] == {"trail_foot_slip_cm": "it was hidden"}
    assert (tmp_path / "pressure.png").read_bytes().startswith(b"\x89PNG")


def test_swings_of_no_batch_are_printed_too(lesson_folder, capsys, monkeypatch):
    monkeypatch.setattr(pressure_command, "group_by_batch", lambda lesson, read: group_by_batch(lesson, read)[:2])
    assert main(["pressure", "last", "--library", str(lesson_folder)]) == 0
    places = capsys.readouterr().out.partition("How far it has moved")[0]
    batches, _, others = places.partition("In no batch, or left out\n")
    numbers = [set(map(int, re.findall(r"^ +(\d+)[ *] ", part, re.MULTILINE))) for part in (batches, others)]
    assert numbers == [{1, 2, 3, 4, 5, 6, 7, 9, 11}, {12, 13, 14, 15, 16, 17}]


def test_compare_tells_both_batches_apart_and_draws_them(kept, lesson_folder, tmp_path, capsys):
    asked = [
        "compare",
        "last",
        "--library",
        str(lesson_folder),
        "--pictures",
        str(tmp_path),
        "--json",
        str(tmp_path / "c"),
    ]
    assert main(asked) == 0
    heading = "Pressure before impact (described, not judged: good players do it either way)\n"
    _, _, said = capsys.readouterr().out.partition(heading)
    _, lesson, read = kept
    told = {
        batch.number: say_patterns([tell_pattern(one.measures) for one in swings])
        for batch, swings in group_by_batch(lesson, read)
    }
    assert said.splitlines()[:2] == [f"  First  {told[1]}", f"  Last   {told[3]}"]
    assert json.loads((tmp_path / "c").read_text())["pressure"] == {"first": told[1], "last": told[3]}
    assert {"down-1", "down-3"} <= set(re.findall(r'id="([a-z]+-\d)"', (tmp_path / "pressure.svg").read_text()))


def test_the_take_home_gets_the_ways_of_both_batches_without_a_name(kept):
    library, lesson, _ = kept
    pupil = library.pupil(lesson.pupil_id)
    ground = draw_pressure_for_page(library, lesson, pupil, (1, 3))
    for svg in (ground.picture.svg, ground.picture.svg_dark):
        assert {"down-1", "down-3"} <= set(re.findall(r'id="([a-z]+-\d)"', svg.decode()))
        assert pupil.name not in svg.decode()
        assert f"Batch 3, {lesson.batches[2].cue}" in svg.decode()
        sizes, width = (re.findall(p, svg.decode()) for p in (r"font-size: ([\d.]+)px", r'viewBox="0 0 ([\d.]+) '))
        assert min(map(float, sizes)) * 358 / float(width[0]) >= 14  # px on a page 390 px wide, without its margins
    assert ground.lines[0] == "Batch 1: the moment of impact is known to 0.15 s only."
    assert ground.lines[1] == "Its trail foot: heel off 90 ms before impact."
    assert draw_pressure_for_page(library, lesson, pupil, (1,)) is None


def test_a_mat_turned_round_is_doubted_and_nothing_told_toward_the_target(kept, lesson_folder, capsys):
    library, lesson, read = kept
    mat = load_mat(library, lesson.id)
    turned = replace(mat.placement, angle_deg=mat.placement.angle_deg + 180.0, is_mirrored=True)
    library.set_pressure_mat(lesson.id, replace(mat, placement=turned).to_text())
    try:
        doubted = keep_pressure(library, lesson)
        assert "away from the target on the way down in 15 of 15 swings" in doubted.doubt
        assert {tell_batch(swings) for _, swings in group_by_batch(lesson, doubted)} == {""}
        one = read_lesson_pressure(library, lesson, {read.swings[0].swing.id})  # which alone does not tell it
        ground = show_ground(lesson_folder, lesson.id)
        assert one.doubt == doubted.doubt == ground.doubt
        assert not ground.picture.is_placed
        assert ground.picture.stance_cm is None
        assert picture_pressure(lesson, library.pupil(lesson.pupil_id), doubted, {}).said[0] == doubted.doubt
        assert draw_pressure_for_page(library, lesson, library.pupil(lesson.pupil_id), (1, 3)) is None
        assert main(["compare", "last", "--library", str(lesson_folder), "--all"]) == 0
        said = capsys.readouterr().out
        assert said.startswith(doubted.doubt)
        assert "Pressure before impact" not in said
        assert "not measured in the first batch: how the mat lies is doubtful" in said
    finally:
        library.set_pressure_mat(lesson.id, mat.to_text())
        assert keep_pressure(library, lesson).doubt == ""
