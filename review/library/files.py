"""The library's files: copies of clips, and what can be made again from them."""

import errno
import hashlib
import os
import shutil
import time
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from review.errors import BadInputError, MachineError

_CHUNK = 1 << 20
_DEAD_AFTER_S = 3600.0
_RESERVE_BYTES = 50_000_000


def copy_in(source: Path, clips: Path) -> tuple[str, str]:
    """Copy a file under the name of its content; return its sha256 and its name.

    The copy is written aside, synced and moved in, so that a name in ``clips`` always holds the whole file.

    Raises
    ------
    BadInputError
        When the source is missing.
    MachineError
        When the disk is full or may not be written.
    """
    try:
        size = source.stat().st_size
    except FileNotFoundError as error:
        raise BadInputError(f"There is no file {source}; check the name and the folder.") from error
    check_space(clips, size)
    aside = clips / f"{os.getpid()}-{time.monotonic_ns()}.part"
    digest = hashlib.sha256()
    try:
        with source.open("rb") as read, aside.open("wb") as write:
            while chunk := read.read(_CHUNK):
                digest.update(chunk)
                write.write(chunk)
            write.flush()
            os.fsync(write.fileno())
        sha256 = digest.hexdigest()
        name = sha256 + source.suffix.lower()
        if not (clips / name).exists():
            aside.replace(clips / name)
        return sha256, name
    except OSError as error:
        raise as_machine_error(error, clips) from error
    finally:
        aside.unlink(missing_ok=True)


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
            f"The disk is too full: {folder} has {free / 1e6:.0f} MB free, {(need_bytes + _RESERVE_BYTES) / 1e6:.0f} MB "
            "are needed. Make room or put the library elsewhere (--library); nothing was changed."
        )


def as_machine_error(error: OSError, folder: Path) -> MachineError:
    """Put a failure of the disk into words."""
    if error.errno == errno.ENOSPC:
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
    aside = path.with_name(f"{os.getpid()}-{time.monotonic_ns()}.part")
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
        with np.load(path) as data:
            arrays = {k: data[k] for k in data.files if not k.startswith("text:")}
            text = {k.removeprefix("text:"): str(data[k]) for k in data.files if k.startswith("text:")}
            return arrays, text
    except (OSError, ValueError, KeyError, EOFError):
        return None
    except Exception as error:  # noqa: BLE001  zipfile has no common base for what a damaged file raises
        if type(error).__name__ in ("BadZipFile", "error"):
            return None
        raise


def sweep(folders: tuple[Path, ...]) -> None:
    """Remove what stopped runs left: parts whose process is gone, or that nobody wrote to for an hour."""
    for folder in folders:
        for part in folder.rglob("*.part"):
            try:
                is_old = time.time() - part.stat().st_mtime > _DEAD_AFTER_S
                if is_old or not _is_running(part.name.partition("-")[0]):
                    part.unlink(missing_ok=True)
            except OSError:
                continue


def _is_running(process: str) -> bool:
    if not process.isdigit():
        return False
    if os.name == "nt":  # asking would end the process there; the age decides
        return True
    try:
        os.kill(int(process), 0)
    except ProcessLookupError:
        return False
    except PermissionError:
        return True
    return True
