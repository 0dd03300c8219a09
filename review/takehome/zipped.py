"""A take-home as one file that a phone opens: written aside, moved in when it is whole."""

import contextlib
import os
import zipfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

from review.errors import BadInputError
from review.takehome.folder import MARKER, disk_error, zip_aside

_SAME_DATE = (1980, 1, 1, 0, 0, 0)
"""The earliest a zip can say: when the files were written is nobody's business."""


def zip_path(folder: Path) -> Path:
    """Return where the zip of a folder lies: beside it."""
    return folder.with_name(folder.name + ".zip")


@contextmanager
def replacing_zip(to: Path) -> Iterator[Callable[[Path], None]]:
    """Give what packs a folder into the zip of ``to``; when the block ends well the zip takes its place beside it.

    On an error nothing has changed; what an ended run left aside is swept by ``recover_folder``.

    Raises
    ------
    BadInputError
        In its place lies something else.
    MachineError
        It cannot be written.
    """
    to = Path(os.path.abspath(to.expanduser()))
    path = zip_path(to)
    _check_target(path)
    part = zip_aside(to)
    try:
        yield lambda folder: _pack(folder, to.name, part, path)
        try:
            part.replace(path)
        except OSError as error:
            raise disk_error(path, error) from error
    finally:
        with contextlib.suppress(OSError):
            part.unlink()


def _check_target(path: Path) -> None:
    if not path.exists():
        return
    is_ours = False
    with contextlib.suppress(OSError, zipfile.BadZipFile), zipfile.ZipFile(path) as found:
        is_ours = any(name.endswith("/index.html") for name in found.namelist())
    if not is_ours:
        raise BadInputError(
            f"Expected '{path}' to be free or an earlier take-home, but it is something else. "
            "Choose another folder, or move it away."
        )


def _pack(folder: Path, name: str, part: Path, path: Path) -> None:
    try:
        with zipfile.ZipFile(part, "w") as target:
            for file in sorted(p for p in folder.iterdir() if p.name != MARKER):
                # videos and PDF are packed already
                how = zipfile.ZIP_DEFLATED if file.suffix in (".html", ".csv") else zipfile.ZIP_STORED
                entry = zipfile.ZipInfo(f"{name}/{file.name}", _SAME_DATE)
                entry.compress_type = how
                entry.external_attr = 0o644 << 16
                with file.open("rb") as source, target.open(entry, "w") as into:
                    while block := source.read(1 << 20):
                        into.write(block)
        with part.open("rb+") as whole:
            os.fsync(whole.fileno())
    except OSError as error:
        raise disk_error(path, error) from error
