"""Still pictures of a pair at a key frame, for the sheet and for the page before a clip is played."""

import io

import numpy as np
from PIL import Image

from review.charts.looks import GROUND
from review.media import VideoInfo, probe_video, to_rgb
from review.takehome.clip_sides import ClipSide, Pair
from review.takehome.clips.crops import choose_crops
from review.takehome.clips.dressing import Box, dress
from review.takehome.clips.passages import nearest_frames
from review.takehome.looks import Picture, mark, paste
from review.takehome.shown_frames import read_shown

_GAP_PX = 8
_QUALITY = 82


def read_still(pair: Pair, key_frame: str, height_px: int = 540) -> Picture | None:
    """Return both clips at a key frame side by side, each with its batch's mark; None when one lacks the key frame.

    Raises
    ------
    BadInputError
        A clip cannot be used.
    """
    instants = [0.0 if key_frame == "impact" else side.after_impact_s(key_frame) for side in pair.sides]
    infos = (probe_video(pair.first.path), probe_video(pair.last.path))
    crops = choose_crops(pair, infos)
    halves = []
    for side, info, crop, instant in zip(pair.sides, infos, crops, instants, strict=True):
        if instant is None:
            return None
        halves.append(_read_half(side, info, crop, instant, height_px))
    gap = np.full((height_px, _GAP_PX, 3), GROUND, dtype=np.uint8)
    return np.concatenate([halves[0], gap, halves[1]], axis=1)


def _read_half(side: ClipSide, info: VideoInfo, crop: tuple[int, int], instant_s: float, height_px: int) -> Picture:
    number = int(nearest_frames(side, info, np.array([instant_s]))[0])
    frame = next(read_shown(side, info, number, number + 1))
    width = max(1, round((crop[1] - crop[0]) * height_px / info.height_px))
    half = to_rgb(dress(frame, side, info, crop, Box(0, 0, width, height_px)))
    size = max(16, height_px // 14)
    paste(half, np.array(mark(side.batch_number, size)), 6, 6)
    return half


def to_jpeg(picture: Picture) -> bytes:
    """Return a picture as JPEG."""
    buffer = io.BytesIO()
    Image.fromarray(picture).save(buffer, "JPEG", quality=_QUALITY)
    return buffer.getvalue()
