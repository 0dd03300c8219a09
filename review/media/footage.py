"""Which part of a video file is meant."""

import os
from dataclasses import dataclass
from pathlib import Path


@dataclass(frozen=True)
class Footage:
    """Pictures and sound of a file from ``begin_s`` up to but without ``end_s``, presentation times in seconds.

    ``begin_s`` 0 = from the first frame, wherever the file's clock starts; ``end_s`` None = to the end. Frames are
    counted from the part's first; all times stay those of the file.
    """

    path: Path
    begin_s: float = 0.0
    end_s: float | None = None

    def __post_init__(self) -> None:
        if self.begin_s < 0 or (self.end_s is not None and self.end_s <= self.begin_s):
            raise ValueError(f"footage needs 0 <= begin_s < end_s, got {self.begin_s} and {self.end_s}")

    @property
    def name(self) -> str:
        """The file's name, with the place in it where the footage begins."""
        if not self.begin_s:
            return self.path.name
        minutes, seconds = divmod(int(self.begin_s), 60)
        return f"{self.path.name} at {minutes}:{seconds:02d}"


VideoSource = str | os.PathLike[str] | Footage
"""A whole file by its path, or a part of one."""


def path_in(source: VideoSource) -> str | os.PathLike[str]:
    """Return the file of a source as it was given."""
    return source.path if isinstance(source, Footage) else source


def as_footage(source: VideoSource) -> Footage:
    """Return a source as footage."""
    return source if isinstance(source, Footage) else Footage(Path(source))
