"""Body lines and the coach's drawings over a picture: one light colour with a dark edge, hips and shoulders heavier."""

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from PIL import Image, ImageDraw

from review.charts.looks import GROUND, INK, rgb
from review.lesson import FloatArray
from review.media import Planes
from review.palette import DRAWN, Rgb
from review.pose.drawings import LEAST_VISIBLE, list_strokes, place_drawing, say_on_picture
from review.takehome.clip_sides import ClipSide
from review.takehome.clips.patches import Patch, make_patch, paste
from review.takehome.clips.strokes import draw_strokes
from review.takehome.looks import draw_text, fit, font

# rows of the detector's landmarks: 11/12 shoulders, 13/14 elbows, 15/16 wrists, 23/24 hips, 25/26 knees, 27/28 ankles,
# 29/30 heels, 31/32 toes
_HEAVY = ((11, 12), (23, 24))
_LIGHT = (
    *((11, 13), (13, 15), (12, 14), (14, 16)),
    *((23, 25), (25, 27), (24, 26), (26, 28)),
    *((29, 31), (30, 32)),
)
_LONGEST_GAP_S = 0.12
"""Between measured frames further apart than this nothing is drawn: a swing does not run straight that long."""
_DRAWN_PX, _WORDS_PX = 4.0, 30.0
"""Width of a drawn line and height of drawn words, at 720 lines of picture."""


@dataclass(frozen=True)
class Cut:
    """Where a part of the full-size picture lies in what is drawn on: point x goes to (x - ``first``) x ``scale``."""

    first: tuple[float, float]
    scale: tuple[float, float]
    size_px: tuple[float, float]
    """Of the full-size picture."""

    def place(self, points_px: FloatArray) -> FloatArray:
        """Bring points (..., 2) of the full-size picture onto what is drawn on."""
        placed: FloatArray = (points_px - np.array(self.first)) * np.array(self.scale)
        return placed


def find_body(side: ClipSide, time_s: float) -> FloatArray | None:
    """Return the landmarks (33, 2) px of the full-size picture at a presentation time, None where unknown.

    Straight lines between measured frames; half a frame beyond the ends the end is held. What was not seen is NaN.
    """
    track = side.track
    if track is None or not len(track.time_s):
        return None
    times = track.time_s
    after = int(np.searchsorted(times, time_s))
    before, after = max(after - 1, 0), min(after, len(times) - 1)
    if not times[0] <= time_s <= times[-1]:
        before = after if time_s < times[0] else before
        if abs(time_s - times[after]) > _LONGEST_GAP_S / 2:
            return None
    elif times[after] - times[before] > _LONGEST_GAP_S:
        return None
    span = times[after] - times[before]
    part = min(max((time_s - times[before]) / span, 0.0), 1.0) if span > 0 else 1.0
    blend: FloatArray = (1.0 - part) * track.image_px[before, :, :2] + part * track.image_px[after, :, :2]
    seen = np.minimum(track.visibility[before], track.visibility[after]) >= LEAST_VISIBLE
    blend[~seen] = np.nan
    return blend if np.isfinite(blend).any() else None


def draw_body(picture: Planes, points_px: FloatArray) -> None:
    """Draw the lines between landmarks (33, 2) in the picture's own pixels, in place."""
    unit = picture.y.shape[0] / 720.0
    spine = np.array([points_px[[11, 12]].mean(axis=0), points_px[[23, 24]].mean(axis=0)])
    draw_strokes(picture, [points_px[[a, b]] for a, b in _LIGHT] + [spine], INK, 2.4 * unit)
    draw_strokes(picture, [points_px[[a, b]] for a, b in _HEAVY], INK, 5.0 * unit)


def draw_drawn(picture: Planes, side: ClipSide, time_s: float, cut: Cut) -> None:
    """Draw what the coach drew on the frame at ``time_s``, in place."""
    unit = picture.y.shape[0] / 720.0
    for drawing in side.drawings:
        points = place_drawing(drawing, time_s, cut.size_px, side.track, side.handedness)
        if not points:
            continue
        strokes = [cut.place(np.array(stroke)) for stroke in list_strokes(drawing.kind, points)]
        colour = rgb(DRAWN[drawing.accent % len(DRAWN)])
        draw_strokes(picture, strokes, colour, _DRAWN_PX * unit, is_dashed=drawing.accent % 2 == 1)
        said = say_on_picture(drawing, points)
        if said is not None:
            x, y = cut.place(np.array(said[1]))
            _write(picture, said[0], float(x), float(y), round(_WORDS_PX * unit), colour)


def _write(picture: Planes, words: str, x: float, y: float, size_px: int, colour: Rgb) -> None:
    for patch in _make_words(words, picture.y.shape[1] - 20, size_px, colour):
        width, height = patch.size
        left = min(max(0, round(x) + size_px // 2), max(0, picture.y.shape[1] - width))
        top = min(max(0, round(y) - height), max(0, picture.y.shape[0] - height))
        paste(picture, patch, left, top)


@lru_cache(64)
def _make_words(words: str, width_px: int, size_px: int, colour: Rgb) -> tuple[Patch, ...]:
    patches = []
    for text in fit(words, width_px, size_px, is_bold=True):
        width = round(font(size_px, True).getlength(text)) + size_px
        image = Image.new("RGBA", (width, round(1.5 * size_px)), (*GROUND, 200))
        draw_text(ImageDraw.Draw(image), (size_px / 2, 0.15 * size_px), text, size_px, colour, is_bold=True)
        patches.append(make_patch(image))
    return tuple(patches)
