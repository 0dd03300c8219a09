"""The library's files: copies of clips, and what can be made again from them."""

import errno
import hashlib
import os
import shutil
import struct
import time
import zipfile
import zlib
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any, BinaryIO

import numpy as np
from numpy.typing import NDArray

from review.errors import BadInputError, MachineError
from review.progress import Progress, silent

_CHUNK = 1 << 20
_DEAD_AFTER_S = 3600.0
_RESERVE_BYTES = 50_000_000
_DAY_S = 86400.0
_NO_SPACE = (errno.ENOSPC, errno.EDQUOT)

# what reading a file of arrays raises when its bytes are not what was written
_DAMAGED = (
    OSError,
    ValueError,
    KeyError,
    EOFError,
    SyntaxError,
    RuntimeError,
    struct.error,
    zipfile.BadZipFile,
    zlib.error,
)

PART = ".part"
"""Ending of a file that is still being written; its name begins with the number of the process."""


def copy_in(source: Path, clips: Path, note: Callable[[str], None], progress: Progress = silent) -> tuple[str, str]:
    """Copy a file under the name of its content; return its sha256 and its name.

    The copy is written aside, synced and moved in, so that a name in ``clips`` always holds the whole file. The same
    content is stored once, whatever its ending.

    Parameters
    ----------
    source : the coach's file; it is only read.
    clips : folder of the copies.
    note : called with the name before the file gets it, so that a stopped run's copy can be found again.
    progress : called with bytes done and bytes in all; may raise ``Cancelled``.

    Raises
    ------
    BadInputError
        When the source is missing or may not be read.
    MachineError
        When the disk is full or may not be written.
    """
    try:
        read = source.open("rb")
    except FileNotFoundError as error:
        raise BadInputError(f"There is no file {source}; check the name and the folder.") from error
    except OSError as error:
        raise BadInputError(f"{source} cannot be read ({error.strerror}); check the file and its rights.") from error
    aside = new_part(clips)
    with read:
        try:
            size = os.fstat(read.fileno()).st_size
            check_space(clips, size)
            sha256 = _copy(read, aside, size, progress)
            return sha256, _move_in(aside, sha256, source.suffix.lower(), clips, note)
        except MachineError:
            raise
        except OSError as error:
            raise as_machine_error(error, clips) from error
        finally:
            aside.unlink(missing_ok=True)


def write_in(write: Callable[[Path], str], clips: Path, note: Callable[[str], None]) -> tuple[str, str]:
    """Store what ``write`` writes into the file it is given; it returns the ending. Else as ``copy_in``."""
    aside = new_part(clips)
    try:
        check_space(clips, 0)
        suffix = write(aside)
        with aside.open("rb+") as written:
            sha256 = hashlib.file_digest(written, "sha256").hexdigest()
            os.fsync(written.fileno())
        return sha256, _move_in(aside, sha256, suffix, clips, note)
    except (BadInputError, MachineError):
        raise
    except OSError as error:
        raise as_machine_error(error, clips) from error
    finally:
        aside.unlink(missing_ok=True)


def _move_in(aside: Path, sha256: str, suffix: str, clips: Path, note: Callable[[str], None]) -> str:
    """Give a whole file its name, that of its content, unless the same content is there."""
    size = aside.stat().st_size
    there = next((p for p in sorted(clips.glob(f"{sha256}*")) if p.stat().st_size == size), None)
    name = sha256 + suffix if there is None else there.name
    note(name)
    # looked at again: forgetting may have taken it between the look and the note
    if there is None or not there.exists():
        aside.replace(clips / name)
        _sync_folder(clips)
    return name


def new_part(folder: Path) -> Path:
    """Return a name for a file that is still being written, unlike that of any other run."""
    return folder / f"{os.getpid()}-{time.monotonic_ns()}{PART}"


def _copy(read: BinaryIO, aside: Path, size: int, progress: Progress) -> str:
    digest = hashlib.sha256()
    done = 0
    with aside.open("wb") as write:
        while chunk := read.read(_CHUNK):
            digest.update(chunk)
            write.write(chunk)
            done += len(chunk)
            progress(done, max(size, done))
        write.flush()
        os.fsync(write.fileno())
    return digest.hexdigest()


def _sync_folder(folder: Path) -> None:
    """Make a new name last through a power cut, where the system lets a folder be synced."""
    if os.name == "nt":
        return
    opened = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(opened)
    finally:
        os.close(opened)


def check_space(folder: Path, need_bytes: int) -> None:
    """Say early that the disk is too full.

    Raises
    ------
    MachineError
        When less than what is needed plus 50 MB is free.
    """
    free = shutil.disk_usage(folder).free
    if free < need_bytes + _RESERVE_BYTES:
        raise MachineError(
            f"The disk is too full: {folder} has {free / 1e6:.0f} MB free, "
            f"{(need_bytes + _RESERVE_BYTES) / 1e6:.0f} MB "
            "are needed. Make room or put the library elsewhere (--library); nothing was changed."
        )


def as_machine_error(error: OSError, folder: Path) -> MachineError:
    """Put a failure of the disk into words."""
    if error.errno in _NO_SPACE:
        return MachineError(f"The disk is full; {folder} cannot take more. Make room, then try again.")
    if isinstance(error, PermissionError) or error.errno in (errno.EACCES, errno.EROFS):
        return MachineError(f"{folder} may not be written. Change its rights, or choose another place with --library.")
    return MachineError(f"{folder} could not be used: {error.strerror or error}.")


def save_arrays(path: Path, arrays: Mapping[str, NDArray[Any]], text: Mapping[str, str]) -> None:
    """Write arrays and short texts as one compressed file, aside first, then moved in.

    Raises
    ------
    MachineError
        When the disk is full or may not be written.
    """
    aside = new_part(path.parent)
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        with aside.open("wb") as file:
            np.savez_compressed(file, **arrays, **{f"text:{k}": np.array(v) for k, v in text.items()})  # type: ignore[arg-type]
        aside.replace(path)
    except OSError as error:
        raise as_machine_error(error, path.parent) from error
    finally:
        aside.unlink(missing_ok=True)


def load_arrays(path: Path) -> tuple[dict[str, NDArray[Any]], dict[str, str]] | None:
    """Read what ``save_arrays`` wrote; None when it is not there or damaged, since it can be made again."""
    try:
        # opened here, since np.load leaves a damaged file open
        with path.open("rb") as file:
            data = np.load(file)
            if not isinstance(data, np.lib.npyio.NpzFile):
                return None
            arrays = {k: data[k] for k in data.files if not k.startswith("text:")}
            text = {k.removeprefix("text:"): str(data[k]) for k in data.files if k.startswith("text:")}
            return arrays, text
    except _DAMAGED:
        return None


def remove(path: Path) -> None:
    """Remove a file; nothing happens when it is gone already.

    Raises
    ------
    MachineError
        When another program holds it or the folder may not be written.
    """
    try:
        path.unlink(missing_ok=True)
    except OSError as error:
        raise as_machine_error(error, path.parent) from error


def sweep(folders: tuple[Path, ...]) -> None:
    """Remove what stopped runs left: parts whose process is gone, or that nobody wrote to for an hour."""
    for folder in folders:
        for part in folder.rglob(f"*{PART}"):
            try:
                process = part.name.partition("-")[0]
                is_old = time.time() - part.stat().st_mtime > _DEAD_AFTER_S
                if is_old or not process.isdigit() or not _is_running(int(process)):
                    part.unlink(missing_ok=True)
            except OSError:
                continue


def is_alive(process: int, since_s: float) -> bool:
    """Whether the run that noted its process at that time (seconds of the epoch) may still be working."""
    # after a day the number has likely been given to another process
    return _is_running(process) and time.time() - since_s < _DAY_S


def _is_running(process: int) -> bool:
    if os.name == "nt":  # asking would end the process there; the age decides
        return True
    try:
        os.kill(process, 0)
    except (ProcessLookupError, OverflowError):
        return False
    except PermissionError:
        return True
    return True
