"""Brings a backup back into an empty folder; every byte is checked against the backup's list."""

import json
import os
from dataclasses import dataclass
from pathlib import Path

from review.errors import BadInputError, MachineError
from review.jobs.keeping_house.backup_folder import BackupList, list_things, read_list
from review.jobs.keeping_house.copying import (
    DamagedFileError,
    as_disk_error,
    copy_checked,
    read_sha256,
    sync_folder,
    write_text,
)
from review.jobs.keeping_house.counting import Counting
from review.library import RESTORING, Library, check_space, count_in, read_copy, sweep
from review.progress import Progress, silent

_MOST_NAMED = 12


@dataclass(frozen=True)
class Restored:
    """What was brought back; ``left_out`` was damaged in the backup, by name."""

    listed: BackupList
    n_pupils: int
    n_lessons: int
    left_out: tuple[str, ...]


def restore(folder: Path, into: Path, progress: Progress = silent, *, without_damaged: bool = False) -> Restored:
    """Bring the backup in ``folder`` back into ``into``, which is empty or not there.

    The database comes last: until it is there the folder is no library, and a stopped run is done once more, with what
    lies there already. Of a damaged backup, or stopped by the coach, nothing stays.

    Parameters
    ----------
    progress : called with bytes done and bytes in all; may raise ``Cancelled``.
    without_damaged : bring back what is whole, though some of it is damaged. The database must be whole.

    Raises
    ------
    BadInputError
        When there is no whole backup (it says what is damaged), it is of a newer version, or ``into`` holds something.
    MachineError
        When a disk is full or may not be written.
    """
    listed = read_list(folder)
    into = into.absolute()
    _check_place(folder, into, listed)
    _check_database(folder, listed)
    try:
        return _restore(folder, into, listed, progress, without_damaged)
    except MachineError:
        raise
    except OSError as error:
        raise as_disk_error(into, error) from error


def _restore(folder: Path, into: Path, listed: BackupList, progress: Progress, without_damaged: bool) -> Restored:
    was_there = into.exists()
    into.mkdir(parents=True, exist_ok=True)
    sweep((into,))
    check_space(into, listed.size_bytes - sum(f.stat().st_size for f in into.rglob("*") if f.is_file()))
    write_text(into / RESTORING, json.dumps({"id": listed.id}))
    try:
        damaged = _copy_files(folder, into, listed, Counting(progress, listed.size_bytes))
        if damaged and not without_damaged:
            _refuse(folder, damaged)
        for part in {(into / name).parent for name in listed.files if name != listed.database}:
            if part.is_dir():
                sync_folder(part)
        try:
            copy_checked(
                folder / listed.database, into / "library.db", lambda _: None, listed.files[listed.database].sha256
            )
        except DamagedFileError as error:
            _refuse(folder, [f"{listed.database} ({error})"])
    except BaseException:
        _remove_again(into, listed, was_there)
        raise
    sync_folder(into)
    (into / RESTORING).unlink(missing_ok=True)
    with Library.open(into, create=False) as library:
        # it was copied while the backup was being made
        library.end_backup(listed.id, folder.absolute(), listed.made_at)
        return Restored(listed, len(library.pupils()), len(library.lessons()), tuple(damaged))


def _copy_files(folder: Path, into: Path, listed: BackupList, counting: Counting) -> list[str]:
    """Copy all but the database; return what is damaged in the backup, in words."""
    damaged = []
    for name, file in listed.files.items():
        if name == listed.database:
            continue
        to, done = into / name, counting.done
        to.parent.mkdir(parents=True, exist_ok=True)
        try:
            if not _is_whole(to, file.sha256, counting):
                copy_checked(folder / name, to, counting.add, file.sha256)
                # as old as there, so that the next backup knows it
                written_ns = (folder / name).stat().st_mtime_ns
                os.utime(to, ns=(written_ns, written_ns))
        except DamagedFileError as error:
            damaged.append(f"{name} ({error})")
        counting.at_least(done + file.size_bytes)
    return damaged


def _is_whole(path: Path, sha256: str, counting: Counting) -> bool:
    """Whether a stopped run brought it already."""
    try:
        return path.exists() and read_sha256(path, lambda _: counting.add(0)) == sha256
    except DamagedFileError:
        return False


def _check_place(folder: Path, into: Path, listed: BackupList) -> None:
    inside, outside = folder.resolve(), into.resolve()
    if inside == outside or inside in outside.parents or outside in inside.parents:
        raise BadInputError(f"{into} and the backup lie in each other; choose another folder with --library.")
    if Library.is_there(into):
        n_pupils, n_lessons = count_in(into / "library.db")
        raise BadInputError(
            f"In {into} lies a library already (pupils: {n_pupils}, lessons: {n_lessons}). A backup is brought back "
            "into an empty folder alone, so that nothing is overwritten: name one with --library, or move that library "
            "away first (one without pupils may be deleted). Nothing was changed."
        )
    if into.exists() and not into.is_dir():
        raise BadInputError(f"{into} is a file; name an empty or new folder with --library.")
    found = list_things(into)
    if found and _read_id(into) != listed.id:
        raise BadInputError(
            f"{into} is not empty ({', '.join(found[:5])}). A backup is brought back into an empty or new folder: name "
            "one with --library. Nothing was changed."
        )


def _read_id(into: Path) -> str:
    """Which backup a stopped run was bringing back here; '' for none."""
    try:
        return str(json.loads((into / RESTORING).read_text(encoding="utf-8"))["id"])
    except (OSError, ValueError, KeyError, TypeError):
        return ""


def _check_database(folder: Path, listed: BackupList) -> None:
    """The database must be whole, and of a version known here."""
    try:
        if read_sha256(folder / listed.database, lambda _: None) != listed.files[listed.database].sha256:
            raise DamagedFileError("damaged")
    except DamagedFileError as error:
        raise BadInputError(
            f"The database of the backup in {folder} ({listed.database}) is {error}. Use another backup; nothing was "
            "changed."
        ) from error
    with read_copy(folder / listed.database):
        pass


def _refuse(folder: Path, damaged: list[str]) -> None:
    more = f" and {len(damaged) - _MOST_NAMED} more" if len(damaged) > _MOST_NAMED else ""
    raise BadInputError(
        f"The backup in {folder} is damaged: {', '.join(damaged[:_MOST_NAMED])}{more}. Nothing was brought back. Use "
        "another backup, or bring back the rest with --without-damaged."
    )


def _remove_again(into: Path, listed: BackupList, was_there: bool) -> None:
    """Leave the folder as it was: of a library that could not be brought back nothing stays."""
    if Library.is_there(into):
        return
    for name in listed.files:
        if name != listed.database:
            (into / name).unlink(missing_ok=True)
    (into / RESTORING).unlink(missing_ok=True)
    for part in sorted((p for p in into.rglob("*") if p.is_dir()), key=lambda p: -len(p.parts)):
        if not any(part.iterdir()):
            part.rmdir()
    if not was_there and not any(into.iterdir()):
        into.rmdir()
