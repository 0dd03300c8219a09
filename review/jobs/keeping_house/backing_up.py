"""Backs the whole library up into a folder, and makes sure of every byte; what lies there already is used again."""

import json
import re
import uuid
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from review.errors import BadInputError, MachineError
from review.jobs.keeping_house.backup_folder import (
    BEGUN,
    DATABASE,
    PARTS,
    BackupList,
    KeptFile,
    read_list,
)
from review.jobs.keeping_house.backup_place import check_place
from review.jobs.keeping_house.copying import (
    DamagedFileError,
    as_disk_error,
    copy_checked,
    read_sha256,
    sync_folder,
    write_text,
)
from review.jobs.keeping_house.counting import Counting
from review.jobs.keeping_house.file_copier import FileCopier, check_room, size_of
from review.library import Library, new_part, read_copy, sweep
from review.progress import Progress, silent

_TRIES = 3
_OURS = re.compile(r"[0-9a-f]{64}(\.[a-z0-9]+)?")
_REVIEW_COPIES = "derived/review_copy"
"""Large, and made again when a swing is opened."""


@dataclass(frozen=True)
class BackedUp:
    """What a backup holds now; ``lost`` are files that the library names and does not have whole, nor the backup."""

    folder: Path
    n_files: int
    n_copied: int
    size_bytes: int
    n_removed: int
    lost: tuple[str, ...] = ()


def back_up(
    library: Library, to: Path, progress: Progress = silent, *, with_landmarks: bool = True, read_all: bool = False
) -> BackedUp:
    """Back the library up into ``to``, which is new, empty, or holds an earlier backup of it.

    The database is copied as it is at one moment, whoever else uses it. Until the new list is in its place the earlier
    backup stands; a stopped run's files are used by the next.

    Parameters
    ----------
    progress : called with bytes done and bytes in all; may raise ``Cancelled``.
    with_landmarks : else they are found anew after bringing it back, which takes long.
    read_all : read files that lie there from an earlier backup too, not only those whose size or date changed.

    Raises
    ------
    BadInputError
        When the folder cannot take a backup of this library: it says why.
    MachineError
        When a disk is full, may not be written, or does not give back what was written.
    """
    to = to.absolute()
    earlier = check_place(library, to)
    try:
        return _back_up(library, to, earlier, progress, with_landmarks, read_all)
    except MachineError:
        raise
    except OSError as error:
        raise as_disk_error(to, error) from error


def _back_up(
    library: Library, to: Path, earlier: BackupList | None, progress: Progress, with_landmarks: bool, read_all: bool
) -> BackedUp:
    id, begun_at = uuid.uuid4().hex, datetime.now().replace(microsecond=0)
    library.begin_backup(id, to, begun_at)
    to.mkdir(exist_ok=True)
    write_text(to / BEGUN, json.dumps({"id": id, "begun_at": begun_at.isoformat()}))
    for part in PARTS:
        (to / part).mkdir(exist_ok=True)
    sweep((to,))
    others = [*_other_files(library.folder, with_landmarks)]
    counting = Counting(progress, sum(size_of(library.folder / name) for name in (*library.named_files(), *others)))
    for _ in range(_TRIES):
        # others may go on reading and writing: what counts is this one moment
        database, size, named = _copy_database(library, to, counting)
        copier = FileCopier(library.folder, to, {} if earlier is None else earlier.files, read_all)
        copier.copy([*sorted(named), *others], counting)
        # a pupil may have been forgotten since the database was copied: then once more, without
        if not named - library.named_files():
            break
    else:
        raise MachineError("The library changes faster than it can be backed up; wait until the other run is done.")
    files = {**copier.kept, f"{DATABASE}/{database}.db": KeptFile(database, size)}
    for folder in {(to / name).parent for name in files}:
        sync_folder(folder)
    made_at = datetime.now().replace(microsecond=0)
    BackupList(id, library.schema_version, made_at, f"{DATABASE}/{database}.db", files).write(to)
    library.end_backup(id, to, made_at)
    n_removed = _remove_others(to)
    (to / BEGUN).unlink(missing_ok=True)
    if any(not (to / name).is_file() for name in files):
        raise MachineError(f"Another run worked on {to} at the same time; back up once more.")
    size_bytes = sum(file.size_bytes for file in files.values())
    return BackedUp(to, len(files), copier.n_copied + 1, size_bytes, n_removed, tuple(copier.lost))


def check_backup(folder: Path, progress: Progress = silent) -> tuple[BackupList, tuple[str, ...]]:
    """Read a backup through; return its list and what is damaged or missing in it, in words.

    Raises
    ------
    BadInputError
        When there is no whole backup, its list is damaged, or it is of a newer version of the program.
    """
    listed = read_list(folder)
    counting = Counting(progress, listed.size_bytes)
    bad = []
    for name, file in listed.files.items():
        try:
            if read_sha256(folder / name, counting.add) != file.sha256:
                bad.append(f"{name}: damaged")
        except DamagedFileError as error:
            bad.append(f"{name}: {error}")
    return listed, tuple(bad)


def _copy_database(library: Library, to: Path, counting: Counting) -> tuple[str, int, frozenset[str]]:
    """Copy the database; return its sha256 (which names it), size, and the files it names."""
    aside = new_part(to / DATABASE)
    try:
        size = size_of(library.folder / "library.db") + size_of(library.folder / "library.db-wal")
        check_room(to, size)
        library.copy_database(aside, lambda *_: counting.add(0))
        try:
            with read_copy(aside) as copy:
                named = copy.named_files()
        except BadInputError as error:
            raise BadInputError(
                f"The library's own database is damaged, so nothing was backed up over what lies in {to}. Bring back "
                f"an earlier backup into an empty folder: lesson-review restore. ({error})"
            ) from error
        sha256 = read_sha256(aside, lambda _: None)
        copy_checked(aside, to / DATABASE / f"{sha256}.db", lambda _: None, sha256)
        return sha256, size_of(to / DATABASE / f"{sha256}.db"), named
    except DamagedFileError as error:
        raise MachineError(f"{to} does not give back what was written to it ({error}); use another disk.") from error
    finally:
        for left in (aside, *aside.parent.glob(f"{aside.name}-*")):
            left.unlink(missing_ok=True)


def _other_files(library: Path, with_landmarks: bool) -> Iterator[str]:
    """Mappings, and what was made from clips and takes long to make again."""
    for folder in ("mappings", "derived") if with_landmarks else ("mappings",):
        for path in sorted((library / folder).rglob("*")):
            name = path.relative_to(library).as_posix()
            if path.is_file() and path.suffix != ".part" and not name.startswith(_REVIEW_COPIES):
                yield name


def _remove_others(folder: Path) -> int:
    """Remove what the list does not name: earlier databases, clips of pupils forgotten since; return how many."""
    listed = read_list(folder).files
    n = 0
    for part in PARTS:
        for path in (folder / part).rglob("*"):
            # what is not named as ours is somebody else's
            is_ours = part in ("mappings", DATABASE) or _OURS.fullmatch(path.name) is not None
            if (
                is_ours
                and path.is_file()
                and path.suffix != ".part"
                and path.relative_to(folder).as_posix() not in listed
            ):
                path.unlink(missing_ok=True)
                n += not path.as_posix().endswith(".db")
    return n
