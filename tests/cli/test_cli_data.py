"""``export``, ``pack`` and ``unpack`` from the command line: exit codes and words."""

import subprocess
import sys
from datetime import date
from pathlib import Path

import pytest

from review.cli.main import main
from review.lesson import Batch, Consent, Handedness, Lesson, Pupil, Purpose, Shot, Swing
from review.library import Library


@pytest.fixture
def home(tmp_path: Path) -> Path:
    folder = tmp_path / "home"
    with Library.open(folder) as library:
        consent = Consent("Test Pupil", date(2026, 3, 1), frozenset(Purpose))
        library.add_pupil(Pupil("p1", "Test Pupil", Handedness.RIGHT, consent=consent))
        library.add_lesson(Lesson("l1", "p1", date(2026, 3, 14), batches=(Batch("b1", 1),)))
        shot = Shot("r1", 1, "t.csv", {"club_path_deg": 6.0})
        library.add_shots("l1", [shot])
        library.replace_swings("l1", [Swing("s1", 1, shot=shot, batch_id="b1")])
    return folder


def test_export_says_what_lies_where(tmp_path: Path, home: Path, capsys: pytest.CaptureFixture[str]) -> None:
    out = str(tmp_path / "out")
    assert main(["export", "--library", str(home), "--to", out, "--for", "Dr Example"]) == 0
    said = capsys.readouterr().out
    assert "1 number and the points of 0 clips" in said
    assert "given to: Dr Example" in said
    (tmp_path / "out" / "mine.txt").write_text("mine", encoding="utf-8")
    assert main(["export", "--library", str(home), "--to", out]) == 2
    assert "mine.txt" in capsys.readouterr().err


def test_pack_and_unpack_end_with_the_code_that_fits(
    tmp_path: Path, home: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file, away = str(tmp_path / "a.zip"), ["--library", str(tmp_path / "away")]
    assert main(["pack", "--library", str(home), "--to", file]) == 0
    with Library.open(tmp_path / "away") as library:
        library.add_pupil(Pupil("other", "test pupil", Handedness.RIGHT))
    assert main(["unpack", file, *away]) == 1
    assert "--into 'Test Pupil'" in capsys.readouterr().out
    assert main(["unpack", file, *away, "--as", "Another One"]) == 0
    assert "a new pupil; 0 clips" in capsys.readouterr().out
    assert main(["unpack", file, *away]) == 0
    assert "not there twice" in capsys.readouterr().out
    assert main(["unpack", str(tmp_path / "none.zip"), *away]) == 2
    assert "There is no file" in capsys.readouterr().err
    with Library.open(tmp_path / "away") as library:
        library.set_batches("l1", [Batch("b1", 1, feel="heavy")])
    assert main(["unpack", file, *away]) == 1
    assert "differs" in capsys.readouterr().out


def test_files_for_others_cost_no_start_time() -> None:
    script = (
        "import sys; from review.cli.main import make_parser; make_parser(); import review.jobs.handing_out.data; "
        "print([name for name in ('pandas', 'pyarrow', 'ezc3d') if name in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
