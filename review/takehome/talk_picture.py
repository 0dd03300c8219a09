"""One picture of a talk over a clip: what was seen of the frame, what was drawn on it, what was noted."""

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import cv2
import numpy as np
from PIL import Image, ImageDraw

from review.charts.looks import rgb
from review.lesson import FloatArray, Handedness, Moment
from review.media import Footage, FrameSource
from review.palette import DRAWN, INK, Rgb
from review.pose import LandmarkTrack
from review.pose.drawings import list_strokes, place_drawing, say_on_picture
from review.takehome.looks import Picture, draw_text, fit
from review.takehome.picture_cover import PictureCover

_EDGE: Rgb = (14, 16, 20)
_NOTE_LINES = 3


@dataclass(frozen=True, eq=False)
class TalkedClip:
    """A clip that is talked over, as it may be shown: ``cover`` hides faces, ``track`` is what drawings follow.

    Frames are stepped at will here, which ``shown_frames`` does not do; ``cover`` has to be given, so that nobody
    forgets it.
    """

    footage: Path | Footage
    cover: PictureCover | None
    handedness: Handedness = Handedness.RIGHT
    track: LandmarkTrack | None = None


@dataclass(frozen=True, eq=False)
class _Line:
    """A stroke (n, 2) in pixels of the result, or words at its first point."""

    points: FloatArray
    colour: Rgb
    words: str = ""


def compose(moment: Moment, clip: TalkedClip, source: FrameSource, size: tuple[int, int]) -> Picture:
    """Return what was on the screen, ``size`` wide and high."""
    frame = min(max(moment.frame, 0), source.n_frames - 1)
    picture = source.frame(frame)
    if clip.cover is not None:
        picture = clip.cover.hide(picture, frame)
    full = np.array([source.width_px, source.height_px], dtype=np.float64)
    left_top, right_low = np.array(moment.view[:2]) * full, np.array(moment.view[2:]) * full
    scale = float(min(np.array(size) / np.maximum(right_low - left_top, 1.0)))
    # where the filmed picture's corner comes to lie: what is seen stands in the middle
    origin = (np.array(size) - (right_low - left_top) * scale) / 2 - left_top * scale
    picture = _place_picture(picture, full, scale, origin, size)
    lines = list(_lines(moment, clip, source, frame, scale, origin))
    thick = max(2, round(size[1] / 240))
    for line in (line for line in lines if not line.words):
        corners = np.round(line.points).astype(np.int32)
        for colour, width in ((_EDGE, thick + 2), (line.colour, thick)):
            cv2.polylines(picture, [corners], False, colour, width, cv2.LINE_AA)
    image = Image.fromarray(picture)
    canvas, size_px = ImageDraw.Draw(image), max(12, round(size[1] / 26))
    for line in (line for line in lines if line.words):
        for colour, shift in ((_EDGE, 2), (line.colour, 0)):
            x, y = line.points[0] + shift
            draw_text(canvas, (float(x), float(y)), line.words, size_px, colour, True)
    _write_note(canvas, moment.note, size, size_px)
    return np.array(image, dtype=np.uint8)


def _place_picture(
    picture: Picture, full: FloatArray, scale: float, origin: FloatArray, size: tuple[int, int]
) -> Picture:
    by = scale * full / np.array([picture.shape[1], picture.shape[0]])
    if np.allclose(origin, 0.0, atol=1.0) and np.allclose(full * scale, size, atol=2.0):
        whole = cv2.resize(picture, size, interpolation=cv2.INTER_AREA if min(by) < 1 else cv2.INTER_LINEAR)
    else:
        place = np.array([[by[0], 0.0, origin[0]], [0.0, by[1], origin[1]]])
        whole = cv2.warpAffine(picture, place, size, flags=cv2.INTER_LINEAR, borderValue=_EDGE)
    return np.ascontiguousarray(whole, dtype=np.uint8)


def _lines(
    moment: Moment, clip: TalkedClip, source: FrameSource, frame: int, scale: float, origin: FloatArray
) -> Iterator[_Line]:
    """What is drawn on the frame."""
    size_px = (float(source.width_px), float(source.height_px))
    for drawing in moment.drawings:
        points = place_drawing(drawing, float(source.time_s[frame]), size_px, clip.track, clip.handedness)
        if not points:
            continue
        colour = rgb(DRAWN[drawing.accent % len(DRAWN)])
        for stroke in list_strokes(drawing.kind, points):
            yield _Line(np.array(stroke, dtype=np.float64) * scale + origin, colour)
        said = say_on_picture(drawing, points)
        if said is not None:
            yield _Line(np.array([said[1]], dtype=np.float64) * scale + origin, colour, said[0])


def _write_note(canvas: ImageDraw.ImageDraw, note: str, size: tuple[int, int], size_px: int) -> None:
    """Write beneath, on a dark ground of its own."""
    edge, line_px = round(0.6 * size_px), round(1.3 * size_px)
    lines = fit(note, size[0] - 2 * edge, size_px, True, _NOTE_LINES) if note else ()
    top = size[1] - len(lines) * line_px - edge
    if lines:
        canvas.rectangle((0, top - edge, size[0], size[1]), fill=_EDGE)
    for n, line in enumerate(lines):
        draw_text(canvas, (edge, top + n * line_px), line, size_px, INK, True)
