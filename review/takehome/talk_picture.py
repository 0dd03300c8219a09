"""One picture of a talk over a clip: what was seen of the frame, what lay and was drawn on it, what was noted."""

from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

import cv2
import numpy as np
from PIL import Image, ImageDraw

from review.charts.looks import rgb
from review.lesson import FloatArray, Handedness, Moment
from review.media import Footage
from review.palette import INK, Rgb
from review.pose import LandmarkTrack
from review.pose.drawn_lines import BodyLine, draw_body, draw_shapes
from review.takehome.clips.strokes import cut_dashes
from review.takehome.looks import Picture, draw_text, fit
from review.takehome.picture_cover import PictureCover
from review.takehome.shown_frames import ShownFrames

_EDGE: Rgb = (14, 16, 20)
_EDGE_PX, _GAP = 2.5, 2.0
"""Of a line: how much wider its dark ground is, and the gap of dashes in widths; as in the window."""
_GHOST = 0.35
"""How much of the picture below a frame takes that lies faintly over it, as in the window."""
_NOTE_LINES, _BITS = 3, 4


@dataclass(frozen=True, eq=False)
class TalkedClip:
    """A clip that is talked over, as it may be shown.

    ``cover`` hides faces; it has to be given, so that nobody forgets it. ``track`` gives the lines of the body and what
    drawings follow, None where neither may be shown.
    """

    footage: Path | Footage
    cover: PictureCover | None
    handedness: Handedness = Handedness.RIGHT
    track: LandmarkTrack | None = None


def compose(moment: Moment, clip: TalkedClip, source: ShownFrames, size: tuple[int, int]) -> Picture:
    """Return what was on the screen, ``size`` wide and high."""
    frame, picture = source.frame(moment.frame)
    if moment.ghost is not None:
        _, ghost = source.frame(moment.ghost)
        picture = np.asarray(cv2.addWeighted(picture, 1.0 - _GHOST, ghost, _GHOST, 0.0), dtype=np.uint8)
    full = np.array(source.size_px, dtype=np.float64)
    place = _find_place(moment, full, size)
    picture = _place_picture(picture, full, place, size)
    lines: list[BodyLine] = []
    if moment.with_body and clip.track is not None:
        lines += draw_body(clip.track, frame, clip.handedness)
    wide, high = source.size_px
    lines += draw_shapes(
        moment.drawings, float(source.time_s[frame]), (float(wide), float(high)), clip.track, clip.handedness
    )
    _draw_lines(picture, (line for line in lines if not line.words), place)
    image = Image.fromarray(picture)
    canvas, size_px = ImageDraw.Draw(image), max(12, round(size[1] / 26))
    for line in (line for line in lines if line.words):
        at = _map(line, place)[0]
        for colour, shift in ((_EDGE, 2), (rgb(line.colour), 0)):
            draw_text(canvas, (float(at[0]) + shift, float(at[1]) + shift), line.words, size_px, colour, True)
    _write_note(canvas, moment.note, size, size_px)
    return np.array(image, dtype=np.uint8)


def _find_place(moment: Moment, full: FloatArray, size: tuple[int, int]) -> FloatArray:
    """Return the way (2, 3) from pixels of the original to the result's; what is seen stands in the middle."""
    left_top, right_low = np.array(moment.view[:2]) * full, np.array(moment.view[2:]) * full
    scale = float(min(np.array(size) / np.maximum(right_low - left_top, 1.0)))
    origin = (np.array(size) - (right_low - left_top) * scale) / 2 - left_top * scale
    cos, sin = np.cos(np.radians(moment.turn_deg)), np.sin(np.radians(moment.turn_deg))
    turned = scale * np.array([[cos, -sin], [sin, cos]])
    middle = full / 2
    place: FloatArray = np.column_stack([turned, origin + scale * middle - turned @ middle])
    return place


def _place_picture(picture: Picture, full: FloatArray, place: FloatArray, size: tuple[int, int]) -> Picture:
    by = full / np.array([picture.shape[1], picture.shape[0]])
    whole = np.array([[size[0] / full[0], 0.0, 0.0], [0.0, size[1] / full[1], 0.0]])
    if np.allclose(place * [*full, 1.0], whole * [*full, 1.0], atol=2.0):
        is_smaller = picture.shape[0] > size[1]
        placed = cv2.resize(picture, size, interpolation=cv2.INTER_AREA if is_smaller else cv2.INTER_LINEAR)
    else:
        way = np.column_stack([place[:, :2] * by, place[:, 2]])
        placed = cv2.warpAffine(picture, way, size, flags=cv2.INTER_LINEAR, borderValue=_EDGE)
    return np.ascontiguousarray(placed, dtype=np.uint8)


def _map(line: BodyLine, place: FloatArray) -> FloatArray:
    points: FloatArray = np.array(line.points_px, dtype=np.float64) @ place[:, :2].T + place[:, 2]
    return points


def _draw_lines(picture: Picture, lines: Iterable[BodyLine], place: FloatArray) -> None:
    """Draw each light in a dark one, in place."""
    for line in lines:
        points = _map(line, place)
        wide = line.width * max(2.0, min(picture.shape[:2]) / 220)
        dashes = cut_dashes(points, wide, _GAP) if line.is_dashed else [points]
        for strokes, colour, width in (([points], _EDGE, wide + _EDGE_PX), (dashes, rgb(line.colour), wide)):
            corners = [np.round(stroke * (1 << _BITS)).astype(np.int32) for stroke in strokes]
            cv2.polylines(picture, corners, False, colour, max(1, round(width)), cv2.LINE_AA, _BITS)


def _write_note(canvas: ImageDraw.ImageDraw, note: str, size: tuple[int, int], size_px: int) -> None:
    """Write beneath, on a dark ground of its own."""
    edge, line_px = round(0.6 * size_px), round(1.3 * size_px)
    lines = fit(note, size[0] - 2 * edge, size_px, True, _NOTE_LINES) if note else ()
    top = size[1] - len(lines) * line_px - edge
    if lines:
        canvas.rectangle((0, top - edge, size[0], size[1]), fill=_EDGE)
    for n, line in enumerate(lines):
        draw_text(canvas, (edge, top + n * line_px), line, size_px, INK, True)
