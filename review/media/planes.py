"""Pictures as video stores them, brightness and colour apart: nothing is converted from reading to writing."""

from collections.abc import Iterator
from dataclasses import dataclass

import cv2
import numpy as np
from av.video.frame import VideoFrame
from av.video.reformatter import ColorRange, Colorspace, VideoReformatter
from numpy.typing import NDArray

from review.media.decoding import decode_from
from review.media.footage import VideoSource
from review.media.frames import open_indexed
from review.media.orientation import Orientation
from review.media.probing import VideoInfo

Plane = NDArray[np.uint8]

# ITU-R BT.709, items 3.2 and 3.5: brightness and differences of R'G'B' in 0..255, offset 16 and 128, range 219 and 224
_KR, _KB = 0.2126, 0.0722
_LUMA = np.array([_KR, 1 - _KR - _KB, _KB])
_TO_YUV = np.vstack(
    [
        219 / 255 * _LUMA,
        224 / 255 * (np.array([0, 0, 1]) - _LUMA) / (2 * (1 - _KB)),
        224 / 255 * (np.array([1, 0, 0]) - _LUMA) / (2 * (1 - _KR)),
    ]
)
_OFFSET = np.array([16.0, 128.0, 128.0])
_TO_RGB = np.linalg.inv(_TO_YUV)
_TAGGED_BT709, _UNTAGGED = 1, 2
_HD_PX = 720
"""Clips that do not name their colours are taken as players take them: BT.709 from this size up, else BT.601."""


@dataclass(frozen=True, eq=False)
class Planes:
    """One picture: ``y`` (h, w), ``u`` and ``v`` (half of each, rounded up), uint8, BT.709 with black at 16."""

    y: Plane
    u: Plane
    v: Plane

    def __post_init__(self) -> None:
        half = ((self.y.shape[0] + 1) // 2, (self.y.shape[1] + 1) // 2)
        if self.y.ndim != 2 or self.u.shape != half or self.v.shape != half:
            raise ValueError(f"colours of {self.y.shape} must be {half}, got {self.u.shape} and {self.v.shape}")

    @property
    def parts(self) -> tuple[Plane, Plane, Plane]:
        """The three of them."""
        return self.y, self.u, self.v

    def cut(self, x: int, y: int, width: int, height: int) -> "Planes":
        """Return a part as a view; ``x`` and ``y`` must be even."""
        if x % 2 or y % 2:
            raise ValueError(f"a part begins at even places, got {x}, {y}")
        low, right = (height + 1) // 2, (width + 1) // 2
        u, v = (p[y // 2 : y // 2 + low, x // 2 : x // 2 + right] for p in (self.u, self.v))
        return Planes(self.y[y : y + height, x : x + width], u, v)

    def copy(self) -> "Planes":
        """Return a copy of its own."""
        return Planes(self.y.copy(), self.u.copy(), self.v.copy())

    def take(self, other: "Planes") -> None:
        """Become equal to a picture of the same size, in place."""
        for mine, theirs in zip(self.parts, other.parts, strict=True):
            mine[:] = theirs


@dataclass(frozen=True, eq=False)
class PlanesFrame:
    """One frame of a clip, as :class:`review.media.Frame`; its planes must not be changed."""

    index: int
    time_s: float
    planes: Planes


def to_planes(rgb: NDArray[np.uint8]) -> Planes:
    """Return an RGB picture (h, w, 3) as planes."""
    yuv = cv2.transform(rgb, np.column_stack([_TO_YUV, _OFFSET + 1e-9]))
    half = ((rgb.shape[1] + 1) // 2, (rgb.shape[0] + 1) // 2)
    y, u, v = cv2.split(yuv)
    u, v = (np.asarray(cv2.resize(p, half, interpolation=cv2.INTER_AREA), np.uint8) for p in (u, v))
    return Planes(np.asarray(y, np.uint8), u, v)


def to_rgb(planes: Planes) -> NDArray[np.uint8]:
    """Return planes as an RGB picture (h, w, 3)."""
    size = planes.y.shape[::-1]
    u, v = (cv2.resize(p, size, interpolation=cv2.INTER_LINEAR) for p in (planes.u, planes.v))
    rgb = cv2.transform(cv2.merge([planes.y, u, v]), np.column_stack([_TO_RGB, -_TO_RGB @ _OFFSET]))
    return np.asarray(rgb, np.uint8)


def resize_planes(planes: Planes, width_px: int, height_px: int) -> Planes:
    """Return planes at another size."""
    if planes.y.shape == (height_px, width_px):
        return planes
    how = cv2.INTER_AREA if height_px < planes.y.shape[0] else cv2.INTER_CUBIC
    half = ((width_px + 1) // 2, (height_px + 1) // 2)
    y, u, v = (
        np.asarray(cv2.resize(p, size, interpolation=how), np.uint8)
        for p, size in zip(planes.parts, ((width_px, height_px), half, half), strict=True)
    )
    return Planes(y, u, v)


def read_planes(source: VideoInfo | VideoSource, start: int = 0, stop: int | None = None) -> Iterator[PlanesFrame]:
    """Read frames ``start``, ``start + 1``, ... before ``stop`` as planes, upright, at full size.

    Raises
    ------
    BadInputError, MachineError
        As for ``read_frames``.
    """
    index, info = open_indexed(source)
    end = info.n_frames if stop is None else min(stop, info.n_frames)
    if start >= end:
        return
    converter = VideoReformatter()
    for in_file, picture in decode_from(index, info.first_frame + start):
        number = in_file - info.first_frame
        yield PlanesFrame(number, float(info.time_s[number]), _as_planes(picture, converter, index.orientation))
        if number >= end - 1:
            return


def _as_planes(frame: VideoFrame, converter: VideoReformatter, orientation: Orientation) -> Planes:
    is_hd = min(frame.width, frame.height) >= _HD_PX
    matrix = int(frame.colorspace)
    is_bt709 = matrix == _TAGGED_BT709 or (matrix == _UNTAGGED and is_hd)
    if frame.format.name != "yuv420p" or not is_bt709 or frame.color_range == ColorRange.JPEG:
        source = Colorspace.ITU709 if is_bt709 else Colorspace.ITU601 if matrix == _UNTAGGED else None
        frame = converter.reformat(
            frame,
            format="yuv420p",
            src_colorspace=source,
            src_color_range=frame.color_range,
            dst_colorspace=Colorspace.ITU709,
            dst_color_range=ColorRange.MPEG,
        )
    sizes = ((frame.height, frame.width), *(((frame.height + 1) // 2, (frame.width + 1) // 2),) * 2)
    y, u, v = (
        orientation.apply(np.frombuffer(memoryview(plane), np.uint8).reshape(-1, plane.line_size)[: size[0], : size[1]])
        for plane, size in zip(frame.planes, sizes, strict=True)
    )
    return Planes(y, u, v)
