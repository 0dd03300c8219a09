"""What lies in a backup's folder: its list of files, and what may be in it (docs/library.md tells the form)."""

import hashlib
import json
import re
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any

from review.errors import BadInputError
from review.jobs.keeping_house.copying import write_text

FORMAT, VERSION = "lesson-review backup", 1
LIST, BEGUN = "backup.json", "begun.json"
DATABASE = "database"
"""Folder of the copied database, named by its content: list and database change together, with the list."""
_NAME = re.compile(r"(?:clips|voice|mappings|database|derived/[a-z][a-z0-9_-]*)/[^/\\:\x00]+")
_OWN_PART = re.compile(r"\d+-\d+\.part")
_SHA256 = re.compile(r"[0-9a-f]{64}")
PARTS = ("clips", "voice", "mappings", "derived", DATABASE)


@dataclass(frozen=True)
class KeptFile:
    """A file of a backup: what it holds, its size, and when it was written there (0 = not known)."""

    sha256: str
    size_bytes: int
    written_ns: int = 0


@dataclass(frozen=True)
class BackupList:
    """What a backup holds: its ``id`` is noted in the library that it is of; ``files`` by name in library and backup.

    ``database`` is the name of the database's copy in the backup; in the library it is ``library.db``.
    """

    id: str
    schema: int
    made_at: datetime
    database: str
    files: dict[str, KeptFile]

    @property
    def size_bytes(self) -> int:
        """Bytes of all its files."""
        return sum(file.size_bytes for file in self.files.values())

    def write(self, folder: Path) -> None:
        """Write it to a backup's folder, in one step.

        Raises
        ------
        MachineError
            When the disk is full or may not be written.
        """
        listed = {name: [f.sha256, f.size_bytes, f.written_ns] for name, f in sorted(self.files.items())}
        data = {
            "format": FORMAT,
            "version": VERSION,
            "id": self.id,
            "schema": self.schema,
            "made_at": self.made_at.isoformat(),
            "database": self.database,
            "files": listed,
        }
        write_text(folder / LIST, json.dumps({**data, "sha256": _digest(data)}, ensure_ascii=False, indent=0))


def read_list(folder: Path) -> BackupList:
    """Read what a backup holds; its files are not looked at.

    Raises
    ------
    BadInputError
        When there is none, it was never finished, its list is damaged, or it is of a newer version of the program.
    """
    try:
        data = json.loads((folder / LIST).read_text(encoding="utf-8"))
    except FileNotFoundError as error:
        if (folder / BEGUN).exists():
            raise BadInputError(
                f"The backup in {folder} was broken off and never finished: back up there once more, or use another."
            ) from error
        raise BadInputError(f"There is no backup in {folder}: expected one that lesson-review backup made.") from error
    except OSError as error:
        raise BadInputError(f"{folder / LIST} cannot be read ({error.strerror}); check the disk.") from error
    except ValueError as error:
        raise _damaged(folder) from error
    try:
        if data.get("format") == FORMAT and int(data["version"]) > VERSION:
            raise BadInputError(
                f"The backup in {folder} was written by a newer version of the program. Update the program; nothing "
                "was changed."
            )
        said = data.pop("sha256")
        if data["format"] != FORMAT or said != _digest(data):
            raise _damaged(folder)
        files = {str(name): KeptFile(str(sha), int(size), int(ns)) for name, (sha, size, ns) in data["files"].items()}
        for name, file in files.items():
            if not _NAME.fullmatch(name) or name.endswith(("/.", "/..")) or not _SHA256.fullmatch(file.sha256):
                raise _damaged(folder)
        if data["database"] not in files:
            raise _damaged(folder)
        made_at = datetime.fromisoformat(data["made_at"])
        return BackupList(str(data["id"]), int(data["schema"]), made_at, str(data["database"]), files)
    except BadInputError:
        raise
    except (KeyError, TypeError, ValueError, AttributeError, OverflowError) as error:
        raise _damaged(folder) from error


def list_things(folder: Path) -> list[str]:
    """Names of what lies in a folder, but for what a killed run of ours was just writing; none when it is not there."""
    if not folder.is_dir():
        return []
    return sorted(path.name for path in folder.iterdir() if not _OWN_PART.fullmatch(path.name))


def _damaged(folder: Path) -> BadInputError:
    return BadInputError(
        f"{folder / LIST}, the list of what the backup holds, is damaged, so nothing in the backup can be trusted. Use "
        "another backup; nothing was changed."
    )


def _digest(data: dict[str, Any]) -> str:
    return hashlib.sha256(json.dumps(data, sort_keys=True, ensure_ascii=False).encode("utf-8")).hexdigest()
