"""How a stored picture is turned and mirrored to stand upright."""

from dataclasses import dataclass

import numpy as np
from av.sidedata.sidedata import SideData
from av.video.frame import VideoFrame
from numpy.typing import NDArray


@dataclass(frozen=True)
class Orientation:
    """First exchange rows and columns, then flip: every quarter turn and mirror image is one of these."""

    transpose: bool = False
    flip_x: bool = False
    flip_y: bool = False

    @property
    def rotation_deg(self) -> int:
        """Counter-clockwise quarter turn (0, 90, 180, 270) that stands the picture up; a mirror comes after it."""
        return (90 if self.flip_y else 270) if self.transpose else (180 if self.flip_y else 0)

    def displayed_size(self, width_px: int, height_px: int) -> tuple[int, int]:
        """Return width and height as displayed of a stored picture."""
        return (height_px, width_px) if self.transpose else (width_px, height_px)

    def apply(self, picture: NDArray[np.uint8]) -> NDArray[np.uint8]:
        """Return the upright picture (h, w, 3), or one plane of it (h, w), contiguous."""
        if self.transpose:
            picture = picture.swapaxes(0, 1)
        if self.flip_x:
            picture = picture[:, ::-1]
        if self.flip_y:
            picture = picture[::-1]
        return np.ascontiguousarray(picture)


def read_orientation(frame: VideoFrame) -> Orientation:
    """Read the display matrix of a decoded frame; odd angles go to the nearest quarter turn.

    Notes
    -----
    The matrix maps x' = a x + c y, y' = b x + d y (ISO/IEC 14496-12, section 6.2.2, row vectors;
    y points down); FFmpeg hands it on as nine 32-bit integers a b u c d v tx ty w.
    """
    data = frame.side_data.get("DISPLAYMATRIX")
    if not isinstance(data, SideData):
        return Orientation()
    a, b, _, c, d = (int(v) for v in np.frombuffer(bytes(data), dtype=np.int32)[:5])
    if abs(a) + abs(d) >= abs(b) + abs(c):
        return Orientation(flip_x=a < 0, flip_y=d < 0)
    return Orientation(transpose=True, flip_x=c < 0, flip_y=b < 0)
