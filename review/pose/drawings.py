"""What a coach drew on a clip as lines on one of its frames: where they lie, and the angle they show."""

import math
from collections.abc import Iterator

from review.lesson import Drawing, DrawingKind, Handedness
from review.pose.track import LandmarkTrack

Points = tuple[tuple[float, float], ...]

LEAST_VISIBLE = 0.3

# of the lead side of a right-hander; the detector counts the other side one on
_LEFT_OF = {"shoulder": 11, "elbow": 13, "wrist": 15, "hip": 23, "knee": 25, "ankle": 27, "heel": 29, "toe": 31}

BODY_POINTS = ("nose", *(f"{side} {part}" for part in _LEFT_OF for side in ("lead", "trail")))
"""What a drawing can be tied to."""

_CORNERS = 48
"""Of a circle, drawn as lines."""


def find_landmark(body_point: str, handedness: Handedness) -> int:
    """The detector's number of a body point.

    Raises
    ------
    KeyError
        When there is no such point.
    """
    if body_point == "nose":
        return 0
    side, _, part = body_point.partition(" ")
    if side not in ("lead", "trail"):
        raise KeyError(body_point)
    is_right = (side == "trail") is (handedness is Handedness.RIGHT)
    return _LEFT_OF[part] + is_right


def place_drawing(
    drawing: Drawing,
    time_s: float,
    size_px: tuple[float, float],
    track: LandmarkTrack | None = None,
    handedness: Handedness = Handedness.RIGHT,
) -> Points:
    """Points of a drawing in pixels of the original as displayed, on the frame shown at ``time_s``.

    One tied to a body point moves as that point has moved since ``drawing.tied_at_s``. It is left out (no points)
    outside its time, and where the body point was not seen.
    """
    # ends may be stamps of frames, kept as decimal text: a frame's own stamp counts as inside
    if not drawing.start_s - 1e-6 <= time_s <= drawing.end_s + 1e-6:
        return ()
    by_x, by_y = 0.0, 0.0
    if drawing.tied_to:
        was = _find(drawing, drawing.tied_at_s, track, handedness)
        now = _find(drawing, time_s, track, handedness)
        if was is None or now is None:
            return ()
        by_x, by_y = now[0] - was[0], now[1] - was[1]
    return tuple((x * size_px[0] + by_x, y * size_px[1] + by_y) for x, y in drawing.points)


def _find(
    drawing: Drawing, time_s: float, track: LandmarkTrack | None, handedness: Handedness
) -> tuple[float, float] | None:
    if track is None or not len(track.time_s):
        return None
    landmark = find_landmark(drawing.tied_to, handedness)
    frame = int(abs(track.time_s - time_s).argmin())
    x, y = (float(value) for value in track.image_px[frame, landmark, :2])
    is_seen = track.visibility[frame, landmark] >= LEAST_VISIBLE and math.isfinite(x) and math.isfinite(y)
    return (x, y) if is_seen else None


def measure_angle_deg(kind: DrawingKind, points_px: Points) -> float | None:
    """The angle at the corner of a drawn angle as the picture shows it, 0 to 180; None for other drawings.

    Points must be in pixels: parts of width and height would bend it in a picture that is not square.
    """
    if kind is not DrawingKind.ANGLE or len(points_px) != 3:
        return None
    (ax, ay), (bx, by), (cx, cy) = points_px
    first, second = (ax - bx, ay - by), (cx - bx, cy - by)
    if first == (0.0, 0.0) or second == (0.0, 0.0):
        return None
    across = first[0] * second[1] - first[1] * second[0]
    along = first[0] * second[0] + first[1] * second[1]
    return math.degrees(abs(math.atan2(across, along)))


def list_strokes(kind: DrawingKind, points_px: Points) -> Iterator[Points]:
    """Lines through points, one after another, that make up a drawing whose points lie there; none for text."""
    if kind is DrawingKind.CIRCLE:
        (x, y), rim = points_px
        radius = math.dist((x, y), rim)
        turns = [2 * math.pi * i / _CORNERS for i in range(_CORNERS + 1)]
        yield tuple((x + radius * math.cos(turn), y + radius * math.sin(turn)) for turn in turns)
    elif kind is not DrawingKind.TEXT:
        yield points_px
        if kind is DrawingKind.ARROW:
            yield _barbs(*points_px)


def say_on_picture(drawing: Drawing, points_px: Points) -> tuple[str, tuple[float, float]] | None:
    """What is written with a drawing whose points lie there, and where: its text or its angle; None = nothing."""
    angle_deg = measure_angle_deg(drawing.kind, points_px)
    if angle_deg is not None:
        return f"{angle_deg:.0f}°", points_px[1]
    return (drawing.text, points_px[0]) if drawing.kind is DrawingKind.TEXT else None


def _barbs(start: tuple[float, float], end: tuple[float, float]) -> Points:
    back = math.atan2(start[1] - end[1], start[0] - end[0])
    long = 0.25 * math.dist(start, end)
    one, other = (
        (end[0] + long * math.cos(back + turn), end[1] + long * math.sin(back + turn)) for turn in (-0.45, 0.45)
    )
    return one, end, other
