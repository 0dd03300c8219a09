"""What stands in an archive: the names of its parts and its manifest (docs/data.md tells the format)."""

import re
from dataclasses import dataclass, field
from typing import Any

FORMAT, VERSION = "lesson-review lesson", 1
MANIFEST = "manifest.json"
ROWS = re.compile(r"rows/[a-z][a-z_]{0,40}\.json")
FILES = re.compile(r"(clips|voice)/[0-9a-f]{64}(\.[a-z0-9]{1,8})?|landmarks/[0-9a-f]{64}\.npz")
"""The only names a part may have besides the manifest's: none of them leads out of a folder."""


@dataclass(frozen=True)
class Manifest:
    """What an archive says of itself.

    ``schema`` is the version of the library's tables that its rows are of; ``files`` maps each part to its sha256 and
    size in bytes; ``landmarks`` maps each file of landmarks to the text that names every input of it.
    """

    schema: int
    lesson_id: str
    held_on: str
    files: dict[str, tuple[str, int]]
    landmarks: dict[str, str] = field(default_factory=dict)

    def as_json(self) -> dict[str, Any]:
        """The manifest as it is written."""
        return {
            "format": FORMAT,
            "version": VERSION,
            "schema": self.schema,
            "lesson": {"id": self.lesson_id, "held_on": self.held_on},
            "files": {name: {"sha256": sha, "size": size} for name, (sha, size) in sorted(self.files.items())},
            "landmarks": dict(sorted(self.landmarks.items())),
        }

    @classmethod
    def from_json(cls, data: Any) -> "Manifest":
        """Read it; KeyError, TypeError, ValueError or AttributeError when it is none."""
        files = {str(n): (str(one["sha256"]), int(one["size"])) for n, one in data["files"].items()}
        lesson = data["lesson"]
        landmarks = {str(name): str(key) for name, key in data["landmarks"].items()}
        return cls(int(data["schema"]), str(lesson["id"]), str(lesson["held_on"]), files, landmarks)
