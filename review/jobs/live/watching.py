"""Watching folders in which cameras drop clips: which files are there, and which have stopped changing.

The folders are looked at again and again: network drives and camera cards report no changes, and whether a file is
complete shows only when it stays as it is and can be read to its end.
"""

import os
import time
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path

from review.jobs.lesson_file import CLIP_ENDINGS

STEADY_S = 0.6
"""A file that stayed as it is for so long is tried."""
PATIENCE_S = 60.0
"""After so long the coach is told that a file is still not whole."""
_DEPTH = 2
_FIRST_RETRY_S, _LAST_RETRY_S = 1.0, 15.0


@dataclass(frozen=True)
class Found:
    """A file that has stopped changing; ``seen_at`` is when it was first seen, by this computer's clock."""

    path: Path
    size: int
    changed_ns: int
    seen_at: datetime


@dataclass
class _Pending:
    size: int
    changed_ns: int
    seen_at: datetime
    first_s: float
    steady_since_s: float
    try_at_s: float
    retry_s: float = _FIRST_RETRY_S
    is_told: bool = False
    is_done: bool = False


@dataclass
class FolderWatch:
    """The files of some folders and how far they are.

    ``since`` : files that arrived in the folder before (by its file system) are not looked at.
    ``is_known`` : whether a file of that path, size and time of change was taken in already.
    """

    folders: Sequence[Path]
    since: datetime
    is_known: Callable[[Path, int, int], bool]
    now: Callable[[], datetime] = datetime.now
    clock_s: Callable[[], float] = time.monotonic
    _pending: dict[Path, _Pending] = field(default_factory=dict)
    _is_first: bool = True
    _missing: set[Path] = field(default_factory=set)

    def look(self) -> tuple[tuple[Found, ...], tuple[str, ...]]:
        """Return the files to try now, oldest first, and what the coach should know."""
        notes: list[str] = []
        here: dict[Path, os.stat_result] = {}
        for folder in self.folders:
            try:
                here.update(_files(folder))
            except OSError as error:
                if folder not in self._missing:
                    self._missing.add(folder)
                    notes.append(
                        f"The folder {folder} cannot be read ({error.strerror}); its clips are taken in when it "
                        "returns."
                    )
            else:
                if folder in self._missing:
                    self._missing.remove(folder)
                    notes.append(f"The folder {folder} is back.")
        for path in [p for p in self._pending if p not in here and not self._is_away(p)]:
            gone = self._pending.pop(path)
            if gone.is_told and not gone.is_done:
                notes.append(f"{path.name} is gone before it was a whole video; nothing was taken in from it.")
        for path, stat in here.items():
            self._follow(path, stat)
        self._is_first = False
        at_s = self.clock_s()
        ready = [
            Found(path, p.size, p.changed_ns, p.seen_at)
            for path, p in self._pending.items()
            if not p.is_done and at_s >= p.steady_since_s + STEADY_S and at_s >= p.try_at_s
        ]
        return tuple(sorted(ready, key=lambda found: (found.seen_at, found.path.name))), tuple(notes)

    @property
    def n_waiting(self) -> int:
        """Files that are not taken in yet; one that was told of and rests waits for the coach, not the coach for it."""
        at_s = self.clock_s()
        return sum(
            not (p.is_done or (p.is_told and at_s >= p.steady_since_s + PATIENCE_S)) for p in self._pending.values()
        )

    @property
    def names_left(self) -> tuple[str, ...]:
        """Names of the files that are not taken in yet."""
        return tuple(sorted(path.name for path, pending in self._pending.items() if not pending.is_done))

    def set_done(self, found: Found) -> None:
        """Note that a file was taken in, or is not of this lesson: it is looked at again only when it changes."""
        if found.path in self._pending:
            self._pending[found.path].is_done = True

    def try_later(self, found: Found, why: str) -> str:
        """Note that a file could not be taken in yet; return what to tell the coach, '' as long as it is too early."""
        pending = self._pending.get(found.path)
        if pending is None:
            return ""
        at_s = self.clock_s()
        pending.try_at_s = at_s + pending.retry_s
        pending.retry_s = min(2.0 * pending.retry_s, _LAST_RETRY_S)
        if pending.is_told or at_s < pending.first_s + PATIENCE_S:
            return ""
        pending.is_told = True
        return f"Still waiting for {found.path.name}. {why} It is taken in once it is whole."

    def _follow(self, path: Path, stat: os.stat_result) -> None:
        at_s = self.clock_s()
        before = self._pending.get(path)
        if before is None:
            arrived = datetime.fromtimestamp(stat.st_ctime) if self._is_first else self.now()
            is_done = self.is_known(path, stat.st_size, stat.st_mtime_ns) or arrived < self.since
            self._pending[path] = _Pending(stat.st_size, stat.st_mtime_ns, arrived, at_s, at_s, at_s, is_done=is_done)
        elif (before.size, before.changed_ns) != (stat.st_size, stat.st_mtime_ns):
            # a file that grows keeps its arrival: writing may take long
            seen_at = self.now() if before.is_done else before.seen_at
            self._pending[path] = _Pending(
                stat.st_size, stat.st_mtime_ns, seen_at, before.first_s, at_s, at_s, is_told=before.is_told
            )

    def _is_away(self, path: Path) -> bool:
        return any(path.is_relative_to(folder) for folder in self._missing)


def _files(folder: Path) -> Iterator[tuple[Path, os.stat_result]]:
    """Clips in a folder and the folders in it; hidden and temporary names are left alone.

    Raises
    ------
    OSError
        When the folder itself cannot be read; a file that goes in between is passed over.
    """
    folders = [(folder, 0)]
    while folders:
        at, depth = folders.pop()
        try:
            entries = list(os.scandir(at))
        except OSError:
            if depth == 0:
                raise
            continue
        for entry in entries:
            if entry.name.startswith((".", "~")):
                continue
            try:
                if entry.is_dir(follow_symlinks=False):
                    if depth < _DEPTH:
                        folders.append((Path(entry.path), depth + 1))
                elif os.path.splitext(entry.name)[1].lower() in CLIP_ENDINGS:
                    # asked anew: what scanning reports may lag behind on some systems
                    stat = os.stat(entry.path)
                    if stat.st_size:
                        yield Path(entry.path), stat
            except OSError:
                continue
