"""The whole library from the command line: backed up, brought back, thinned, measured again, forgotten."""

import shutil
from datetime import date
from pathlib import Path

import pytest

from review.cli.main import main
from review.jobs.free_space import say_little_room
from review.library import Library
from tests.jobs.keeping_house.made_library import N_SWINGS, make_library
from tests.jobs.slow_clips import SAMPLE


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    make_library(tmp_path / "library", tmp_path / "originals")
    return tmp_path / "library"


def _run(capsys, *words: object) -> tuple[int, str]:
    code = main([str(word) for word in words])
    said = capsys.readouterr()
    return code, " ".join((said.out + said.err).split())


def test_backed_up_checked_and_brought_back(capsys, folder: Path, tmp_path: Path) -> None:
    to = tmp_path / "backup"
    code, said = _run(capsys, "backup", "--to", to, "--library", folder)
    assert code == 0
    assert "each read back" in said
    code, said = _run(capsys, "backup", "--to", to, "--check")
    assert (code, "is whole" in said) == (0, True)
    code, said = _run(capsys, "restore", to, "--library", folder)
    assert code == 2
    assert "lies a library already (pupils: 2, lessons: 3)" in said
    hurt = next((to / "clips").iterdir())
    hurt.write_bytes(b"other")
    code, said = _run(capsys, "backup", "--to", to, "--check")
    assert (code, hurt.name in said) == (1, True)
    code, said = _run(capsys, "restore", to, "--library", tmp_path / "new")
    assert (code, hurt.name in said) == (2, True)
    code, said = _run(capsys, "restore", to, "--library", tmp_path / "new", "--without-damaged")
    assert code == 1
    assert "2 pupils, 3 lessons" in said
    with Library.open(tmp_path / "new", create=False) as library:
        assert len(library.pupils()) == 2


def test_forgetting_lists_the_backup(capsys, folder: Path, tmp_path: Path) -> None:
    _run(capsys, "backup", "--to", tmp_path / "stick", "--library", folder)
    code, said = _run(capsys, "forget", "anna", "--yes", "anna-name-zq7", "--library", folder)
    assert code == 0
    assert f"Beyond reach: the backup of {date.today()} in {tmp_path / 'stick'}" in said


def test_thinned_by_the_rule(capsys, folder: Path) -> None:
    code, said = _run(capsys, "thin", "--library", folder)
    assert (code, "no rule is set" in said) == (0, True)
    code, said = _run(capsys, "thin", "--weeks", 12, "--library", folder)
    assert f"To go: {N_SWINGS} clips" in said
    code, said = _run(capsys, "thin", "--lesson", "2025-03-14", "--keep", "1,3-4", "--library", folder)
    assert "To go: 1 clip " in said
    assert f"{N_SWINGS - 1} older clips stay: chosen" in said
    code, said = _run(capsys, "thin", "--lesson", "2025-03-14", "--unkeep", "3", "--keep", "--library", folder)
    assert "Chosen of the lesson of 2025-03-14: swings 1, 4." in said
    _run(capsys, "thin", "--lesson", "2025-03-14", "--keep", "3", "--library", folder)
    code, said = _run(capsys, "thin", "--do", "--library", folder)
    assert (code, "Let go: 1 clip " in said) == (0, True)
    for words in (("--weeks", "soon"), ("--keep", "a"), ("--keep", "99"), ("--weeks", "0")):
        code, said = _run(capsys, "thin", *words, "--library", folder)
        assert code == 2


def test_little_room_is_said_before_it_is_too_late(capsys, folder: Path, monkeypatch) -> None:
    plain = shutil.disk_usage(folder)
    monkeypatch.setattr(shutil, "disk_usage", lambda _: plain._replace(free=3_200_000_000))
    code, said = _run(capsys, "add", SAMPLE, "--pupil", "New", "--handed", "right", "--library", folder)
    assert "Little room: 3.2 GB free" in said
    monkeypatch.setattr(shutil, "disk_usage", lambda _: plain._replace(free=5_000_000_000))
    assert say_little_room(folder / "not there yet") == ""


def test_measured_again_answered(capsys, folder: Path) -> None:
    """Nobody of this library agreed to be measured: that is said, and nothing is changed."""
    code, said = _run(capsys, "reanalyse", "--library", folder)
    assert code == 0
    assert "no consent to measure" in said
    code, said = _run(capsys, "reanalyse", "--accept", "--library", folder)
    assert (code, "No new numbers wait" in said) == (0, True)
    code, said = _run(capsys, "reanalyse", "--drop", "--library", folder)
    assert (code, "No new numbers wait" in said) == (0, True)
