"""What a live table comes from: a file that another program goes on writing, or standard input."""

import os
import threading
from dataclasses import dataclass
from pathlib import Path
from queue import Empty, SimpleQueue
from typing import Protocol

_CHUNK = 65536
_NEAR = 8192
"""Where one goes on when what has come is more than a chunk: as far before its end."""
_COMPARED = 4096


@dataclass(frozen=True)
class News:
    """New bytes. ``is_anew``: everything before has gone; ``is_torn``: bytes were left out, a line may be torn."""

    data: bytes = b""
    is_anew: bool = False
    is_torn: bool = False


class Source(Protocol):
    """What new bytes come from; ``name`` for messages; ``is_there`` is whether it was at the last call."""

    name: str
    is_there: bool

    def read_new(self, may_skip: bool = False) -> News:
        """What came since the last call; ``may_skip``: of much only the newest, since the rest is long past.

        Raises
        ------
        OSError
            It cannot be read now; it may be at the next call.
        """


class GrowingFile:
    """A file that another program goes on writing; it may be begun anew, or not be there yet."""

    def __init__(self, path: Path) -> None:
        self.name = path.name
        self.is_there = True
        self._path, self._at, self._last = path, 0, b""

    def read_new(self, may_skip: bool = False) -> News:
        """As in ``Source``; at most some thousand lines a call, so that memory stays flat."""
        try:
            with self._path.open("rb") as file:
                size = os.fstat(file.fileno()).st_size
                # begun anew it may be longer already at the next look: other bytes stand then where the last were read
                file.seek(self._at - len(self._last))
                is_anew = size < self._at or file.read(len(self._last)) != self._last
                if is_anew:
                    self._at, self._last = 0, b""
                is_torn = may_skip and not is_anew and size - self._at > _CHUNK
                if is_torn:
                    self._at, self._last = size - _NEAR, b""
                file.seek(self._at)
                data = file.read(_CHUNK)
        except FileNotFoundError:
            self.is_there = False
            return News()
        self.is_there = True
        self._at += len(data)
        self._last = (self._last + data)[-_COMPARED:]
        return News(data, is_anew, is_torn)


class IncomingStream:
    """A stream read by a thread of its own, which ends with the program.

    Parameters
    ----------
    descriptor : of the open stream; read without Python's buffer, whose lock the waiting thread would hold at the end.
    """

    def __init__(self, descriptor: int) -> None:
        self.name, self.is_there = "standard input", True
        self._queue: SimpleQueue[bytes] = SimpleQueue()
        self._descriptor = descriptor
        threading.Thread(target=self._go_on, daemon=True).start()

    def read_new(self, may_skip: bool = False) -> News:
        """As in ``Source``."""
        parts = []
        try:
            while True:
                parts.append(self._queue.get_nowait())
        except Empty:
            data = b"".join(parts)
        is_torn = may_skip and len(data) > _CHUNK
        return News(data[-_NEAR:] if is_torn else data, is_torn=is_torn)

    def _go_on(self) -> None:
        try:
            while new := os.read(self._descriptor, _CHUNK):
                self._queue.put(new)
        except OSError:  # closed
            return
