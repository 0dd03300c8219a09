"""Marks and words with see-through rims, made once and laid over many pictures."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from review.media import Planes, to_planes


@dataclass(frozen=True, eq=False)
class Patch:
    """A picture with, for each of its planes, how much of it covers what lies below (0..255)."""

    planes: Planes
    alphas: tuple[NDArray[np.uint16], NDArray[np.uint16], NDArray[np.uint16]]

    @property
    def size(self) -> tuple[int, int]:
        """Width and height in pixels, both even."""
        return self.planes.y.shape[1], self.planes.y.shape[0]


def make_patch(image: Image.Image) -> Patch:
    """Make a patch of an RGBA image."""
    data = np.asarray(image.convert("RGBA"))
    data = np.pad(data, ((0, data.shape[0] % 2), (0, data.shape[1] % 2), (0, 0)))
    alpha = data[..., 3].astype(np.uint16)
    half = (alpha[::2, ::2] + alpha[1::2, ::2] + alpha[::2, 1::2] + alpha[1::2, 1::2]) // 4
    return Patch(to_planes(np.ascontiguousarray(data[..., :3])), (alpha, half, half))


def paste(picture: Planes, patch: Patch, x: int, y: int) -> None:
    """Lay a patch over a picture, its corner at the even place next to x, y; what sticks out is cut."""
    x, y = max(0, x) // 2 * 2, max(0, y) // 2 * 2
    for below, part, alpha, scale in zip(picture.parts, patch.planes.parts, patch.alphas, (1, 2, 2), strict=True):
        place = below[y // scale : y // scale + part.shape[0], x // scale : x // scale + part.shape[1]]
        share = alpha[: place.shape[0], : place.shape[1]]
        over = part[: place.shape[0], : place.shape[1]]
        place[:] = ((place * (255 - share) + over * share + 127) // 255).astype(np.uint8)
