"""Backups and their bringing back, killed at random moments."""

import shutil
import sys
from pathlib import Path

import pytest
from made_library import check_whole, contents_of, kill_at_random, make_library, rows_of

from review.errors import BadInputError
from review.jobs.keeping_house.backing_up import back_up, check_backup
from review.jobs.keeping_house.restoring import restore
from review.lesson import Handedness, Pupil
from review.library import RESTORING, Library

pytestmark = pytest.mark.skipif(sys.platform in ("win32", "darwin"), reason="needs fork")


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    make_library(tmp_path / "library", tmp_path / "originals")
    return tmp_path / "library"


def test_backup_killed_at_random_moments_leaves_a_whole_one(folder: Path, tmp_path: Path) -> None:
    to = tmp_path / "backup"
    n = 0

    def work() -> None:
        with Library.open(folder) as library:
            library.add_pupil(Pupil(f"p{n}", f"Pupil {n}", Handedness.LEFT))
            # a clip that lies there is copied anew, too
            for path in [*(to / "clips").glob("*")][:3]:
                path.unlink()
            back_up(library, to)

    def check() -> None:
        nonlocal n
        n += 1
        check_whole(folder)
        with Library.open(folder) as library:
            back_up(library, to)
            assert check_backup(to)[1] == ()
            assert sum(1 for _ in (to / "database").iterdir()) == 1

    kill_at_random(work, check, 20, seed=4)


def test_earlier_backup_stands_while_the_next_is_killed(folder: Path, tmp_path: Path) -> None:
    to = tmp_path / "backup"
    with Library.open(folder) as library:
        back_up(library, to)

    def work() -> None:
        with Library.open(folder) as library:
            library.set_weeks_kept(8)
            back_up(library, to)

    def check() -> None:
        assert check_backup(to)[1] == ()

    kill_at_random(work, check, 8, seed=5)
    restore(to, tmp_path / "new")
    check_whole(tmp_path / "new")


def test_restore_killed_at_random_moments_is_done_by_the_next(folder: Path, tmp_path: Path) -> None:
    to, before, n = tmp_path / "backup", rows_of(folder), 0
    with Library.open(folder) as library:
        back_up(library, to)

    def place() -> Path:
        return tmp_path / f"new-{n}"

    def work() -> None:
        restore(to, place())

    def check() -> None:
        nonlocal n
        if not Library.is_there(place()):
            if (place() / RESTORING).exists():
                with pytest.raises(BadInputError, match="broken off"):
                    Library.open(place())
            restore(to, place())
        assert rows_of(place()) == before
        assert contents_of(place()) == contents_of(folder)
        assert not any(path.suffix == ".part" for path in place().rglob("*"))
        n += 1

    kill_at_random(work, check, 20, seed=6)


def test_forget_killed_at_random_moments_is_finished_by_the_next_opening(folder: Path, tmp_path: Path) -> None:
    n, of_bert = 0, {t: [row for row in rows if "bert" in repr(row)] for t, rows in rows_of(folder).items()}

    def place() -> Path:
        return tmp_path / f"library-{n}"

    def work() -> None:
        with Library.open(place()) as library:
            library.forget_pupil("anna")

    def check() -> None:
        nonlocal n
        with Library.open(place()) as library:  # what was begun is finished here
            if any(pupil.id == "anna" for pupil in library.pupils()):
                library.forget_pupil("anna")
        assert b"anna" not in b"".join(p.read_bytes() for p in place().rglob("*") if p.is_file() and p.suffix != ".npz")
        left = {t: [row for row in rows if "bert" in repr(row)] for t, rows in rows_of(place()).items()}
        assert left == of_bert
        check_whole(place())
        n += 1
        shutil.copytree(folder, place())

    shutil.copytree(folder, place())
    kill_at_random(work, check, 20, seed=8)
