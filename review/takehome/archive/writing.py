"""Writes an archive: aside first, then moved in; the same lesson gives the same bytes."""

import errno
import hashlib
import json
import os
import shutil
import zipfile
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from review.errors import BadInputError, MachineError
from review.progress import Progress, silent
from review.takehome.archive.contents import MANIFEST, Manifest

_CHUNK = 1 << 20
_RESERVE_BYTES = 50_000_000
_LONG_AGO = (1980, 1, 1, 0, 0, 0)


@dataclass(frozen=True)
class Entry:
    """A part of an archive: its name, and its bytes or the file that holds them."""

    name: str
    source: bytes | Path

    @property
    def size(self) -> int:
        """Bytes of it; an OSError when the file is gone."""
        return len(self.source) if isinstance(self.source, bytes) else self.source.stat().st_size


def write_archive(entries: Sequence[Entry], about: Manifest, to: Path, progress: Progress = silent) -> Manifest:
    """Write the parts and their manifest to the file ``to``, in the place of what is there; return the manifest.

    ``about`` is the manifest without its files. ``progress`` gets bytes done and bytes in all and may raise
    ``Cancelled``. On any error, or ended at any moment, ``to`` is what it was before.

    Raises
    ------
    BadInputError
        When there is no such folder, or a file to be put in is gone.
    MachineError
        When the disk is full or may not be written.
    """
    to = Path(os.path.abspath(to.expanduser()))
    if to.is_dir() or not to.parent.is_dir():
        raise BadInputError(f"{to} cannot be written: give the name of a file in a folder that is there.")
    _sweep(to)
    aside = to.with_name(f".{to.name}.part-{os.getpid()}")
    try:
        total = sum(entry.size for entry in entries)
        if shutil.disk_usage(to.parent).free < total + _RESERVE_BYTES:
            raise MachineError(f"The disk is too full: {total / 1e6 + 50:.0f} MB are needed in {to.parent}. Make room.")
        files: dict[str, tuple[str, int]] = {}
        done = 0
        with aside.open("wb") as file:
            with zipfile.ZipFile(file, "w") as packed:
                for entry in sorted(entries, key=lambda one: one.name):
                    files[entry.name] = _pack(packed, entry, done, total, progress)
                    done += files[entry.name][1]
                manifest = Manifest(about.schema, about.lesson_id, about.held_on, files, about.landmarks)
                text = json.dumps(manifest.as_json(), indent=1, sort_keys=True, ensure_ascii=False)
                packed.writestr(_info(MANIFEST), text.encode("utf-8"))
            file.flush()
            os.fsync(file.fileno())
        aside.replace(to)
        return manifest
    except (BadInputError, MachineError):
        raise
    except FileNotFoundError as error:
        raise BadInputError(f"A file of the lesson is gone ({error.filename}); nothing was written.") from error
    except OSError as error:
        is_full = error.errno in (errno.ENOSPC, getattr(errno, "EDQUOT", errno.ENOSPC))
        reason = "the disk is full" if is_full else error.strerror or str(error)
        raise MachineError(f"{to} could not be written: {reason}. Make room or choose another folder.") from error
    finally:
        aside.unlink(missing_ok=True)


def _info(name: str) -> zipfile.ZipInfo:
    info = zipfile.ZipInfo(name, _LONG_AGO)
    info.create_system = 3  # the same on every system
    info.external_attr = 0o600 << 16
    info.compress_type = zipfile.ZIP_DEFLATED if name.endswith(".json") else zipfile.ZIP_STORED
    return info


def _pack(packed: zipfile.ZipFile, entry: Entry, done: int, total: int, progress: Progress) -> tuple[str, int]:
    info = _info(entry.name)
    if isinstance(entry.source, bytes):
        packed.writestr(info, entry.source)
        return hashlib.sha256(entry.source).hexdigest(), len(entry.source)
    digest = hashlib.sha256()
    size = 0
    info.file_size = entry.size
    with entry.source.open("rb") as read, packed.open(info, "w") as write:
        while chunk := read.read(_CHUNK):
            digest.update(chunk)
            write.write(chunk)
            size += len(chunk)
            progress(done + size, max(total, done + size))
    return digest.hexdigest(), size


def _sweep(to: Path) -> None:
    """Remove what a killed run left beside ``to``."""
    for part in to.parent.iterdir():
        head, _, process = part.name.rpartition("-")
        if head == f".{to.name}.part" and process.isdigit() and os.name != "nt":
            try:
                os.kill(int(process), 0)
            except (ProcessLookupError, OverflowError):
                part.unlink(missing_ok=True)
            except PermissionError:
                continue
