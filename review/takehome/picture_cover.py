"""Heads and surroundings replaced in the frames of a clip: of what is covered no pixel is left."""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray

from review.lesson import FloatArray
from review.media import Planes, to_planes
from review.palette import QUIET_INK
from review.takehome.looks import Picture

_EDGE_PX = 1.5
"""Covered beyond the edge: a pixel that is only touched, and what a smaller picture mixes in from its neighbours."""

_Part = tuple[slice, slice, NDArray[np.bool_]]
"""Rows and columns of a picture, beginning at even ones, and which pixels of them are covered."""


@dataclass(frozen=True, eq=False)
class PictureCover:
    """What is replaced on each frame of one clip, in pixels of the full-size upright picture.

    heads : (n_frames, k, 5) ellipses: centre x, centre y, half axes a and b, angle of a from x toward y in radians;
        NaN where there is none.
    kept : left, top, right, bottom of what is shown; everything outside is replaced. None = the whole picture.
    """

    heads: FloatArray
    width_px: int
    height_px: int
    kept: tuple[float, float, float, float] | None = None

    def __post_init__(self) -> None:
        if self.heads.ndim != 3 or self.heads.shape[2] != 5:
            raise ValueError(f"heads must have shape (n_frames, k, 5), got {self.heads.shape}")

    @property
    def hides_around(self) -> bool:
        """Whether anything around the player is replaced."""
        if self.kept is None:
            return False
        left, top, right, low = self.kept
        return left > 0 or top > 0 or right < self.width_px or low < self.height_px

    def hide(self, rgb: Picture, index: int) -> Picture:
        """Return frame ``index`` with everything to be covered replaced by one colour; ``rgb`` may be smaller.

        Raises
        ------
        ValueError
            When the cover knows no such frame: rather no picture than one with a face.
        """
        picture = np.array(rgb, dtype=np.uint8, order="C")
        for rows, columns, mask in self._parts(index, picture.shape[0], picture.shape[1]):
            picture[rows, columns][mask] = QUIET_INK
        return picture

    def hide_planes(self, planes: Planes, index: int) -> Planes:
        """Return the same as :meth:`hide` for a picture as video stores it; colour goes where any of it is covered."""
        picture, (bright, *colours) = planes.copy(), _colour()
        for rows, columns, mask in self._parts(index, *picture.y.shape):
            picture.y[rows, columns][mask] = bright
            even = np.pad(mask, [(0, side % 2) for side in mask.shape])
            half = np.asarray(even.reshape(even.shape[0] // 2, 2, even.shape[1] // 2, 2).any(axis=(1, 3)))
            for plane, colour in zip((picture.u, picture.v), colours, strict=True):
                place = plane[rows.start // 2 : rows.start // 2 + half.shape[0], columns.start // 2 :]
                place[:, : half.shape[1]][half] = colour
        return picture

    def _parts(self, index: int, height: int, width: int) -> Iterator[_Part]:
        if not 0 <= index < len(self.heads):
            raise ValueError(f"the cover has {len(self.heads)} frames, frame {index} was asked for")
        scale = np.array([width / self.width_px, height / self.height_px])
        for ellipse in self.heads[index]:
            if np.isfinite(ellipse).all():
                yield from _cut_out(ellipse, scale, height, width)
        if self.kept is not None:
            left, top = np.ceil(np.array(self.kept[:2]) * scale)
            right, low = np.floor(np.array(self.kept[2:]) * scale)
            x, y = np.arange(width), np.arange(height)[:, None]
            yield slice(0, height), slice(0, width), (x < left) | (x >= right) | (y < top) | (y >= low)


def _cut_out(ellipse: FloatArray, scale: FloatArray, height: int, width: int) -> Iterator[_Part]:
    x, y, a, b, angle = ellipse
    edge = _EDGE_PX / scale.min()
    a, b, cos, sin = a + edge, b + edge, np.cos(angle), np.sin(angle)
    reach = np.hypot([a * cos, a * sin], [b * sin, b * cos])
    low = np.floor((np.array([x, y]) - reach) * scale).clip(0, [width, height]).astype(int) // 2 * 2
    high = np.ceil((np.array([x, y]) + reach) * scale).clip(0, [width, height]).astype(int)
    if (high <= low).any():
        return
    right = (np.arange(low[0], high[0]) + 0.5) / scale[0] - x
    down = ((np.arange(low[1], high[1]) + 0.5) / scale[1] - y)[:, None]
    inside = ((right * cos + down * sin) / a) ** 2 + ((down * cos - right * sin) / b) ** 2 <= 1.0
    yield slice(low[1], high[1]), slice(low[0], high[0]), inside


@cache
def _colour() -> tuple[int, int, int]:
    planes = to_planes(np.full((2, 2, 3), QUIET_INK, dtype=np.uint8))
    return int(planes.y[0, 0]), int(planes.u[0, 0]), int(planes.v[0, 0])
