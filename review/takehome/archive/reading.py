"""Reads an archive that may be damaged or made to do harm; nothing is unpacked by the name it claims."""

import hashlib
import json
import zipfile
import zlib
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from typing import Any, NoReturn

from review.errors import BadInputError
from review.progress import Progress, silent
from review.takehome.archive.contents import FILES, FORMAT, MANIFEST, ROWS, VERSION, Manifest

_CHUNK = 1 << 20
_MOST_PARTS = 20_000
_MOST_TEXT_BYTES = 256_000_000
_MOST_RATIO = 200
_SMALL_BYTES = 1_000_000
"""Below it the ratio of packing says nothing."""
_DAMAGED = (zipfile.BadZipFile, zlib.error, EOFError, NotImplementedError, RuntimeError, UnicodeError, ValueError)
_LINK, _KIND = 0o120000, 0o170000


class Archive:
    """An open archive whose manifest and names have been checked."""

    def __init__(self, path: Path, packed: zipfile.ZipFile, manifest: Manifest) -> None:
        self.path = path
        self.manifest = manifest
        self._packed = packed

    @property
    def size_bytes(self) -> int:
        """Bytes of all its parts, unpacked."""
        return sum(size for _, size in self.manifest.files.values())

    def names(self, folder: str) -> tuple[str, ...]:
        """Its parts in a folder, by name."""
        return tuple(sorted(name for name in self.manifest.files if name.startswith(f"{folder}/")))

    def read_rows(self) -> Mapping[str, Any]:
        """The rows of its tables as JSON, by table.

        Raises
        ------
        BadInputError
            When a part is damaged.
        """
        rows = {}
        for name in self.names("rows"):
            rows[name.removeprefix("rows/").removesuffix(".json")] = _as_json(self.path, b"".join(self._chunks(name)))
        return rows

    def copy(self, name: str, to: Path, progress: Progress = silent) -> str:
        """Write a part to the file ``to`` and return its ending; ``progress`` gets its bytes.

        Raises
        ------
        BadInputError
            When it is damaged.
        """
        done, total = 0, self.manifest.files[name][1]
        with to.open("wb") as write:
            for chunk in self._chunks(name):
                write.write(chunk)
                done += len(chunk)
                progress(done, total)
        return Path(name).suffix

    def _chunks(self, name: str) -> Iterator[bytes]:
        """The part's bytes; at the end it is sure that they are those of the manifest."""
        sha256, size = self.manifest.files[name]
        digest = hashlib.sha256()
        done = 0
        try:
            with self._packed.open(name) as read:
                while chunk := read.read(_CHUNK):
                    done += len(chunk)
                    if done > size:
                        _refuse(self.path, f"{name} is larger than it says")
                    digest.update(chunk)
                    yield chunk
        except BadInputError:
            raise
        except _DAMAGED as error:
            _refuse(self.path, f"{name} is damaged", error)
        if done != size or digest.hexdigest() != sha256:
            _refuse(self.path, f"{name} is not what the manifest says")


@contextmanager
def open_archive(path: Path) -> Iterator[Archive]:
    """Open an archive and check its names, sizes and manifest.

    Raises
    ------
    BadInputError
        When it is missing, broken off, of a newer version, not an archive of a lesson, or holds what no archive does.
    """
    try:
        packed = zipfile.ZipFile(path)
    except FileNotFoundError as error:
        raise BadInputError(f"There is no file {path}; check the name and the folder.") from error
    except _DAMAGED as error:
        _refuse(path, "it is no archive, or it is broken off", error)
    except OSError as error:
        raise BadInputError(f"{path} cannot be read ({error.strerror}); check the file and its rights.") from error
    with packed:
        yield Archive(path, packed, _check(path, packed))


def _check(path: Path, packed: zipfile.ZipFile) -> Manifest:
    parts = packed.infolist()
    if len(parts) > _MOST_PARTS:
        _refuse(path, f"it has more than {_MOST_PARTS} parts")
    names = [part.orig_filename for part in parts]
    if len(set(names)) != len(names):
        _refuse(path, "a part is in it twice")
    for part in parts:
        _check_part(path, part)
    if sum(part.file_size for part in parts if _is_text(part.orig_filename)) > _MOST_TEXT_BYTES:
        _refuse(path, "its rows unpack to far too much")
    if MANIFEST not in names:
        _refuse(path, f"it has no {MANIFEST}")
    try:
        data = _as_json(path, packed.read(MANIFEST))
        if data["format"] != FORMAT:
            _refuse(path, "it is of another kind")
        if int(data["version"]) > VERSION:
            raise BadInputError(
                f"{path} was written by a newer version of the program (format {int(data['version'])}, known here: "
                f"{VERSION}). Update the program; nothing was changed."
            )
        manifest = Manifest.from_json(data)
    except BadInputError:
        raise
    except (*_DAMAGED, KeyError, TypeError, AttributeError, OverflowError) as error:
        _refuse(path, f"its {MANIFEST} cannot be understood", error)
    if set(manifest.files) != set(names) - {MANIFEST}:
        _refuse(path, "its parts are not those of its manifest")
    for part in parts:
        if part.filename != MANIFEST and manifest.files[part.filename][1] != part.file_size:
            _refuse(path, f"{part.filename} has not the size the manifest says")
    return manifest


def _check_part(path: Path, part: zipfile.ZipInfo) -> None:
    name = part.orig_filename
    is_text = _is_text(name)
    if not is_text and FILES.fullmatch(name) is None:
        _refuse(path, f"it holds {name[:80]!r}, which no archive of a lesson does")
    if (part.external_attr >> 16) & _KIND == _LINK:
        _refuse(path, f"{name} is a link")
    if part.flag_bits & 0x1:
        _refuse(path, f"{name} is locked by a password")
    if part.compress_type not in ((zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED) if is_text else (zipfile.ZIP_STORED,)):
        _refuse(path, f"{name} is packed in a way that no archive of a lesson is")
    is_bloated = part.file_size > max(_SMALL_BYTES, _MOST_RATIO * part.compress_size)
    if is_bloated or (is_text and part.file_size > _MOST_TEXT_BYTES):
        _refuse(path, f"{name} unpacks to far too much")


def _is_text(name: str) -> bool:
    return name == MANIFEST or ROWS.fullmatch(name) is not None


def _as_json(path: Path, data: bytes) -> Any:
    def refuse_constant(text: str) -> NoReturn:
        raise ValueError(f"{text} is no number")

    try:
        return json.loads(data.decode("utf-8"), parse_constant=refuse_constant)
    except (ValueError, RecursionError) as error:
        _refuse(path, "a part of it cannot be understood", error)


def _refuse(path: Path, why: str, error: BaseException | None = None) -> NoReturn:
    raise BadInputError(
        f"{path} is not a whole archive of a lesson: {why}. Expected a file that `lesson-review pack` wrote; have it "
        "sent again. Nothing was changed."
    ) from error
