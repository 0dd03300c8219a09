"""One clip's part of a picture: cut, at its size, with body lines and what the coach drew."""

from dataclasses import dataclass

from review.media import Planes, PlanesFrame, VideoInfo, resize_planes
from review.takehome.clip_sides import ClipSide
from review.takehome.clips.body_lines import Cut, draw_body, draw_drawn, find_body


@dataclass(frozen=True)
class Box:
    """A rectangle in pixels."""

    x: int
    y: int
    width: int
    height: int


def make_cut(info: VideoInfo, crop: tuple[int, int], box: Box) -> Cut:
    """Return where a cut picture lies in its box."""
    scale = (box.width / (crop[1] - crop[0]), box.height / info.height_px)
    return Cut((float(crop[0]), 0.0), scale, (float(info.width_px), float(info.height_px)))


def dress(frame: PlanesFrame, side: ClipSide, info: VideoInfo, crop: tuple[int, int], box: Box) -> Planes:
    """Cut a frame to the columns shown, bring it to its place's size and draw on it; a picture of its own."""
    part = frame.planes.cut(crop[0], 0, crop[1] - crop[0], info.height_px)
    resized = resize_planes(part, box.width, box.height)
    half = resized.copy() if resized is part else resized
    body = find_body(side, frame.time_s)
    cut = make_cut(info, crop, box)
    if body is not None:
        draw_body(half, cut.place(body))
    if side.drawings:
        draw_drawn(half, side, frame.time_s, cut)
    return half
