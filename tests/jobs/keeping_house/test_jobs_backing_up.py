"""Backups: whole, checked, taken while others write, refused where they would overwrite, stopped at any moment."""

import json
import sqlite3
from pathlib import Path

import pytest
from made_library import check_whole, contents_of, make_library, rows_of

from review.errors import BadInputError, Cancelled, MachineError
from review.jobs.keeping_house import backing_up, copying
from review.jobs.keeping_house.backing_up import back_up, check_backup
from review.jobs.keeping_house.restoring import restore
from review.lesson import Handedness, Pupil
from review.library import Library
from review.library.schema_steps import STEPS


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    make_library(tmp_path / "library", tmp_path / "originals")
    return tmp_path / "library"


def _back_up(folder: Path, to: Path, **how: bool) -> backing_up.BackedUp:
    with Library.open(folder, create=False) as library:
        return back_up(library, to, **how)


def test_what_is_brought_back_is_what_was_backed_up(folder: Path, tmp_path: Path) -> None:
    told: list[tuple[int, int]] = []
    with Library.open(folder) as library:
        done = back_up(library, tmp_path / "backup", lambda *now: told.append(now))
    assert told == sorted(told)
    assert told[-1][0] == told[-1][1]
    assert done.lost == ()
    assert not (tmp_path / "backup" / "begun.json").exists()
    assert not any(path.suffix == ".part" for path in (tmp_path / "backup").rglob("*"))
    restored = restore(tmp_path / "backup", tmp_path / "new" / "library")
    assert (restored.n_pupils, restored.n_lessons, restored.left_out) == (2, 3, ())
    assert contents_of(tmp_path / "new" / "library") == contents_of(folder)
    assert rows_of(tmp_path / "new" / "library") == rows_of(folder)
    check_whole(tmp_path / "new" / "library")


def test_another_backup_copies_what_is_new_and_drops_who_was_forgotten(folder: Path, tmp_path: Path) -> None:
    to = tmp_path / "backup"
    first = _back_up(folder, to)
    assert _back_up(folder, to).n_copied == 1  # the database
    with Library.open(folder) as library:
        reached = library.forget_pupil("anna").out_of_reach
    assert [str(to) in words for words in reached] == [True]
    assert any(b"anna" in path.read_bytes() for path in to.rglob("*") if path.is_file())
    again = _back_up(folder, to)
    assert again.n_copied == 1
    assert again.n_removed == first.n_files - again.n_files
    assert not any(b"anna" in path.read_bytes() for path in to.rglob("*") if path.is_file())
    assert check_backup(to)[1] == ()
    with Library.open(folder) as library:
        assert len(library.backups("bert")) == len(library.backups()) == 1


def test_open_windows_and_runs_that_write_do_not_matter(folder: Path, tmp_path: Path) -> None:
    """The backup is of one moment: what another run writes meanwhile is in it entirely or not at all."""
    with Library.open(folder) as other, Library.open(folder) as library:
        n = 0

        def write(done: int, total: int) -> None:
            nonlocal n
            with other.transaction():
                other.add_pupil(Pupil(f"new-{n}", "New", Handedness.LEFT))
                n += 1

        back_up(library, tmp_path / "backup", write)
    assert n > 0
    restore(tmp_path / "backup", tmp_path / "new")
    check_whole(tmp_path / "new")
    with Library.open(tmp_path / "new") as new:
        assert {"anna", "bert"} <= {pupil.id for pupil in new.pupils()}


def test_pupil_forgotten_while_the_files_are_copied_is_not_in_the_backup(folder: Path, tmp_path: Path) -> None:
    to = tmp_path / "backup"
    _back_up(folder, to)
    with Library.open(folder) as other, Library.open(folder) as library:
        is_gone = False

        def forget(done: int, total: int) -> None:
            nonlocal is_gone
            if not is_gone and done:
                is_gone = True
                other.forget_pupil("anna")

        back_up(library, to, forget)
    assert is_gone
    assert not any(b"anna" in path.read_bytes() for path in to.rglob("*") if path.is_file())


@pytest.mark.parametrize("part", ["clips", "voice", "derived/landmarks", "mappings"])
def test_damaged_backup_is_refused_and_named(folder: Path, tmp_path: Path, part: str) -> None:
    to, new = tmp_path / "backup", tmp_path / "new"
    _back_up(folder, to)
    hurt = sorted((to / part).iterdir())[-1]
    content = bytearray(hurt.read_bytes())
    content[len(content) // 2] ^= 1
    hurt.write_bytes(content)
    name = hurt.relative_to(to).as_posix()
    assert check_backup(to)[1] == (f"{name}: damaged",)
    with pytest.raises(BadInputError, match=name):
        restore(to, new)
    assert not new.exists()
    assert restore(to, new, without_damaged=True).left_out == (f"{name} (damaged)",)
    assert contents_of(new).keys() == contents_of(folder).keys() - {name}
    # the library has it still whole
    assert _back_up(folder, to, read_all=True).n_copied == 2
    assert check_backup(to)[1] == ()


def test_missing_file_damaged_database_and_damaged_list_are_refused(folder: Path, tmp_path: Path) -> None:
    to, new = tmp_path / "backup", tmp_path / "new"
    _back_up(folder, to)
    gone = next((to / "clips").iterdir())
    content = gone.read_bytes()
    gone.unlink()
    with pytest.raises(BadInputError, match=f"{gone.name} .missing."):
        restore(to, new)
    gone.write_bytes(content)
    (database,) = (to / "database").iterdir()
    whole = database.read_bytes()
    database.write_bytes(whole[:-100] + bytes(100))
    with pytest.raises(BadInputError, match="database of the backup.*damaged"):
        restore(to, new, without_damaged=True)
    database.write_bytes(whole)
    listed = (to / "backup.json").read_text()
    for bad in (listed.replace(gone.stem, "0" * 64), listed[:-50], "[]"):
        (to / "backup.json").write_text(bad)
        with pytest.raises(BadInputError, match="damaged"):
            restore(to, new)
    assert not new.exists()


def test_backup_of_a_newer_version_is_refused(folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    with monkeypatch.context() as patch:
        patch.setattr("review.library.migrations.STEPS", (*STEPS, "CREATE TABLE of_the_future (id)"))
        _back_up(folder, tmp_path / "backup")
    with pytest.raises(BadInputError, match="newer version"):
        restore(tmp_path / "backup", tmp_path / "new")
    assert not (tmp_path / "new").exists()
    listed = json.loads((tmp_path / "backup" / "backup.json").read_text())
    (tmp_path / "backup" / "backup.json").write_text(json.dumps({**listed, "version": 2}))
    with pytest.raises(BadInputError, match="newer version"):
        restore(tmp_path / "backup", tmp_path / "new")


def test_a_damaged_list_leads_to_no_file_outside(folder: Path, tmp_path: Path) -> None:
    to = tmp_path / "backup"
    _back_up(folder, to)
    listed = json.loads((to / "backup.json").read_text())
    for name in ("clips/../../stolen", "/etc/stolen", "clips/..", "clips/a/b", "derived/../x/y"):
        changed = {**listed, "files": {**listed["files"], name: ["0" * 64, 1, 1]}}
        del changed["sha256"]
        from review.jobs.keeping_house.backup_folder import _digest

        (to / "backup.json").write_text(json.dumps({**changed, "sha256": _digest(changed)}))
        with pytest.raises(BadInputError, match="damaged"):
            restore(to, tmp_path / "new")


def test_folders_that_hold_something_else_are_left_alone(folder: Path, tmp_path: Path) -> None:
    to = tmp_path / "pictures"
    to.mkdir()
    (to / "holiday.jpg").write_bytes(b"x")
    with pytest.raises(BadInputError, match="holiday.jpg"):
        _back_up(folder, to)
    for inside in (folder / "backup", folder, tmp_path):
        with pytest.raises(BadInputError, match="lie in each other"):
            _back_up(folder, inside)
    with pytest.raises(BadInputError, match="disk connected"):
        _back_up(folder, tmp_path / "stick" / "backup")
    _back_up(folder, tmp_path / "backup")
    with pytest.raises(BadInputError, match="pupils: 2, lessons: 3"):
        restore(tmp_path / "backup", folder)
    with pytest.raises(BadInputError, match="holiday.jpg"):
        restore(tmp_path / "backup", to)
    with pytest.raises(BadInputError, match="no backup"):
        restore(to, tmp_path / "new")
    assert (to / "holiday.jpg").read_bytes() == b"x"


def test_new_or_older_library_does_not_overwrite_the_backup(folder: Path, tmp_path: Path) -> None:
    to = tmp_path / "backup"
    _back_up(folder, to)
    with Library.open(tmp_path / "empty") as empty, pytest.raises(BadInputError, match="another library"):
        back_up(empty, to)
    restore(to, tmp_path / "new")
    _back_up(folder, to)  # now later than what was brought back
    with pytest.raises(BadInputError, match="later state"):
        _back_up(tmp_path / "new", to)
    assert check_backup(to)[1] == ()


def test_library_brought_back_goes_on_with_its_backup(folder: Path, tmp_path: Path) -> None:
    _back_up(folder, tmp_path / "backup")
    restore(tmp_path / "backup", tmp_path / "new")
    assert _back_up(tmp_path / "new", tmp_path / "backup").n_copied == 1
    with Library.open(tmp_path / "new") as library:
        (noted,) = library.backups("anna")
        assert noted.made_at is not None


def test_what_the_library_lost_stays_in_the_backup(folder: Path, tmp_path: Path) -> None:
    to = tmp_path / "backup"
    _back_up(folder, to)
    hurt, gone = sorted((folder / "clips").iterdir())[:2]
    hurt.write_bytes(hurt.read_bytes()[:-1] + b"?")
    gone.unlink()
    assert _back_up(folder, to, read_all=True).lost == ()
    assert check_backup(to)[1] == ()
    other = _back_up(folder, tmp_path / "other")
    assert set(other.lost) == {f"clips/{hurt.name}", f"clips/{gone.name}"}


def test_stopped_by_the_coach_the_earlier_backup_stands(folder: Path, tmp_path: Path) -> None:
    to = tmp_path / "backup"
    _back_up(folder, to)
    before = rows_of(folder)

    def stop(done: int, total: int) -> None:
        raise Cancelled("Stopped.")

    with Library.open(folder) as library:
        library.add_pupil(Pupil("carl", "Carl", Handedness.LEFT))
        with pytest.raises(Cancelled):
            back_up(library, to, stop)
    assert not any(path.suffix == ".part" for path in to.rglob("*"))
    restore(to, tmp_path / "new")
    assert rows_of(tmp_path / "new") == before
    with pytest.raises(Cancelled):
        restore(to, tmp_path / "stopped", stop)
    assert not (tmp_path / "stopped").exists()


def test_full_disk_and_a_disk_that_lies_are_said(folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    to = tmp_path / "backup"
    with monkeypatch.context() as patch:
        patch.setattr("review.library.files._RESERVE_BYTES", 10**18)
        with pytest.raises(MachineError, match="too full"):
            _back_up(folder, to)
    clip = next((folder / "clips").iterdir())
    with monkeypatch.context() as patch:
        patch.setattr(copying, "_digest", lambda read, report: "0" * 64)
        with pytest.raises(MachineError, match="give back"):
            copying.copy_checked(clip, tmp_path / "copy", lambda _: None)
    assert not (tmp_path / "copy").exists()
    _back_up(folder, to)


def test_damaged_library_is_not_backed_up_over_a_good_one(folder: Path, tmp_path: Path) -> None:
    to = tmp_path / "backup"
    _back_up(folder, to)
    with sqlite3.connect(folder / "library.db") as connection:
        (root,) = connection.execute("SELECT rootpage FROM sqlite_master WHERE name = 'measure'").fetchone()
    connection.close()
    content = bytearray((folder / "library.db").read_bytes())
    content[4096 * (root - 1) : 4096 * root] = b"\xff" * 4096
    (folder / "library.db").write_bytes(content)
    with pytest.raises(BadInputError, match="damaged"):
        _back_up(folder, to)
    assert check_backup(to)[1] == ()
