"""Where the pressure is now: from a table that is still being written, or one that comes in on standard input."""

import csv
import math
import threading
from pathlib import Path
from queue import Empty, SimpleQueue
from typing import BinaryIO, Protocol

import numpy as np

from review.errors import BadInputError
from review.pressure import MatPlacement
from review.pressure.columns import EXAMPLES, find_column
from review.tables import compute_factor

_CHUNK = 65536
_LONGEST_LINE = 10_000


class Source(Protocol):
    """What new bytes come from."""

    def read_new(self) -> tuple[bytes, bool]:
        """The bytes since the last call, and whether everything before has gone (the file was begun anew)."""


class GrowingFile:
    """A file that another program goes on writing; it may be begun anew, or not be there yet."""

    def __init__(self, path: Path) -> None:
        self._path, self._read = path, 0

    def read_new(self) -> tuple[bytes, bool]:
        """As in ``Source``; at most some thousand lines a call, so that memory stays flat."""
        try:
            size = self._path.stat().st_size
            is_anew = size < self._read
            if is_anew:
                self._read = 0
            with self._path.open("rb") as file:
                file.seek(self._read)
                data = file.read(_CHUNK)
        except FileNotFoundError:
            return b"", False
        self._read += len(data)
        return data, is_anew


class IncomingStream:
    """A stream read by a thread of its own, which ends with the program."""

    def __init__(self, stream: BinaryIO) -> None:
        self._queue: SimpleQueue[bytes] = SimpleQueue()
        self._stream = stream
        threading.Thread(target=self._go_on, daemon=True).start()

    def read_new(self) -> tuple[bytes, bool]:
        """As in ``Source``."""
        parts = []
        try:
            while True:
                parts.append(self._queue.get_nowait())
        except Empty:
            return b"".join(parts), False

    def _go_on(self) -> None:
        for line in self._stream:
            self._queue.put(line)


class LiveTrace:
    """Takes in a table as it comes (comma or semicolon, first line the header) and tells the newest places.

    ``n_bad`` counts lines that could not be read; they are passed over.
    """

    def __init__(self, source: Source, mat: MatPlacement | None = None) -> None:
        self._source, self._mat = source, mat or MatPlacement()
        self._rest, self._delimiter = b"", ","
        self._columns: dict[str, tuple[int, float]] = {}
        self.n_bad = 0

    def read_new(self) -> list[tuple[float, float]]:
        """Places that came since the last call, in the player's frame, centimetres; NaN where nobody stands.

        Raises
        ------
        BadInputError
            The first line names no x and y.
        """
        data, is_anew = self._source.read_new()
        if is_anew:
            self._rest, self._columns = b"", {}
        *lines, self._rest = (self._rest + data).split(b"\n")
        if len(self._rest) > _LONGEST_LINE:
            self._rest, self.n_bad = b"", self.n_bad + 1
        return [place for line in lines if line.strip() and (place := self._read(line)) is not None]

    def _read(self, line: bytes) -> tuple[float, float] | None:
        text = line.decode("utf-8", errors="replace").strip().lstrip("\ufeff")
        if not self._columns:
            self._read_header(text)
            return None
        cells = next(csv.reader([text], delimiter=self._delimiter))
        try:
            x, y = (float(cells[i]) * factor for i, factor in (self._columns["x"], self._columns["y"]))
            force = math.inf
            if "force" in self._columns:
                i, factor = self._columns["force"]
                force = float(cells[i]) * factor
        except (ValueError, IndexError):
            self.n_bad += 1
            return None
        if force <= 0 or not math.isfinite(x + y):
            return math.nan, math.nan
        place = self._mat.to_player(np.array([[x, y]]))[0]
        return float(place[0]), float(place[1])

    def _read_header(self, text: str) -> None:
        self._delimiter = ";" if text.count(";") > text.count(",") else ","
        headers = next(csv.reader([text], delimiter=self._delimiter))
        found: dict[str, tuple[int, float]] = {}
        for i, header in enumerate(headers):
            known = find_column(header)
            if known is not None and known[0] in ("x", "y", "force"):
                own = "N" if known[0] == "force" else "cm"
                found.setdefault(known[0], (i, compute_factor(known[1] or own, own) or 1.0))
        if not {"x", "y"} <= set(found):
            raise BadInputError(f"expected a first line such as {EXAMPLES}, found {text[:80]!r}")
        self._columns = found
