"""Holds as the coach writes them, the player set-up's own file, and the check itself on rendered landmarks."""

import json
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from review.body import SeenSwing, assume_direction, measure_body
from review.cli.main import main
from review.errors import BadInputError
from review.jobs.measuring import accuracy
from review.jobs.measuring.accuracy import check_accuracy
from review.jobs.measuring.player_choice import PlayerChoice, choose_correction
from review.jobs.measuring.player_files import (
    name_response,
    read_holds_file,
    read_player_setup,
    write_player_setup,
)
from review.lesson import Handedness, View
from review.media import probe_video
from review.pose import Effort, LandmarkTrack, mirror_track
from review.swing import find_key_frames

ROOT = Path(__file__).parents[3]
CLIP = ROOT / "sample_clips" / "clips" / "20260314_101518.mp4"  # 2.8 s
GOOD = """
[[hold]]
from_s = 0.0
to_s = 0.6
hip_turn_deg = 0
[[hold]]
from_s = 0.7
to_s = 1.3
hip_turn_deg = -30
shoulder_turn_deg = -45.5
[[hold]]
from_s = 1.4
to_s = 2.0
hip_turn_deg = 30
"""


def write(tmp_path, text):
    path = tmp_path / "holds.toml"
    path.write_text(text, encoding="utf-8")
    return path


def test_holds_are_read_in_order_of_time(tmp_path):
    blocks = GOOD.split("[[hold]]")[1:]
    text = "".join("[[hold]]" + block for block in reversed(blocks))
    got = read_holds_file(write(tmp_path, text))
    assert [hold.from_s for hold in got] == [0.0, 0.7, 1.4]
    assert (got[1].hip_turn_deg, got[1].shoulder_turn_deg) == (-30.0, -45.5)
    assert got[0].shoulder_turn_deg is None


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "names no holds"),
        ("hold = 3", "names no holds"),
        (GOOD.split("[[hold]]")[1].join(["[[hold]]", ""]), "names 1 holds"),
        (GOOD.replace("to_s = 1.3", "to_s = 1.5"), "overlap"),
        (GOOD.replace("to_s = 1.3", "to_s = 0.1"), "hold 2: a hold runs"),
        (
            GOOD.replace("to_s = 1.3", "to_s = 0.81"),
            r"holds.toml, hold 2: 0\.11 s is too short; hold each .* 2 seconds",
        ),
        (GOOD.replace("-30", '"left"'), "hold 2: hip_turn_deg must be a number"),
        (GOOD.replace("-30", "true"), "must be a number"),
        (GOOD.replace("-30", "-170"), "within 120"),
        (GOOD.replace("shoulder_turn_deg", "chest_turn_deg"), "chest_turn_deg is not known"),
        (GOOD.replace("from_s = 1.4\n", ""), "hold 3: from_s and to_s"),
        ("[[hold]", "not a valid TOML"),
    ],
)
def test_files_that_cannot_be_used_say_where_and_why(tmp_path, text, words):
    with pytest.raises(BadInputError, match=words):
        read_holds_file(write(tmp_path, text))


@pytest.fixture(scope="module")
def rendered():
    with np.load(ROOT / "tests" / "data" / "rendered_holds.npz") as data:
        return dict(data)


@pytest.fixture
def filmed(monkeypatch, rendered):
    """The rendered holds as if found in the sample clip at half speed, 0.6 s each; returns their true marks."""
    width, height = (int(v) for v in rendered["size_px"])
    number = rendered["hold_of"]
    time_s = np.concatenate([0.6 * i + np.arange(4) * 0.15 for i in range(8)])
    image, world = (rendered[f"hold_{name}"].astype(float) for name in ("image_px", "world_m"))
    track = LandmarkTrack(time_s, image, world, np.ones((32, 33)), width, height, "full", "tracked")
    info = probe_video(CLIP)
    monkeypatch.setattr(accuracy, "probe_video", lambda path: replace(info, time_s=2.0 * info.time_s))
    monkeypatch.setattr(accuracy, "_track_holds", lambda info, holds, effort, progress: track)
    hips, shoulders = rendered["hold_hip_turn_deg"], rendered["hold_shoulder_turn_deg"]
    return [(float(hips[number == i].mean()), float(shoulders[number == i].mean())) for i in range(8)]


def holds_text(marks, from_first=True, sign=1.0):
    (hip_0, shoulder_0) = marks[0] if from_first else (0.0, 0.0)
    return "".join(
        f"[[hold]]\nfrom_s = {0.6 * i}\nto_s = {0.6 * i + 0.5}\nhip_turn_deg = {sign * (hip - hip_0)}\n"
        f"shoulder_turn_deg = {sign * (shoulder - shoulder_0)}\n"
        for i, (hip, shoulder) in enumerate(marks)
    )


def check(tmp_path, text, handedness=Handedness.RIGHT):
    return check_accuracy(CLIP, read_holds_file(write(tmp_path, text)), handedness, None, Effort.QUICK)


def test_the_check_tells_error_and_interval(tmp_path, filmed):
    got = check(tmp_path, holds_text(filmed))
    assert got.setup.view is View.FACE_ON
    hips = got.lines["hip"]
    assert len(hips.errors_deg) == 7
    marked = [reading.marked_deg for _, reading in hips.readings]
    assert marked == pytest.approx([hip - filmed[0][0] for hip, _ in filmed[1:]])
    off = [abs(reading.read_deg - mark) for (_, reading), mark in zip(hips.readings, marked, strict=True)]
    assert hips.median_deg == pytest.approx(np.median(off))
    assert hips.worst_deg == pytest.approx(max(off))
    assert hips.median_deg < 20.0
    assert hips.n_inside >= 4


def test_the_file_comes_back_as_it_was(tmp_path, filmed):
    setup = check(tmp_path, holds_text(filmed)).setup
    unrest = replace(setup.readings["hip"][0], read_deg=float("nan"), problem="the body moved")
    setup = replace(setup, readings={**setup.readings, "hip": (unrest, *setup.readings["hip"][1:])})
    write_player_setup(setup, tmp_path / "player.json")
    text = (tmp_path / "player.json").read_text(encoding="utf-8")
    assert "NaN" not in text
    got = read_player_setup(tmp_path / "player.json")
    assert got.readings["hip"][1:] == setup.readings["hip"][1:]
    assert got.readings["hip"][0].problem == "the body moved"
    assert got.name == "player.json"
    assert (got.model, got.view, got.handedness, got.size_px) == ("full", View.FACE_ON, Handedness.RIGHT, (540, 960))
    at = np.array([(-30.0, -60.0), (20.0, 5.0)])
    for line in ("hip", "shoulder"):
        kept, made = got.correction().lines[line], setup.correction().lines[line]
        np.testing.assert_allclose(kept.shift_deg(at), made.shift_deg(at))


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (lambda d: d.update(kind="lesson"), "is no player set-up"),
        (lambda d: d.update(schema=99), "version 99"),
        (lambda d: d.update(view="above"), "damaged"),
        (lambda d: d["readings"].pop("hip"), "damaged"),
        (lambda d: d["readings"]["hip"][0].pop("read_deg"), "damaged"),
    ],
)
def test_other_files_are_refused(tmp_path, filmed, change, words):
    path = tmp_path / "player.json"
    write_player_setup(check(tmp_path, holds_text(filmed)).setup, path)
    data = json.loads(path.read_text(encoding="utf-8"))
    change(data)
    path.write_text(json.dumps(data), encoding="utf-8")
    with pytest.raises(BadInputError, match=words):
        read_player_setup(path)


def test_missing_and_foreign_files_are_told(tmp_path):
    with pytest.raises(BadInputError, match="no file"):
        read_player_setup(tmp_path / "none.json")
    with pytest.raises(BadInputError, match="check-accuracy"):
        read_player_setup(write(tmp_path, "hello"))


def test_a_set_up_is_used_only_where_it_was_made(tmp_path, filmed, face_on):
    setup = replace(
        check(tmp_path, holds_text(filmed)).setup,
        size_px=(face_on.track.width_px, face_on.track.height_px),
        name="ines.json",
    )
    track, right = face_on.track, Handedness.RIGHT
    assert setup.response == name_response("full")
    chosen = choose_correction([setup], track, View.FACE_ON, right)
    assert chosen.correction is not None
    assert (chosen.used, chosen.refused, chosen.note) == ("ines.json", frozenset(), "")
    for other, words in (
        (replace(setup, model="heavy"), "made face-on, right-handed, thorough run"),
        (replace(setup, view=View.DOWN_THE_LINE), "down-the-line"),
        (replace(setup, handedness=Handedness.LEFT), "left-handed"),
        (replace(setup, size_px=(100, 200)), "100 x 200 pixels"),
        (replace(setup, response="older"), "another version"),
    ):
        chosen = choose_correction([other], track, View.FACE_ON, right)
        assert chosen.correction is None
        assert words in chosen.note
        assert "ines.json" in chosen.note
        # one for the thorough run is not meant for this quick one
        assert chosen.refused == ({"ines.json"} if other.model == "full" else set())
    assert choose_correction([], track, View.FACE_ON, right) == PlayerChoice()
    other = replace(setup, model="heavy")
    assert choose_correction([other, setup], track, View.FACE_ON, right).correction is not None


def test_a_correction_reaches_the_measured_turn(tmp_path, filmed, face_on):
    """A set-up whose marks say 10 degrees more turn wherever it is turned away makes the measured turn larger."""
    setup = check(tmp_path, holds_text(filmed)).setup
    bent = [replace(r, marked_deg=r.read_deg + (10.0 if r.read_deg > 0 else -10.0)) for r in setup.readings["hip"]]
    correction = replace(setup, readings={"hip": tuple(bent), "shoulder": ()}).correction()
    key_frames = find_key_frames(face_on.track, strike_s=face_on.key_frames_s["impact"])
    seen = SeenSwing(face_on.track, View.FACE_ON, key_frames, assume_direction(View.FACE_ON))
    plain = measure_body([seen], 1.75).series
    bent_body = measure_body([replace(seen, correction=correction)], 1.75).series
    # on the way back this player passes the held positions; at the top the shoulders are far beyond them
    way_back = slice(*(plain["hip_turn_deg"].at(face_on.key_frames_s[name]) for name in ("address", "top")))
    more = bent_body["hip_turn_deg"].value[way_back] - plain["hip_turn_deg"].value[way_back]
    assert more.min() < -2.0
    assert more.max() < 0.5
    np.testing.assert_array_equal(bent_body["shoulder_turn_deg"].value, plain["shoulder_turn_deg"].value)


def test_a_left_hander_in_the_mirror_reads_the_same(tmp_path, filmed, monkeypatch):
    right = check(tmp_path, holds_text(filmed))
    track = accuracy._track_holds(None, (), None, None)
    monkeypatch.setattr(accuracy, "_track_holds", lambda *rest: mirror_track(track))
    left = check(tmp_path, holds_text(filmed), Handedness.LEFT)
    assert left.lines["hip"].errors_deg == pytest.approx(right.lines["hip"].errors_deg, abs=0.01)


def test_a_hold_outside_the_clip_is_told(tmp_path, filmed):
    with pytest.raises(BadInputError, match=r"runs from 0\.0 to 5\.7 s"):
        check(tmp_path, GOOD.replace("from_s = 1.4", "from_s = 8").replace("to_s = 2.0", "to_s = 10"))


def test_a_clip_without_a_person_is_told(tmp_path, filmed, monkeypatch):
    track = accuracy._track_holds(None, (), None, None)
    nobody = replace(track, image_px=np.full_like(track.image_px, np.nan), world_m=np.full_like(track.world_m, np.nan))
    monkeypatch.setattr(accuracy, "_track_holds", lambda *rest: nobody)
    with pytest.raises(BadInputError, match="A person was found on 0 of 32 frames"):
        check(tmp_path, holds_text(filmed))


def test_the_command_reports_and_keeps(tmp_path, filmed, capsys):
    out, player = tmp_path / "out.json", tmp_path / "player.json"
    holds = write(tmp_path, holds_text(filmed))
    code = main(
        ["check-accuracy", str(CLIP), "--holds", str(holds), "--handed", "right", "--quick", "--json", str(out)]
    )
    text = capsys.readouterr().out
    assert code == 0
    assert "face-on (found), quick run" in text
    assert "inside the 90 % interval" in text
    assert "Error: median" in text
    report = json.loads(out.read_text(encoding="utf-8"))
    assert report["schema"] == 1
    assert len(report["lines"]["hip"]["holds"]) == 7
    # marks a fifth short of what is read: an error with a pattern
    read = [0.0] + [hold["read_from_address_deg"] for hold in report["lines"]["hip"]["holds"]]
    write(tmp_path, holds_text([(0.8 * turn, 0.8 * turn) for turn in read]))
    command = ["check-accuracy", str(CLIP), "--holds", str(holds), "--handed", "right", "--quick"]
    assert main([*command, "--save", str(player)]) == 0
    assert read_player_setup(player).correction().lines["hip"].weights.any()
    assert "--player" in capsys.readouterr().out


def test_nothing_is_kept_of_marks_with_the_wrong_sign(tmp_path, filmed, capsys):
    player = tmp_path / "player.json"
    player.write_text("old", encoding="utf-8")
    holds = write(tmp_path, holds_text(filmed, sign=-1.0))
    command = ["check-accuracy", str(CLIP), "--holds", str(holds), "--handed", "right"]
    assert main(command) == 1
    assert "the other way" in capsys.readouterr().out
    assert main([*command, "--save", str(player)]) == 1
    text = capsys.readouterr().out
    assert "Nothing was kept" in text
    assert player.read_text(encoding="utf-8") == "old"


@pytest.mark.parametrize("option", ["--save", "--json"])
def test_a_missing_folder_is_told_before_any_work(tmp_path, monkeypatch, capsys, option):
    monkeypatch.setattr(accuracy, "probe_video", lambda path: pytest.fail("work was begun"))
    holds = write(tmp_path, GOOD)
    place = tmp_path / "none" / "player.json"
    assert main(["check-accuracy", str(CLIP), "--holds", str(holds), "--handed", "right", option, str(place)]) == 2
    assert f"there is no folder {place.parent}" in capsys.readouterr().err


def test_the_help_says_how_it_is_filmed_and_to_take_care(capsys):
    with pytest.raises(SystemExit):
        main(["check-accuracy", "--help"])
    text = " ".join(capsys.readouterr().out.split())
    for words in ("[[hold]]", "club in hand", "stop on pain", "stays", "at least 4 more holds"):
        assert words in text
