"""What part of a picture is shown: all of an upright one, the player and the club's reach of a wide one."""

import numpy as np

from review.lesson import FloatArray
from review.media import VideoInfo
from review.takehome.clip_sides import ClipSide, Shown

_BODY_MARGIN = 0.38
"""Room beside the outermost landmark, in parts of the player's height: the club reaches beyond the hands."""
_LEAST_ASPECT = 0.6


def choose_crops(shown: Shown, infos: tuple[VideoInfo, ...]) -> tuple[tuple[int, int], ...]:
    """Choose the columns (first, end) of the full-size pictures to show, the first even; all of one shape."""
    spans = [_find_player(side, info) for side, info in zip(shown.sides, infos, strict=True)]
    aspects = [(b - a) / info.height_px for (a, b), info in zip(spans, infos, strict=True)]
    return tuple(_widen(span, max(aspects), info) for span, info in zip(spans, infos, strict=True))


def _find_player(side: ClipSide, info: VideoInfo) -> tuple[float, float]:
    whole = (0.0, float(info.width_px))
    if side.track is None or info.width_px <= _LEAST_ASPECT * info.height_px:
        return whole
    points = side.track.image_px[..., :2]
    seen: FloatArray = points[np.isfinite(points).all(axis=(1, 2))]
    if len(seen) < 3:
        return whole
    tall = float(np.median(np.ptp(seen[..., 1], axis=1)))
    # of each frame the outermost landmark; the 1st and 99th percentile leave out single wild frames
    left = float(np.percentile(seen[..., 0].min(axis=1), 1)) - _BODY_MARGIN * tall
    right = float(np.percentile(seen[..., 0].max(axis=1), 99)) + _BODY_MARGIN * tall
    left, right = max(left, 0.0), min(right, whole[1])
    return (left, right) if right - left > 0.2 * whole[1] else whole


def _widen(span: tuple[float, float], aspect: float, info: VideoInfo) -> tuple[int, int]:
    width = min(max(aspect, min(_LEAST_ASPECT, info.width_px / info.height_px)) * info.height_px, info.width_px)
    start = min(max((span[0] + span[1] - width) / 2, 0.0), info.width_px - width)
    first = 2 * round(start / 2)
    return first, min(round(first + width), info.width_px)
