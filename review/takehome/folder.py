"""A folder that is old or new, never half: written aside under a name of its own, moved in whole."""

import contextlib
import ctypes
import errno
import os
import re
import shutil
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from review.errors import BadInputError, MachineError

MARKER = ".take-home"
_NOT_COUNTED = frozenset({MARKER, ".DS_Store", "Thumbs.db", "desktop.ini"})
_ABANDONED_AFTER_S = 6 * 3600.0
_AT_FDCWD, _EXCHANGE_LINUX, _SWAP_MACOS = -100, 2, 2


@contextmanager
def replacing_folder(to: Path, what: str = "take-home") -> Iterator[Path]:
    """Give an empty folder to fill; when the block ends well it takes the place of ``to``.

    ``what`` it holds stands in its marker: only an earlier one of the same is replaced.

    On an error nothing has changed. Ended at any moment, ``to`` is the old or the new folder; what
    is left aside is swept by the next run.

    Raises
    ------
    BadInputError
        ``to`` is a file, or a folder with something in it that no earlier run wrote.
    MachineError
        It cannot be written.
    """
    to = Path(os.path.abspath(to.expanduser()))
    if to.is_symlink():
        to = to.resolve()
    made: list[Path] = []
    part = to.with_name(f".{to.name}.part-{os.getpid()}")
    try:
        made = _make_parents(to.parent)
        recover_folder(to)
        check_target(to, what)
        part.mkdir()
        (part / MARKER).write_text(f"{_head(what)}\n", encoding="utf-8")
        yield part
        names = sorted(p.name for p in part.iterdir() if p.name != MARKER)
        (part / MARKER).write_text("\n".join([_head(what), *names]) + "\n", encoding="utf-8")
        _flush(part)
        check_target(to, what)
        _move_in(part, to)
        made = []
    except BadInputError:
        raise
    except MachineError as error:  # the coach knows the folder by its own name
        raise MachineError(str(error).replace(str(part), str(to))) from error
    except OSError as error:
        raise disk_error(to, error) from error
    finally:
        _remove(part)
        for folder in reversed(made):
            with contextlib.suppress(OSError):
                folder.rmdir()


def _head(what: str) -> str:
    return f"{what} of a lesson; files:"


def check_target(to: Path, what: str = "take-home") -> None:
    """Raise ``BadInputError`` unless ``to`` is free, empty or holds an earlier one of its kind alone."""
    if not to.exists():
        return
    if not to.is_dir():
        raise BadInputError(f"Expected a folder to write to, but '{to}' is a file. Choose another name.")
    found = {p.name for p in to.iterdir()} - _NOT_COUNTED
    strange = sorted(found - _names_written(to, _head(what)))
    if strange:
        raise BadInputError(
            f"Expected a new or empty folder, or an earlier {what}, but '{to}' also holds '{strange[0]}'"
            + (f" and {len(strange) - 1} more" if len(strange) > 1 else "")
            + ". Choose another folder, or move those away."
        )


def _names_written(folder: Path, head: str) -> frozenset[str]:
    try:
        lines = (folder / MARKER).read_text(encoding="utf-8").splitlines()
    except (FileNotFoundError, UnicodeDecodeError):
        return frozenset()
    return frozenset(lines[1:]) if lines and lines[0] == head else frozenset()


def recover_folder(to: Path) -> None:
    """Sweep what earlier, ended runs left beside ``to``; bring an old folder back that was aside when one ended."""
    pattern = re.compile(rf"\.{re.escape(to.name)}\.(part|old|zip)-(\d+)")
    for aside in sorted(to.parent.iterdir()):
        match = pattern.fullmatch(aside.name)
        if match is None or aside.is_symlink() or _may_be_running(int(match[2]), aside):
            continue
        if match[1] == "zip":
            if aside.is_file():
                aside.unlink()
            continue
        if not aside.is_dir() or not _is_ours(aside):
            continue
        if match[1] == "old" and not to.exists():
            aside.rename(to)
        else:
            _remove(aside)


def zip_aside(to: Path) -> Path:
    """Return where the zip of a folder is written before it is whole."""
    return to.with_name(f".{to.name}.zip-{os.getpid()}")


def _remove(folder: Path) -> None:
    """Remove a folder of ours, its marker last: ended half way, the next run still knows it; what resists is left."""
    if not folder.is_dir():
        return
    with contextlib.suppress(OSError):
        for path in sorted(folder.iterdir(), key=lambda path: path.name == MARKER):
            if path.is_dir() and not path.is_symlink():
                shutil.rmtree(path)
            else:
                path.unlink()
        folder.rmdir()


def _is_ours(folder: Path) -> bool:
    return (folder / MARKER).is_file() or not any(folder.iterdir())


def _may_be_running(pid: int, folder: Path) -> bool:
    if pid == os.getpid():
        return False
    if sys.platform == "win32":  # asking after a process by signal 0 would end it there
        return time.time() - folder.stat().st_mtime < _ABANDONED_AFTER_S
    try:
        os.kill(pid, 0)
    except ProcessLookupError:
        return False
    except (PermissionError, OverflowError):
        return True
    return True


def _make_parents(folder: Path) -> list[Path]:
    missing = []
    while not folder.exists():
        missing.append(folder)
        folder = folder.parent
    if not folder.is_dir():
        raise BadInputError(f"Expected a folder, but '{folder}' is a file. Choose another place.")
    made = []
    for path in reversed(missing):
        path.mkdir()
        made.append(path)
    return made


def _flush(folder: Path) -> None:
    for path in folder.iterdir():
        with path.open("rb+") as file:
            os.fsync(file.fileno())
    _flush_folder(folder)


def _flush_folder(folder: Path) -> None:
    if sys.platform == "win32":  # folders cannot be opened there
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def _move_in(part: Path, to: Path) -> None:
    old = to.with_name(f".{to.name}.old-{os.getpid()}")
    if not to.exists():
        part.rename(to)
    elif not any(to.iterdir()):
        to.rmdir()
        part.rename(to)
    elif not exchange(part, to):  # after an exchange the old one lies in ``part``
        to.rename(old)
        try:
            part.rename(to)
        except OSError:
            old.rename(to)
            raise
    _flush_folder(to.parent)
    _remove(old)


def exchange(one: Path, other: Path) -> bool:
    """Let two folders change places in a single step; False where the system or the disk cannot."""
    try:
        if sys.platform == "linux":
            call = ctypes.CDLL(None, use_errno=True).renameat2
            done = call(_AT_FDCWD, os.fsencode(one), _AT_FDCWD, os.fsencode(other), _EXCHANGE_LINUX)
        elif sys.platform == "darwin":
            call = ctypes.CDLL(None, use_errno=True).renamex_np
            done = call(os.fsencode(one), os.fsencode(other), _SWAP_MACOS)
        else:
            return False
    except (AttributeError, OSError):
        return False
    return int(done) == 0


def disk_error(to: Path, error: OSError) -> MachineError:
    """Say in the coach's words why the disk did not take it."""
    if error.errno in (errno.ENOSPC, getattr(errno, "EDQUOT", errno.ENOSPC)):
        return MachineError(f"Writing '{to}' stopped: the disk is full. Free some space and run it again.")
    if error.errno in (errno.EACCES, errno.EPERM, errno.EROFS):
        return MachineError(f"Writing to '{to.parent}' is not permitted. Choose a folder of yours.")
    reason = error.strerror or str(error)
    return MachineError(f"Writing '{to}' failed ({reason}). Check the disk and run it again.")
