"""Where everything stands on an upright and on a wide picture."""

from dataclasses import dataclass
from enum import StrEnum

from review.takehome.clips.dressing import Box
from review.takehome.clips.timeline import timeline_height_px


class Form(StrEnum):
    """How the phone is held."""

    PORTRAIT = "portrait"
    LANDSCAPE = "landscape"


_SIZES_PX = {Form.PORTRAIT: (1080, 1920), Form.LANDSCAPE: (1920, 1080)}
TITLE_PX, LABEL_PX, CHIP_PX = 36, 44, 40
"""Heights of lettering: on a phone three of these pixels are one of its points, or two and a bit held wide."""
_MARGIN, _GAP = 28, 20
_TOP = _MARGIN + round(1.5 * TITLE_PX)
_LABEL_HIGH = round(1.6 * LABEL_PX)
_TEXT_WIDE, _MOST_TEXT_WIDE = 440, 780


@dataclass(frozen=True)
class Layout:
    """Size in pixels and the places of the pictures, what is said of each, its label; the timeline."""

    width: int
    height: int
    pictures: tuple[Box, ...]
    labels: tuple[Box, ...]
    numbers: tuple[Box, ...]
    timeline: Box


def column_wide_px(form: Form, n_clips: int) -> int:
    """Width in pixels of what stands below one of so many clips."""
    return (_SIZES_PX[form][0] - 2 * _MARGIN - (n_clips - 1) * _GAP) // n_clips


def lay_out(form: Form, aspects: tuple[float, ...], number_lines_px: int) -> Layout:
    """Lay out pictures of these shapes (width over height), ``number_lines_px`` what their numbers need in height.

    Upright the numbers stand below; wide at the outer side or below, whichever leaves the pictures larger.
    """
    below = _lay(form, aspects, number_lines_px, is_beside=False)
    if form is Form.PORTRAIT:
        return below
    beside = _lay(form, aspects, number_lines_px, is_beside=True)
    return max(beside, below, key=lambda layout: layout.pictures[0].height)


def _lay(form: Form, aspects: tuple[float, ...], number_lines_px: int, is_beside: bool) -> Layout:
    width, height = _SIZES_PX[form]
    n, line_high = len(aspects), timeline_height_px(len(aspects))
    timeline = Box(_MARGIN, height - _MARGIN - line_high, width - 2 * _MARGIN, line_high)
    top = _TOP if is_beside else _TOP + _LABEL_HIGH
    text = _TEXT_WIDE + _GAP if is_beside else 0
    room = width - 2 * _MARGIN - n * text - (n - 1) * _GAP
    column = _even(room / n)
    below = 0 if is_beside else number_lines_px + _GAP
    most_high = timeline.y - _GAP - below - top
    pictures, labels, numbers = [], [], []
    high = _even(max(200.0, min(most_high, *(column / aspect for aspect in aspects))))
    spare = max(0, most_high - high)
    for i, aspect in enumerate(aspects):
        left = _MARGIN + i * (column + _GAP) + (text if n > 1 or not is_beside else 0)
        shown = min(_even(high * aspect), column)
        # beside each other they meet in the middle
        x = left + (column - shown) // 2 if n == 1 or not is_beside else (left + column - shown if i == 0 else left)
        box = Box(2 * (x // 2), 2 * ((top + spare // 3) // 2), shown, high)
        pictures.append(box)
        if is_beside:
            outer = _MARGIN if i == 0 and n > 1 else box.x + box.width + _GAP
            wide = (box.x - _GAP if i == 0 and n > 1 else width - _MARGIN) - outer
            wide = min(wide, _MOST_TEXT_WIDE)
            labels.append(Box(outer, box.y, wide, _LABEL_HIGH))
            y = box.y + _LABEL_HIGH + _GAP
            numbers.append(Box(outer, y, wide, timeline.y - _GAP - y))
        else:
            y = box.y + high + _GAP + spare // 3
            labels.append(Box(left, box.y - _LABEL_HIGH, column, _LABEL_HIGH))
            numbers.append(Box(left, y, column, timeline.y - _GAP - y))
    return Layout(width, height, tuple(pictures), tuple(labels), tuple(numbers), timeline)


def _even(value: float) -> int:
    return 2 * int(value // 2)
