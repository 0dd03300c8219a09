"""Clips whose pictures carry their number, and swings made of them."""

from collections.abc import Callable
from fractions import Fraction
from pathlib import Path

import av
import numpy as np
from numpy.typing import NDArray

from review.jobs.showing.swing import ClipShown, SwingShown
from review.lesson import Clip, Handedness, KeyFrame, Pupil, Swing, View

WIDTH_PX, HEIGHT_PX, BLOCK_PX, BITS = 320, 240, 32, 7


def picture_of(number: int) -> NDArray[np.uint8]:
    """Blocks of light and dark in the middle of the picture, their contrary beneath."""
    rgb = np.full((HEIGHT_PX, WIDTH_PX, 3), 110, np.uint8)
    for bit in range(BITS):
        level = 235 if number >> bit & 1 else 20
        left = 48 + bit * BLOCK_PX
        rgb[88:120, left : left + BLOCK_PX] = level
        rgb[120:152, left : left + BLOCK_PX] = 255 - level
    return rgb


def number_in(rgb: NDArray[np.uint8], place: Callable[[float, float], tuple[float, float]]) -> int:
    """Read the number out of a picture of a picture; ``place`` says where a point of it lies now. -1 = unreadable."""
    number = 0
    for bit in range(BITS):
        levels = []
        for y in (104.0, 136.0):
            column, row = place(48 + (bit + 0.5) * BLOCK_PX, y)
            levels.append(float(rgb[round(row), round(column)].mean()))
        if abs(levels[0] - levels[1]) < 100:
            return -1
        number |= int(levels[0] > levels[1]) << bit
    return number


def numbered_clip(path: Path, n_frames: int, rate_hz: int) -> Path:
    """A clip with B-frames and one key frame."""
    with av.open(str(path), "w") as out:
        stream = out.add_stream("libx264", rate=rate_hz, options={"g": "999", "bf": "2", "preset": "veryfast"})
        stream.width, stream.height, stream.pix_fmt = WIDTH_PX, HEIGHT_PX, "yuv420p"
        for i in range(n_frames):
            frame = av.VideoFrame.from_ndarray(picture_of(i), format="rgb24")
            frame.pts, frame.time_base = i, Fraction(1, rate_hz)
            out.mux(stream.encode(frame))
        out.mux(stream.encode(None))
    return path


def shown_of(paths: list[Path], keys: tuple[KeyFrame, ...]) -> SwingShown:
    """A swing of these clips, each with the same key frames by number, not measured."""
    clips = []
    for path, view in zip(paths, View, strict=False):
        with av.open(str(path)) as container:
            rate = container.streams.video[0].average_rate
        timed = tuple(KeyFrame(k.name, k.frame / float(rate), k.frame, k.certainty, k.source) for k in keys)
        clips.append(ClipShown(Clip(path.stem, "0" * 64, str(path), path.name, view=view), view, timed, None))
    swing = Swing("s1", 1, clips=tuple(one.clip for one in clips))
    pupil = Pupil("p1", "Test", Handedness.RIGHT)
    return SwingShown(pupil, swing, 1, tuple(clips), 0, {}, "This swing is not measured yet.")
