"""Where everything of a side-by-side picture stands, with all that does not move already drawn."""

from dataclasses import dataclass

import numpy as np
from PIL import Image, ImageDraw

from review.charts.looks import GROUND, INK, QUIET_INK
from review.lesson import FloatArray
from review.media import VideoInfo
from review.takehome.contents import ClipSide, Pair
from review.takehome.looks import Picture, chip, draw_text, fit, mark
from review.takehome.timeline import Timeline, lay_timeline

HEIGHT_PX = 1080
_MARGIN, _GAP = 20, 20
_TITLE_PX, _LABEL_PX, _NAME_PX, _VALUE_PX, _CHIP_PX = 30, 32, 24, 31, 34
_LEADING = 1.3
_MOST_LINES = 4
_COLUMN_PX = (410, 930)
_LEAST_PICTURE_PX = 320
_BODY_MARGIN = 0.38
"""Room beside the outermost landmark, in parts of the player's height: the club reaches beyond the hands."""
_LEAST_ASPECT = 0.75


@dataclass(frozen=True)
class Box:
    """A rectangle in pixels."""

    x: int
    y: int
    width: int
    height: int


@dataclass(frozen=True, eq=False)
class Stage:
    """A side-by-side picture without its moving parts.

    ``still`` is (height_px, width_px, 3); ``boxes`` are the places of the two pictures and ``crops``
    the columns of the full-size pictures (first, end) that are shown there.
    """

    still: Picture
    boxes: tuple[Box, Box]
    crops: tuple[tuple[int, int], tuple[int, int]]
    timeline: Timeline
    chips: tuple[dict[str, Picture], dict[str, Picture]]
    slow_chip: Picture


def build_stage(pair: Pair, infos: tuple[VideoInfo, VideoInfo], start_s: float, stop_s: float) -> Stage:
    """Lay out a pair shown from ``start_s`` to ``stop_s`` (true seconds from impact)."""
    crops = choose_crops(pair, infos)
    aspects = [(b - a) / info.height_px for (a, b), info in zip(crops, infos, strict=True)]
    column = _even(min(max(700 * max(aspects), _COLUMN_PX[0]), _COLUMN_PX[1]))
    width = 2 * _MARGIN + 2 * column + _GAP
    texts = [_wrap_lines(side, column) for side in pair.sides]
    top = _MARGIN + round(_TITLE_PX * 1.5) + round(_LABEL_PX * 1.6)
    below = 14 + max(map(_height, texts)) + 10 + Timeline.HEIGHT_PX + _MARGIN
    picture = _even(max(_LEAST_PICTURE_PX, min(HEIGHT_PX - top - below, column / max(aspects))))
    height = _even(top + picture + below)

    image = Image.new("RGB", (width, height), GROUND)
    canvas = ImageDraw.Draw(image)
    slow = chip("slow ¼", 26)
    title = fit(f"{pair.title} · {pair.view}" if pair.title else pair.view, width - 3 * _MARGIN - slow.width, _TITLE_PX)
    for text in title:
        draw_text(canvas, (_MARGIN, _MARGIN - 4), text, _TITLE_PX, QUIET_INK)
    boxes = []
    for i, side in enumerate(pair.sides):
        x = _MARGIN + i * (column + _GAP)
        mark_px = round(_LABEL_PX * 1.1)
        label_y = top - round(_LABEL_PX * 1.6)
        image.paste(mark(side.batch_number, mark_px), (x, label_y + 4), mark(side.batch_number, mark_px))
        for text in fit(side.label, column - mark_px - 12, _LABEL_PX, is_bold=True):
            draw_text(canvas, (x + mark_px + 10, label_y), text, _LABEL_PX, INK, is_bold=True)
        shown = _even(picture * aspects[i])
        boxes.append(Box(x + (column - shown) // 2, top, min(shown, column), picture))
        y = float(top + picture + 14)
        for text, size, is_value in texts[i]:
            draw_text(canvas, (x, y), text, size, INK if is_value else QUIET_INK, is_bold=is_value)
            y += size * _LEADING
    timeline_y = height - _MARGIN - Timeline.HEIGHT_PX
    timeline = lay_timeline(
        image, pair, Box(_MARGIN, timeline_y, width - 2 * _MARGIN, Timeline.HEIGHT_PX), start_s, stop_s
    )
    return Stage(
        np.array(image),
        (boxes[0], boxes[1]),
        crops,
        timeline,
        (_name_chips(pair.first, column), _name_chips(pair.last, column)),
        np.array(slow),
    )


def _even(value: float) -> int:
    return 2 * round(value / 2)


_Line = tuple[str, int, bool]
"""Text, its size in pixels, whether it is the number and not its name."""


def _wrap_lines(side: ClipSide, column: int) -> list[_Line]:
    """Set each number below its name: 'club path' small, '4.9° in-to-out' large."""
    lines: list[_Line] = []
    for text in side.lines[:_MOST_LINES]:
        name, colon, value = text.partition(": ")
        if colon:
            lines += [(part, _NAME_PX, False) for part in fit(name, column, _NAME_PX)]
        for part in fit(value if colon else text, column, _VALUE_PX, is_bold=True, n_lines=2):
            lines.append((part, _VALUE_PX, True))
    return lines


def _height(lines: list[_Line]) -> int:
    return round(sum(size * _LEADING for _, size, _ in lines))


def _name_chips(side: ClipSide, column: int) -> dict[str, Picture]:
    chips = {}
    for key_frame in side.key_frames:
        for text in fit(key_frame.name, column - 5 * _CHIP_PX, _CHIP_PX, is_bold=True):
            chips[key_frame.name] = np.array(chip(text, _CHIP_PX, side.batch_number))
    return chips


def choose_crops(pair: Pair, infos: tuple[VideoInfo, VideoInfo]) -> tuple[tuple[int, int], tuple[int, int]]:
    """Choose the columns to show: all of an upright picture, the player and the club's reach of a wide one."""
    spans = [_find_player(side, info) for side, info in zip(pair.sides, infos, strict=True)]
    aspects = [(b - a) / info.height_px for (a, b), info in zip(spans, infos, strict=True)]
    first, last = (_widen(span, max(aspects), info) for span, info in zip(spans, infos, strict=True))
    return first, last


def _find_player(side: ClipSide, info: VideoInfo) -> tuple[float, float]:
    whole = (0.0, float(info.width_px))
    if side.body_px is None or info.width_px <= _LEAST_ASPECT * info.height_px:
        return whole
    seen: FloatArray = side.body_px[np.isfinite(side.body_px).all(axis=(1, 2))]
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
    return round(start), round(start + width)
