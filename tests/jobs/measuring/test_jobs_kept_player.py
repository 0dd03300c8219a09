"""A player set-up is kept with a lesson, for its pupil and camera, and used whenever the lesson is measured."""

from dataclasses import replace

import pytest

from review.body import HoldReading
from review.cli.main import main
from review.errors import BadInputError
from review.jobs.adding import add_lesson
from review.jobs.lesson_file import CameraPlan, read_lesson_file
from review.jobs.measuring import whole_lesson
from review.jobs.measuring.player_files import PlayerSetup, name_response, write_player_setup
from review.jobs.measuring.whole_lesson import measure_lesson
from review.lesson import Handedness, View
from review.library import Library
from review.pose import Effort
from tests.jobs.lessons_of_one_clip import CLIP, at_strike, measured_with, plan_lesson

# the response reads 8 degrees too little wherever the hips are turned
READINGS = tuple(
    HoldReading(m, 0.8 * m, 0.8 * m - 20, 0.8 * m + 20, (0.8 * m, 1.7 * m)) for m in (-62, -58, -50, -40, 20, 40)
)


@pytest.fixture
def library(tmp_path):
    with Library.open(tmp_path / "library") as opened:
        yield opened


def write(path, swing, **changes):
    size = (swing.track.width_px, swing.track.height_px)
    readings = {"hip": READINGS, "shoulder": ()}
    setup = PlayerSetup("full", View.FACE_ON, Handedness.RIGHT, size, name_response("full"), readings)
    write_player_setup(replace(setup, **changes), path)
    return path


def hip_turn_at_top(library, lesson_id):
    measures = next(iter(library.measures(lesson_id).values()))
    return next(m.value for m in measures if (m.name, m.key_frame) == ("hip_turn_deg", "top"))


@pytest.mark.parametrize("camera", ["face-on", "cam1"])
def test_kept_by_view_or_by_camera_and_used(tmp_path, library, monkeypatch, face_on, camera):
    without, _ = measured_with(library, monkeypatch, face_on, done := add_lesson(library, plan_lesson()))
    before = hip_turn_at_top(library, done.lesson.id)
    path = write(tmp_path / "test.json", face_on)
    done = add_lesson(library, plan_lesson(player_setups=((camera, path),)))
    path.unlink()  # the library holds its own
    result, clips = measured_with(library, monkeypatch, face_on, done)
    assert [setup.name for setup in clips[-1].players] == ["test.json"]
    assert (result.notes, result.has_refused_setup) == (without.notes, False) == ((), False)
    assert hip_turn_at_top(library, done.lesson.id) < before - 2.0


def test_of_another_camera_it_is_not_used(tmp_path, library, monkeypatch, face_on):
    path = write(tmp_path / "test.json", face_on)
    done = add_lesson(library, plan_lesson(player_setups=(("cam2", path),)))
    result, clips = measured_with(library, monkeypatch, face_on, done)
    assert clips[0].players == ()
    assert result.notes == ()


def test_quick_and_thorough_are_kept_beside_each_other(tmp_path, library, face_on):
    quick, thorough = (write(tmp_path / f"{model}.json", face_on, model=model) for model in ("full", "heavy"))
    done = add_lesson(library, plan_lesson(player_setups=(("face-on", quick), ("face-on", thorough))))
    add_lesson(library, plan_lesson(player_setups=(("face-on", quick),)))
    assert {(camera, file) for camera, file, _ in library.player_setups(done.lesson.id)} == {
        ("face-on", "full.json"),
        ("face-on", "heavy.json"),
    }


@pytest.mark.parametrize(
    ("changes", "words", "is_refused"),
    [
        # kept for a camera whose view nobody had said
        ({"view": View.DOWN_THE_LINE}, "test.json was made down-the-line", True),
        ({"size_px": (100, 200)}, "test.json was not used: its clip had 100 x 200", True),
        ({"response": "older"}, "another version", True),
        ({"model": "heavy"}, "made face-on, right-handed, thorough run", False),
    ],
)
def test_one_that_does_not_fit_is_said_with_its_camera(
    tmp_path, library, monkeypatch, face_on, changes, words, is_refused
):
    path = write(tmp_path / "test.json", face_on, **changes)
    done = add_lesson(library, plan_lesson(player_setups=(("cam1", path),)))
    result, _ = measured_with(library, monkeypatch, face_on, done)
    assert result.n_measured == 1
    assert len(result.notes) == 1
    assert result.notes[0].startswith("Camera cam1: ")
    assert words in result.notes[0]
    assert result.has_refused_setup is is_refused


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"handedness": Handedness.LEFT}, "test.json is the player set-up of a left-handed player, Test swings right"),
        ({"view": View.DOWN_THE_LINE}, "test.json is a down-the-line player set-up, face-on is a face-on camera"),
    ],
)
def test_of_another_hand_or_view_it_is_refused_and_nothing_added(tmp_path, library, face_on, changes, words):
    path = write(tmp_path / "test.json", face_on, **changes)
    with pytest.raises(BadInputError, match=words):
        add_lesson(library, plan_lesson(player_setups=(("face-on", path),)))
    named = CameraPlan("front", "*", View.FACE_ON)
    if "view" in changes:
        with pytest.raises(BadInputError, match="front is a face-on camera"):
            add_lesson(library, plan_lesson(cameras=(named,), player_setups=(("front", path),)))
    assert library.pupils() == ()


def test_the_lesson_file_names_one_or_both(tmp_path):
    text = '[lesson]\ndate = 2026-03-14\n[pupil]\nname = "T"\nhandedness = "right"\n[[camera]]\nname = "front"\n'
    for given, files in (('"a.json"', ["a.json"]), ('["a.json", "b.json"]', ["a.json", "b.json"])):
        (tmp_path / "lesson.toml").write_text(f'{text}files = "*"\nplayer = {given}\n', encoding="utf-8")
        got = read_lesson_file(tmp_path / "lesson.toml")
        assert got.player_setups == tuple(("front", tmp_path / file) for file in files)


def test_the_commands_keep_it_and_say_with_exit_1_that_it_was_not_used(tmp_path, monkeypatch, face_on, capsys):
    path = write(tmp_path / "test.json", face_on, size_px=(100, 200))
    folder = tmp_path / "library"
    command = ["add", str(CLIP), "--pupil", "T", "--handed", "right", "--consent-by", "T", "--consent-for", "measure"]
    assert main([*command, "--player", "face-on", "--library", str(folder)]) == 2
    assert "--player expects CAMERA=FILE" in capsys.readouterr().err
    main([*command, "--player", f"face-on={path}", "--library", str(folder)])
    tracked = at_strike(face_on)
    monkeypatch.setattr(whole_lesson, "track_clips", lambda orders, *rest: (dict.fromkeys(orders, tracked), {}))
    assert main(["measure", "--lesson", "last", "--quick", "--library", str(folder)]) == 1
    assert "Note: Camera cam1: The player set-up test.json was not used" in capsys.readouterr().out


def test_a_note_names_the_clips_where_it_does_not_hold_for_all(library, monkeypatch, face_on):
    other = CLIP.with_name("20260314_101900.mp4")  # struck 0.02 s earlier
    done = add_lesson(library, replace(plan_lesson(), clips=(CLIP, other)))
    whole = at_strike(face_on)
    cut = replace(whole, height_px=700)  # the feet lie below the picture

    def track_clips(orders, progress, keep):
        names = {clip.id: clip.original_name for clip in library.clips(done.lesson.id)}
        return {key: cut if names[key] == other.name else whole for key in orders}, {}

    monkeypatch.setattr(whole_lesson, "track_clips", track_clips)
    (note,) = measure_lesson(library, done.lesson, Effort.QUICK).notes
    assert note.startswith(f"Camera cam1, {other.name}: The feet are not in the picture")
