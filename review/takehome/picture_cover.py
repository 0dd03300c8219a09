"""Heads and surroundings replaced in the frames of a clip: of what is covered no pixel is left."""

from dataclasses import dataclass

import numpy as np

from review.lesson import FloatArray
from review.palette import QUIET_INK
from review.takehome.looks import Picture


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

    def hide(self, rgb: Picture, index: int) -> Picture:
        """Return frame ``index`` with everything to be covered replaced by one colour; ``rgb`` may be smaller.

        Raises
        ------
        ValueError
            When the cover knows no such frame: rather no picture than one with a face.
        """
        if not 0 <= index < len(self.heads):
            raise ValueError(f"the cover has {len(self.heads)} frames, frame {index} was asked for")
        picture = np.array(rgb, dtype=np.uint8, order="C")
        scale = np.array([picture.shape[1] / self.width_px, picture.shape[0] / self.height_px])
        if self.kept is not None:
            _keep_inside(picture, np.array(self.kept) * np.tile(scale, 2))
        for ellipse in self.heads[index]:
            if np.isfinite(ellipse).all():
                _fill(picture, ellipse, scale)
        return picture


def _keep_inside(picture: Picture, kept: FloatArray) -> None:
    left, top = np.ceil(kept[:2]).astype(int).clip(0)
    right, low = np.floor(kept[2:]).astype(int).clip(0)
    picture[:top] = picture[low:] = QUIET_INK
    picture[:, :left] = picture[:, right:] = QUIET_INK


def _fill(picture: Picture, ellipse: FloatArray, scale: FloatArray) -> None:
    """Fill an ellipse; a pixel that it only touches is filled too."""
    height, width = picture.shape[:2]
    x, y, a, b, angle = ellipse
    reach = np.hypot([a * np.cos(angle), a * np.sin(angle)], [b * np.sin(angle), b * np.cos(angle)])
    # half a pixel to its corner and one for what a smaller picture has mixed in from its neighbours
    low = np.floor((np.array([x, y]) - reach) * scale - 2).clip(0, [width, height]).astype(int)
    high = np.ceil((np.array([x, y]) + reach) * scale + 2).clip(0, [width, height]).astype(int)
    if (high <= low).any():
        return
    rows, columns = np.mgrid[low[1] : high[1], low[0] : high[0]]
    right, down = (columns + 0.5) / scale[0] - x, (rows + 0.5) / scale[1] - y
    along = right * np.cos(angle) + down * np.sin(angle)
    across = down * np.cos(angle) - right * np.sin(angle)
    edge = 1.5 / scale.min()
    inside = (along / (a + edge)) ** 2 + (across / (b + edge)) ** 2 <= 1.0
    picture[low[1] : high[1], low[0] : high[0]][inside] = QUIET_INK
