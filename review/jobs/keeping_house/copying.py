"""Copies a file and makes sure of it: written aside, read back from the disk, then moved in."""

import errno
import hashlib
import os
from collections.abc import Callable
from pathlib import Path
from typing import BinaryIO

from review.errors import MachineError
from review.library import new_part

_CHUNK = 1 << 20

Report = Callable[[int], None]
"""Called with the bytes just worked on; may raise ``Cancelled``."""


class DamagedFileError(Exception):
    """A file's bytes are not those that were noted of it, or it is not there."""


def read_sha256(path: Path, report: Report) -> str:
    """Read a file through.

    Raises
    ------
    DamagedFileError
        When it is not there or cannot be read.
    """
    try:
        with path.open("rb") as read:
            return _digest(read, report)
    except FileNotFoundError as error:
        raise DamagedFileError("missing") from error
    except OSError as error:
        raise DamagedFileError(f"cannot be read, {error.strerror}") from error


def copy_checked(source: Path, to: Path, report: Report, sha256: str | None = None) -> str:
    """Copy a file and read the copy back; return its sha256. ``report`` gets its bytes once.

    Parameters
    ----------
    sha256 : what it must be; None = whatever it is.

    Raises
    ------
    DamagedFileError
        When the source is not there, cannot be read, or is something else; ``to`` is then as it was.
    MachineError
        When the disk is full, may not be written, or gives back other bytes than were written.
    """
    try:
        read = source.open("rb")
    except FileNotFoundError as error:
        raise DamagedFileError("missing") from error
    except OSError as error:
        raise DamagedFileError(f"cannot be read, {error.strerror}") from error
    aside = new_part(to.parent)
    try:
        with read:
            found = _copy(read, aside, report)
        if sha256 is not None and found != sha256:
            raise DamagedFileError("damaged")
        with aside.open("rb") as again:
            _drop_from_memory(again)
            if _digest(again, lambda _: None) != found:
                raise MachineError(f"{to.parent} does not give back what was written to it; use another disk.")
        aside.replace(to)
    except MachineError:
        raise
    except OSError as error:
        raise as_disk_error(to.parent, error) from error
    finally:
        aside.unlink(missing_ok=True)
    return found


def write_text(to: Path, text: str) -> None:
    """Write a small file aside, synced, and move it in.

    Raises
    ------
    MachineError
        When the disk is full or may not be written.
    """
    aside = new_part(to.parent)
    try:
        with aside.open("w", encoding="utf-8") as file:
            file.write(text)
            file.flush()
            os.fsync(file.fileno())
        aside.replace(to)
        sync_folder(to.parent)
    except OSError as error:
        raise as_disk_error(to.parent, error) from error
    finally:
        aside.unlink(missing_ok=True)


def sync_folder(folder: Path) -> None:
    """Make the names in a folder last through a power cut, where the system lets a folder be synced."""
    if os.name == "nt":
        return
    opened = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(opened)
    except OSError as error:
        if error.errno not in (errno.EINVAL, errno.ENOTSUP):  # some disks cannot
            raise
    finally:
        os.close(opened)


def as_disk_error(folder: Path, error: OSError) -> MachineError:
    """Say in the coach's words why the disk did not take it."""
    if error.errno in (errno.ENOSPC, errno.EDQUOT):
        return MachineError(f"The disk with {folder} is full. Make room there, or use another disk, then do it again.")
    if error.errno in (errno.EACCES, errno.EPERM, errno.EROFS):
        return MachineError(f"{folder} may not be written. Change its rights, or use another folder.")
    return MachineError(f"{folder} could not be written ({error.strerror or error}). Check the disk, then do it again.")


def _copy(read: BinaryIO, aside: Path, report: Report) -> str:
    digest = hashlib.sha256()
    with aside.open("wb") as write:
        while True:
            try:
                chunk = read.read(_CHUNK)
            except OSError as error:
                raise DamagedFileError(f"cannot be read, {error.strerror}") from error
            if not chunk:
                break
            digest.update(chunk)
            write.write(chunk)
            report(len(chunk))
        write.flush()
        os.fsync(write.fileno())
    return digest.hexdigest()


def _digest(read: BinaryIO, report: Report) -> str:
    digest = hashlib.sha256()
    while chunk := read.read(_CHUNK):
        digest.update(chunk)
        report(len(chunk))
    return digest.hexdigest()


def _drop_from_memory(file: BinaryIO) -> None:
    """Let what is read next come from the disk, not from the memory that it was written through."""
    if hasattr(os, "posix_fadvise"):
        os.posix_fadvise(file.fileno(), 0, 0, os.POSIX_FADV_DONTNEED)
