"""``history``, ``before``, ``search`` from the command line: words, files, exit codes."""

import json

import pytest

from review.cli.main import main
from tests.made_years import BELT, POCKET, make_years_library


@pytest.fixture(scope="module")
def home(tmp_path_factory):
    return str(make_years_library(tmp_path_factory.mktemp("home") / "library"))


def test_history_in_words_numbers_and_a_picture(home, tmp_path, capsys):
    files = [tmp_path / "h.json", tmp_path / "h.png"]
    assert main(["history", "jonas", "--library", home, "--json", str(files[0]), "--picture", str(files[1])]) == 0
    said = capsys.readouterr().out
    assert "At the start the old value was back: " in said
    assert "as before the change of 2024-03-14." in " ".join(said.split())
    assert "Other measures (--measure): hip turn at impact, club speed" in said
    assert len(json.loads(files[0].read_text(encoding="utf-8"))["visits"]) == 5
    assert files[1].read_bytes()[:4] == b"\x89PNG"


def test_numbers_alone_can_be_printed(home, capsys):
    assert main(["history", "jonas", "--library", home, "--json", "-", "--measure", "hip turn at impact"]) == 0
    assert json.loads(capsys.readouterr().out)["camera_error_kept_between_visits"] is True


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["history", "nobody"], "There is no pupil named 'nobody'"),
        (["history", "jonas", "--measure", "luck"], "--measure names 'luck', which is no measure of Jonas Made-Up"),
        (["history", "jónas", "--measure", "luck"], "There is: club path"),
        (["history", "jonas", "--measure", "carry"], "has no carry in any lesson"),
        (["history", "jonas", "--picture", "x.gif"], "written as .svg or .png"),
        (["before", "nobody"], "There is no pupil named 'nobody'"),
    ],
)
def test_what_cannot_be_done_is_told(home, capsys, arguments, said):
    assert main([*arguments, "--library", home]) == 2
    assert said in capsys.readouterr().err


def test_before_and_search(home, capsys):
    assert main(["before", "jonas", "--library", home]) == 0
    assert f"What moved it most surely: “{BELT}”" in capsys.readouterr().out
    assert main(["search", "BELT", "turn", "--library", home]) == 0
    assert capsys.readouterr().out.splitlines()[0] == f"Jonas Made-Up, 2025-04-20, batch 3  cue: {BELT}"
    assert main(["search", '" OR 1', "--library", home]) == 0
    assert "Nothing was written with these words." in capsys.readouterr().out
    assert main(["search", POCKET.split()[-1], BELT.split()[0], "--library", home]) == 0
    said = capsys.readouterr().out
    assert f"cue: {BELT}" in said, "one word of the cue and one of the feel"
    assert f"feel: {POCKET}" in said
    assert main(["search", " ", "--library", home]) == 2
    assert "Type a word" in capsys.readouterr().err
