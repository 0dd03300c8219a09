"""Which picture of a review copy is which frame of the original, and where it lies."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from review.lesson import FloatArray


@dataclass(frozen=True, eq=False)
class CopyMap:
    """Frame ``i`` of the copy is frame ``i`` of the original, shown at ``time_s[i]`` on the original's clock.

    ``begin_byte``, ``n_bytes`` and ``crc32`` (n_frames,) say where its picture lies in the copy and what it must be;
    ``width_px`` and ``height_px`` are those of a picture, ``stored_px`` the width and height stored, even.
    ``file_bytes`` is the size of the copy.
    """

    time_s: FloatArray
    begin_byte: NDArray[np.int64]
    n_bytes: NDArray[np.int64]
    crc32: NDArray[np.int64]
    width_px: int
    height_px: int
    stored_px: tuple[int, int]
    file_bytes: int

    def __post_init__(self) -> None:
        n = len(self.time_s)
        if not n or any(a.shape != (n,) for a in (self.time_s, self.begin_byte, self.n_bytes, self.crc32)):
            raise ValueError(f"every array of a map must have shape {(n,)} with n > 0")
        if np.any(self.begin_byte < 0) or np.any(self.begin_byte + self.n_bytes > self.file_bytes):
            raise ValueError("a picture lies outside the copy")
        if self.width_px > self.stored_px[0] or self.height_px > self.stored_px[1]:
            raise ValueError(f"a picture of {self.width_px} x {self.height_px} px is not in one of {self.stored_px} px")

    @property
    def n_frames(self) -> int:
        """Number of frames of the copy, as of the original."""
        return len(self.time_s)

    def as_arrays(self) -> dict[str, NDArray[Any]]:
        """What ``from_arrays`` takes."""
        sizes = [self.width_px, self.height_px, *self.stored_px, self.file_bytes]
        return {
            "time_s": self.time_s,
            "begin_byte": self.begin_byte,
            "n_bytes": self.n_bytes,
            "crc32": self.crc32,
            "sizes": np.array(sizes, dtype=np.int64),
        }

    @classmethod
    def from_arrays(cls, arrays: Mapping[str, NDArray[Any]]) -> "CopyMap":
        """Return the map that was kept.

        Raises
        ------
        ValueError
            It is no whole map.
        """
        try:
            width, height, stored_width, stored_height, file_bytes = (int(v) for v in arrays["sizes"])
            return cls(
                time_s=arrays["time_s"].astype(np.float64),
                begin_byte=arrays["begin_byte"].astype(np.int64),
                n_bytes=arrays["n_bytes"].astype(np.int64),
                crc32=arrays["crc32"].astype(np.int64),
                width_px=width,
                height_px=height,
                stored_px=(stored_width, stored_height),
                file_bytes=file_bytes,
            )
        except (KeyError, TypeError) as error:
            raise ValueError(f"no whole map: {error}") from error


class DamagedCopyError(ValueError):
    """The copy is not what its map says; throw it away and make it again."""
