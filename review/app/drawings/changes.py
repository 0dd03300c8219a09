"""How a kept drawing is changed: moved, tied, shown longer, found under the pointer; without Qt."""

import math
from collections.abc import Sequence
from dataclasses import replace

from review.app.drawings.shapes import draw_shape
from review.lesson import Drawing, DrawingKind, Handedness
from review.pose.drawings import BODY_POINTS, LEAST_VISIBLE, Points, find_landmark, place_drawing
from review.pose.track import LandmarkTrack

Size = tuple[float, float]


def move(drawing: Drawing, by_x: float, by_y: float) -> Drawing:
    """Shifted by parts of the picture's width and height."""
    return replace(drawing, points=tuple((x + by_x, y + by_y) for x, y in drawing.points))


def tie(drawing: Drawing, time_s: float, size: Size, track: LandmarkTrack, handedness: Handedness) -> Drawing | None:
    """Tied, where it lies at a time, to the body point nearest to any point of it; None where none is seen."""
    frame = int(abs(track.time_s - time_s).argmin())
    points = place_drawing(drawing, time_s, size, track, handedness)
    # the rim of a circle is no place of its own
    near = points[:1] if drawing.kind is DrawingKind.CIRCLE else points
    far: dict[str, float] = {}
    for name in BODY_POINTS:
        landmark = find_landmark(name, handedness)
        x, y = (float(value) for value in track.image_px[frame, landmark, :2])
        if near and track.visibility[frame, landmark] >= LEAST_VISIBLE and math.isfinite(x) and math.isfinite(y):
            far[name] = min(math.dist((x, y), point) for point in near)
    if not far:
        return None
    nearest = min(far, key=lambda name: far[name])
    return replace(drawing, points=_parts(points, size), tied_to=nearest, tied_at_s=time_s)


def untie(drawing: Drawing, time_s: float, size: Size, track: LandmarkTrack | None, handedness: Handedness) -> Drawing:
    """Tied to nothing; it stays where it lies at that time."""
    points = place_drawing(drawing, time_s, size, track, handedness)
    kept = _parts(points, size) if points else drawing.points
    return replace(drawing, points=kept, tied_to="", tied_at_s=0.0)


def with_accent(drawing: Drawing, accent: int) -> Drawing:
    """In another colour and stroke."""
    return replace(drawing, accent=accent)


def with_span(drawing: Drawing, start_s: float, end_s: float) -> Drawing:
    """On between other times."""
    return replace(drawing, start_s=start_s, end_s=end_s)


def is_on_one_frame(drawing: Drawing) -> bool:
    """Whether it is on one frame only."""
    return drawing.end_s == drawing.start_s


def find_near(at_px: tuple[float, float], placed: Sequence[tuple[Drawing, Points]], reach_px: float) -> Drawing | None:
    """The drawing whose lines or words pass nearest to a point, None where none is within reach."""
    best, found = reach_px, None
    for drawing, points in placed:
        for line in draw_shape(drawing, points):
            ends = list(zip(line.points_px, line.points_px[1:], strict=False)) or [(line.points_px[0],) * 2]
            far = min(_distance(at_px, first, second) for first, second in ends)
            if far <= best:
                best, found = far, drawing
    return found


def _distance(at: tuple[float, float], first: tuple[float, float], second: tuple[float, float]) -> float:
    along = (second[0] - first[0], second[1] - first[1])
    long = along[0] ** 2 + along[1] ** 2
    share = 0.0 if not long else ((at[0] - first[0]) * along[0] + (at[1] - first[1]) * along[1]) / long
    share = min(max(share, 0.0), 1.0)
    return math.dist(at, (first[0] + share * along[0], first[1] + share * along[1]))


def _parts(points: Points, size: Size) -> Points:
    return tuple((x / size[0], y / size[1]) for x, y in points)
