"""Commands as a coach types them: messages, exit codes, an unchanged library."""

import json
import os
import random
import re
import shutil
import subprocess
import sys
import time
from pathlib import Path

import numpy as np
import pytest

from review.cli.main import main
from review.errors import MachineError
from review.library import Library
from tests.framed_by_hand import frame_by_hand

ROOT = Path(__file__).parents[2]
SAMPLE = ROOT / "sample_clips"
CLIP = SAMPLE / "clips" / "20260314_101518.mp4"


def run(capsys, *arguments: object) -> tuple[int, str]:
    """Run a command in this process; return exit code and everything it printed."""
    try:
        code = main([str(a) for a in arguments])
    except SystemExit as error:  # argparse ends this way
        code = int(error.code or 0)
    printed = capsys.readouterr()
    text = printed.out + printed.err
    assert "Traceback" not in text
    return code, text


def snapshot(folder: Path) -> dict[str, int]:
    """Clips and rows of a library, to see that nothing changed."""
    with Library.open(folder) as library:
        lessons = library.lessons()
        return {
            "pupils": len(library.pupils()),
            "lessons": len(lessons),
            "clips": sum(len(library.clips(lesson.id)) for lesson in lessons),
            "shots": sum(len(library.shots(lesson.id)) for lesson in lessons),
            "files": len(list((folder / "clips").iterdir())),
        }


@pytest.fixture(scope="module")
def library_folder(tmp_path_factory):
    folder = tmp_path_factory.mktemp("cli") / "library"
    assert main(["add", str(SAMPLE / "lesson.toml"), "--library", str(folder)]) == 0
    return folder


def test_measure_writes_the_agreed_json(capsys, tmp_path):
    out = tmp_path / "out.json"
    code, text = run(capsys, "measure", CLIP, "--handed", "right", "--stature", "1.70", "--json", out, "--quick")
    assert code == 0
    assert "face-on (found)" in text
    report = json.loads(out.read_text(encoding="utf-8"))
    assert report["schema"] == 1
    assert report["clips"][0]["view"] == "face-on"
    assert report["clips"][0]["view_found"] is True
    n = len(report["frames"]["time_s"])
    assert n == 171
    for name in ("hip_turn_from_address_deg", "shoulder_turn_from_address_deg", "trail_heel_lift_cm", "hip_shift_cm"):
        for ending in ("", "_low", "_high"):
            assert len(report["frames"][name + ending]) == n
    assert set(report["key_frames"]) == {"address", "takeaway", "top", "arm_level", "impact", "finish"}
    truth = json.loads((SAMPLE / "truth.json").read_text(encoding="utf-8"))["clips"][0]
    assert report["key_frames"]["impact"]["time_s"] == pytest.approx(truth["impact_in_clip_s"], abs=1 / 60)


def write_setup(path: Path) -> Path:
    """A camera set-up with the ends of a stick before the toes where the sample's own camera sees them."""
    camera = json.loads((SAMPLE / "truth.json").read_text(encoding="utf-8"))["clips"][0]["camera"]
    ends_m = np.array([(-0.61, -0.35, 0.0), (0.61, -0.35, 0.0)])
    right, down, away = np.array(camera["world_to_camera_rotation"]) @ (ends_m - camera["position_m"]).T
    x = camera["cx"] + camera["focal_px"] * right / away
    y = camera["cy"] + camera["focal_px"] * down / away
    path.write_text(
        f"[target_stick]\nlength_m = 1.22\naway_from_target_px = [{x[0]:.1f}, {y[0]:.1f}]\n"
        f"toward_target_px = [{x[1]:.1f}, {y[1]:.1f}]\n",
        encoding="utf-8",
    )
    return path


def test_measure_says_what_a_coach_asks(capsys, tmp_path):
    command = ["measure", CLIP, "--handed", "right", "--stature", "1.70", "--quick"]
    code, text = run(capsys, *command)
    assert code == 0
    assert "face-on (found), quick run" in text
    assert "hip turn from address at impact" in text
    assert re.search(r"impact +\d+\.\d+ s +frame \d+ +by the strike heard, 98 % sure", text)
    assert text.count("the quick run cannot tell it; run again without --quick") == 1
    assert "against the target line: not measured without a camera set-up (docs/camera_setup.md)" in text
    assert text.endswith("In brackets: 90 % interval. Checked on rendered people only.\n")

    setup = write_setup(tmp_path / "front.toml")
    code, text = run(capsys, *command, "--setup", setup)
    assert code == 0
    assert re.search(r"camera set-up front\.toml used: target line known within \d+°", text)
    assert "not measured without" not in text
    truth = json.loads((SAMPLE / "truth.json").read_text(encoding="utf-8"))["clips"][0]
    for line in ("hip", "shoulder"):
        said = re.search(rf"{line} turn against the target line at impact +open (\d+)°", text)
        assert said is not None
        assert float(said[1]) == pytest.approx(truth[f"{line}_turn_deg"]["impact"], abs=15)

    exchanged = (
        setup.read_text().replace("away_from", "x").replace("toward", "away_from").replace("x_target", "toward_target")
    )
    setup.write_text(exchanged, encoding="utf-8")
    code, text = run(capsys, *command, "--setup", setup)
    assert code == 1
    assert "camera set-up front.toml not used" in text
    assert f"Note on {CLIP.name}: The camera set-up was not used: the ends of the stick seem to be exchanged" in text
    assert "not measured without a usable camera set-up" in text


def test_match_shows_and_explains(capsys, library_folder):
    code, text = run(capsys, "match", "--library", library_folder)
    assert code == 0
    (line,) = [line for line in text.splitlines() if "20260314_102438" in line]
    assert line.endswith("practice, no row")
    assert "ahead of the device's" in text
    _, why = run(capsys, "match", "--explain", "10", "--library", library_folder)
    assert "practice swing" in why


@pytest.mark.parametrize("lesson", [(), ("--lesson", "last"), ("Ines Calder",), ("--lesson", "ines")])
def test_match_says_whose_lesson_it_took(capsys, library_folder, lesson):
    _, text = run(capsys, "match", *lesson, "--library", library_folder)
    assert text.startswith("Ines Calder, lesson of 2026-03-14")


def test_match_for_a_machine(capsys, library_folder):
    _, text = run(capsys, "match", "--json", "--library", library_folder)
    data = json.loads(text)
    assert (data["pupil"], data["lesson"]) == ("Ines Calder", "2026-03-14")
    assert len(data["swings"]) == 17


def test_compare_without_measures_shows_the_device_and_says_what_is_missing(capsys, library_folder):
    code, text = run(capsys, "compare", "--library", library_folder)
    assert code == 0
    assert "4.0° less in-to-out" in text
    assert "CLEAR" in text


def test_check_finds_everything_that_is_installed(capsys, tmp_path):
    _, text = run(capsys, "check", "--library", tmp_path)
    lines = [line for line in text.splitlines() if "disk space" not in line]
    assert len(lines) > 12
    assert all(line.startswith("fine") for line in lines), text


def test_check_names_what_is_missing(capsys, tmp_path, monkeypatch):
    from review.pose import mediapipe_estimator

    monkeypatch.setattr(mediapipe_estimator.resources, "files", lambda package: tmp_path)
    code, text = run(capsys, "check", "--library", tmp_path)
    assert code == 3
    assert "MISSING  pose model, full" in text


@pytest.mark.parametrize(
    "command", ["demo", "add", "measure", "match", "compare", "takehome", "forget", "check", "check-accuracy"]
)
def test_help_reads(capsys, command):
    code, text = run(capsys, command, "--help")
    assert code == 0
    assert len(text) > 200


def write_bad_files(folder: Path) -> None:
    folder.mkdir()
    (folder / "20260314_101518.mp4").write_text("this is no video")
    (folder / "20260314_101622.mp4").write_bytes(CLIP.read_bytes()[:10_000])
    (folder / "no_header.csv").write_text("10:12:08,4.8,0.8\n10:13:11,4.2,3.7\n")
    (folder / "twice.csv").write_text("time,club path [deg],club path [deg]\n10:12:08,4.8,4.8\n")
    (folder / "letters.csv").write_text("time,club path [deg]\n10:12:08,abc\n")


PUPIL = ["--pupil", "Somebody", "--handed", "right", "--date", "2026-03-14"]
# what is wrong: the request (a name in < > lies in the folder of bad files), and what the message must say
BAD_INPUT: dict[str, tuple[list[object], str]] = {
    "missing file": (["add", "<nothing.mp4>", *PUPIL], "nothing.mp4"),
    "text file named mp4": (["add", "<20260314_101518.mp4>", *PUPIL], "20260314_101518.mp4"),
    "cut after 10 kB": (["add", "<20260314_101622.mp4>", *PUPIL], "20260314_101622.mp4"),
    "no header": (["add", CLIP, *PUPIL, "--shots", "<no_header.csv>"], "header"),
    "column twice": (["add", CLIP, *PUPIL, "--shots", "<twice.csv>"], "club path"),
    "letters for a number": (["add", CLIP, *PUPIL, "--shots", "<letters.csv>"], "abc"),
    "no pupil": (["add", CLIP], "--pupil"),
    "measure a text file": (["measure", "<20260314_101518.mp4>", "--handed", "right"], "20260314_101518.mp4"),
    "measure three clips": (["measure", CLIP, CLIP, CLIP, "--handed", "right"], "one clip or the two views"),
    "set-up missing": (["measure", CLIP, "--handed", "right", "--setup", "<no.toml>"], "no.toml"),
    "two set-ups for a clip": (
        ["measure", CLIP, "--handed", "right", "--setup", "<a.toml>", "<b.toml>"],
        "Found 2 set-up files for 1 clip; give one --setup file for each clip, in the order of the clips.",
    ),
    "no folder for the numbers": (["measure", CLIP, "--handed", "right", "--json", "<none/out.json>"], "no folder"),
    "unknown pupil": (["forget", "Nobody", "--yes", "Nobody"], "no pupil named 'Nobody'"),
    "unknown lesson": (["compare", "1999-01-01"], "No lesson fits"),
    "wrong aim": (["add", CLIP, *PUPIL, "--aim", "speed of light"], "not a measure"),
    "wrong consent": (["add", CLIP, *PUPIL, "--consent-by", "A", "--consent-for", "everything"], "cannot cover"),
}


@pytest.mark.parametrize("case", list(BAD_INPUT))
def test_bad_input_is_told_and_changes_nothing(case, capsys, tmp_path, library_folder):
    write_bad_files(tmp_path / "bad")
    request, says = BAD_INPUT[case]
    request = [tmp_path / "bad" / str(word)[1:-1] if str(word).startswith("<") else word for word in request]
    before = snapshot(library_folder)
    code, text = run(capsys, *request, "--library", library_folder)
    assert code == 2, text
    assert says in text
    assert snapshot(library_folder) == before


def test_forget_wants_the_name_typed_again(capsys, library_folder):
    code, text = run(capsys, "forget", "Ines", "--yes", "ines", "--library", library_folder)
    assert code == 2
    assert "nothing was removed" in text
    assert snapshot(library_folder)["pupils"] == 1


def test_no_library_there(capsys, tmp_path):
    code, text = run(capsys, "match", "--library", tmp_path / "none")
    assert code == 2
    assert "no library" in text
    assert not (tmp_path / "none").exists()


def test_a_library_that_is_none(capsys, tmp_path):
    (tmp_path / "library.db").write_text("a shopping list, and a long one: " * 100)
    code, text = run(capsys, "match", "--library", tmp_path)
    assert code == 2
    assert "library.db" in text
    assert (tmp_path / "library.db").read_text().startswith("a shopping list")


@pytest.mark.skipif(sys.platform != "linux" or os.geteuid() != 0, reason="a small full disk needs mount rights")
def test_a_full_disk(tmp_path, capsys):
    small = tmp_path / "small"
    small.mkdir()
    mounted = subprocess.run(["mount", "-t", "tmpfs", "-o", "size=2m", "tmpfs", str(small)], capture_output=True)
    if mounted.returncode:
        pytest.skip("mounting is not allowed here")
    try:
        code, text = run(capsys, "add", SAMPLE / "lesson.toml", "--library", small / "library")
        assert code == 3
        assert "MB" in text
        assert not list((small / "library" / "clips").glob("*"))
    finally:
        subprocess.run(["umount", str(small)], check=False)


@pytest.mark.skipif(os.name == "nt" or os.geteuid() == 0, reason="root may write anywhere")
def test_no_write_permission(tmp_path, capsys):
    locked = tmp_path / "locked"
    locked.mkdir(mode=0o500)
    code, text = run(capsys, "add", SAMPLE / "lesson.toml", "--library", locked / "library")
    assert code == 3
    assert "may not be written" in text


def small_lesson(folder: Path) -> Path:
    (folder / "clips").mkdir(parents=True)
    for name in ("20260314_101518", "20260314_101622", "20260314_102702", "20260314_103110"):
        shutil.copy(SAMPLE / "clips" / f"{name}.mp4", folder / "clips")
    for name in ("lesson.toml", "shots.csv", "pressure.csv", "pressure_calibration.csv"):
        shutil.copy(SAMPLE / name, folder)
    return folder / "lesson.toml"


def start(*arguments: object) -> subprocess.Popen[bytes]:
    command = [sys.executable, "-m", "review", *(str(a) for a in arguments)]
    return subprocess.Popen(command, cwd=ROOT, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)


def kill_after(process: subprocess.Popen[bytes], seconds: float) -> None:
    try:
        process.wait(timeout=seconds)
    except subprocess.TimeoutExpired:
        process.kill()
        process.wait()


def test_killing_add_at_any_moment_leaves_the_library_whole(tmp_path):
    lesson = small_lesson(tmp_path / "lesson")
    folder = tmp_path / "library"
    begun = time.monotonic()
    start("add", lesson, "--library", tmp_path / "timing").wait()
    whole_s = time.monotonic() - begun
    moments = random.Random(1)
    for _ in range(20):
        kill_after(start("add", lesson, "--library", folder), moments.uniform(0.2, 1.05) * whole_s)
        with Library.open(folder) as library:
            lessons = library.lessons()
            # all of it or nothing
            assert len(library.pupils()) == len(lessons) <= 1
            for known in lessons:
                assert len(library.clips(known.id)) == 4
                assert len(library.shots(known.id)) == 15
                assert all(library.path_of(clip).is_file() for clip in library.clips(known.id))
        assert not list((folder / "clips").glob("*.part"))
    assert start("add", lesson, "--library", folder).wait() == 0
    assert snapshot(folder)["clips"] == 4


def test_killing_takehome_at_any_moment_keeps_the_earlier_one(tmp_path):
    """The command at four moments; ``test_takehome_clips_ended`` kills the writing itself at twenty."""
    lesson = small_lesson(tmp_path / "lesson")
    folder, out = tmp_path / "library", tmp_path / "out"
    assert start("add", lesson, "--library", folder).wait() == 0
    with Library.open(folder) as library:
        brief = {"address": -0.2, "top": -0.1, "impact": 0.0, "finish": 0.1}
        frame_by_hand(library, library.lessons()[0], brief)
    take_home = ("takehome", "--to", out, "--only-together", "--freeze", "none", "--library", folder)
    begun = time.monotonic()
    assert start(*take_home).wait() == 0
    whole_s = time.monotonic() - begun
    names = sorted(p.name for p in out.iterdir())
    moments = random.Random(2)
    for share in (moments.uniform(n / 4, (n + 1.2) / 4) for n in range(4)):
        kill_after(start(*take_home), share * whole_s)
        if not out.exists():  # killed between the two renames: the next run puts the earlier one back
            assert start(*take_home).wait() == 0
        assert sorted(p.name for p in out.iterdir()) == names
        assert (out / "index.html").read_text(encoding="utf-8").rstrip().endswith("</html>")
    assert start(*take_home).wait() == 0
    assert sorted(p.name for p in tmp_path.iterdir()) == ["lesson", "library", "out"]


def test_too_few_swings_are_asked_about_and_the_answer_is_taken(tmp_path, capsys):
    clips = [SAMPLE / "clips" / f"{name}.mp4" for name in ("20260314_101518", "20260314_101622")]
    folder = tmp_path / "library"
    code, text = run(
        capsys,
        "add",
        *clips,
        "--pupil",
        "New",
        "--handed",
        "right",
        "--shots",
        SAMPLE / "shots.csv",
        "--library",
        folder,
    )
    assert code == 1
    assert "Answer: lesson-review match --pair" in text
    with Library.open(folder) as library:
        orders = [swing.order for swing in library.swings(library.lessons()[0].id) if swing.clips]
    code, _ = run(capsys, "match", "--pair", f"{orders[0]}=1", "--library", folder)
    _, text = run(capsys, "match", "--library", folder)
    line = next(line for line in text.splitlines() if "20260314_101518" in line)
    assert line.split()[2] == "1"
    # one answer could be a slip, and on two swings nothing else bears it out: the other is asked about, rightly
    question = next(line for line in text.splitlines() if line.startswith("Question") and "101622.mp4" in line)
    assert "row 2 of the table" in question
    swing = question.split("swing ")[1].split()[0]
    run(capsys, "match", "--pair", f"{swing}=2", "--library", folder)
    code, text = run(capsys, "match", "--library", folder)
    line = next(line for line in text.splitlines() if "20260314_101622" in line and "Question" not in line)
    assert (code, line.split()[2]) == (0, "2")


def test_a_swing_without_clip_cannot_be_paired(capsys, library_folder):
    code, text = run(capsys, "match", "--pair", "8=1", "--library", library_folder)
    assert code == 2
    assert "Swing 8 has no clip" in text


def test_stature_in_centimetres_is_told(capsys, tmp_path):
    code, text = run(
        capsys, "add", CLIP, "--pupil", "A", "--handed", "right", "--stature", "170", "--library", tmp_path / "library"
    )
    assert code == 2
    assert "metres" in text


def test_a_removal_that_was_broken_off_is_told_by_the_next_command(capsys, library_folder, monkeypatch, tmp_path):
    folder = shutil.copytree(library_folder, tmp_path / "library")

    def killed(self, missing_ok=False):
        raise PermissionError(13, "held by another program")

    with Library.open(folder) as library, monkeypatch.context() as patch:
        patch.setattr(Path, "unlink", killed)
        with pytest.raises(MachineError):
            library.forget_pupil(library.pupils()[0].id)
    _, text = run(capsys, "compare", "--library", folder)
    assert "removal that was broken off is finished: lessons 1, clips" in text
