"""A take-home as one file that a phone opens: written aside, moved in when it is whole."""

import contextlib
import os
import zipfile
from pathlib import Path
from uuid import uuid4

from review.errors import BadInputError
from review.takehome.folder import MARKER, disk_error

_SAME_DATE = (1980, 1, 1, 0, 0, 0)
"""The earliest a zip can say: when the files were written is nobody's business."""


def zip_path(folder: Path) -> Path:
    """Return where the zip of a folder lies: beside it."""
    return folder.with_name(folder.name + ".zip")


def check_zip_target(folder: Path) -> None:
    """Raise ``BadInputError`` unless the place of the zip is free or holds an earlier take-home."""
    path = zip_path(folder)
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


def write_zip(folder: Path) -> Path:
    """Write the zip of a take-home beside its folder and return its path.

    Raises
    ------
    BadInputError
        In its place lies something else.
    MachineError
        It cannot be written.
    """
    check_zip_target(folder)
    path = zip_path(folder)
    part = path.with_name(f".{path.name}.{uuid4().hex[:8]}.part")
    try:
        with zipfile.ZipFile(part, "w") as target:
            for file in sorted(p for p in folder.iterdir() if p.name != MARKER):
                # videos and PDF are packed already
                how = zipfile.ZIP_DEFLATED if file.suffix in (".html", ".csv") else zipfile.ZIP_STORED
                entry = zipfile.ZipInfo(f"{folder.name}/{file.name}", _SAME_DATE)
                entry.compress_type = how
                entry.external_attr = 0o644 << 16
                with file.open("rb") as source, target.open(entry, "w") as into:
                    while block := source.read(1 << 20):
                        into.write(block)
        with part.open("rb+") as whole:
            os.fsync(whole.fileno())
        part.replace(path)
    except OSError as error:
        raise disk_error(path, error) from error
    finally:
        with contextlib.suppress(OSError):
            part.unlink()
    return path
