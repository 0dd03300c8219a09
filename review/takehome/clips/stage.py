"""The picture around the clips, with all that does not move already drawn."""

from dataclasses import dataclass

import numpy as np
from PIL import Image, ImageDraw

from review.charts.looks import GROUND, INK, QUIET_INK
from review.media import Planes, VideoInfo, to_planes
from review.takehome.clips.crops import choose_crops
from review.takehome.clips.dressing import Box
from review.takehome.clips.layout import (
    CHIP_PX,
    LABEL_PX,
    LEADING,
    NAME_PX,
    TITLE_PX,
    VALUE_PX,
    Form,
    Layout,
    lay_out,
)
from review.takehome.clips.patches import Patch, make_patch
from review.takehome.clips.timeline import Timeline, lay_timeline
from review.takehome.contents import ClipSide, Shown
from review.takehome.looks import chip, draw_text, fit, mark

_MOST_LINES = 3
_NUMBER_PX = round((NAME_PX + VALUE_PX) * LEADING) + 10
_TWO_COLUMNS_PX = 800


@dataclass(frozen=True, eq=False)
class Stage:
    """A picture without its moving parts.

    ``boxes`` are the places of the clips' pictures and ``crops`` the columns of the full-size pictures (first, end)
    that are shown there; ``chips`` the names of key frames to lay over each; ``held`` those said while it is held.
    """

    still: Planes
    boxes: tuple[Box, ...]
    crops: tuple[tuple[int, int], ...]
    timeline: Timeline
    chips: tuple[dict[str, Patch], ...]
    slow_chip: Patch
    held_chip: Patch

    @property
    def size(self) -> tuple[int, int]:
        """Width and height in pixels."""
        return self.still.y.shape[1], self.still.y.shape[0]


def build_stage(
    shown: Shown, infos: tuple[VideoInfo, ...], start_s: float, stop_s: float, form: Form = Form.PORTRAIT
) -> Stage:
    """Lay out clips shown from ``start_s`` to ``stop_s`` (true seconds from impact)."""
    crops = choose_crops(shown, infos)
    aspects = tuple((b - a) / info.height_px for (a, b), info in zip(crops, infos, strict=True))
    n_numbers = max(len(side.lines[:_MOST_LINES]) for side in shown.sides)
    n_rows = (n_numbers + 1) // 2 if len(shown.sides) == 1 or form is Form.LANDSCAPE else n_numbers
    layout = lay_out(form, aspects, n_rows * _NUMBER_PX)
    image = Image.new("RGB", (layout.width, layout.height), GROUND)
    canvas = ImageDraw.Draw(image)
    slow, held = chip("slow ¼", TITLE_PX), chip("held", TITLE_PX)
    _draw_title(canvas, shown, layout, slow.width)
    for side, box, label in zip(shown.sides, layout.numbers, layout.labels, strict=True):
        _draw_label(image, side, label)
        _draw_numbers(canvas, side, box)
    timeline = lay_timeline(image, shown, layout.timeline, start_s, stop_s)
    chips = tuple(_name_chips(side, box.width) for side, box in zip(shown.sides, layout.pictures, strict=True))
    still = to_planes(np.array(image))
    return Stage(still, layout.pictures, crops, timeline, chips, make_patch(slow), make_patch(held))


def _draw_title(canvas: ImageDraw.ImageDraw, shown: Shown, layout: Layout, right_px: int) -> None:
    words = f"{shown.title} · {shown.view}" if shown.title else shown.view
    for text in fit(words, layout.width - 90 - right_px, TITLE_PX):
        draw_text(canvas, (layout.timeline.x, layout.timeline.x - 4), text, TITLE_PX, QUIET_INK)


def _draw_label(image: Image.Image, side: ClipSide, box: Box) -> None:
    seen = mark(side.batch_number, LABEL_PX)
    image.paste(seen, (box.x, box.y + 6), seen)
    left = LABEL_PX + 12
    for text in fit(side.label, box.width - left, LABEL_PX, is_bold=True):
        draw_text(ImageDraw.Draw(image), (box.x + left, box.y), text, LABEL_PX, INK, is_bold=True)


def _draw_numbers(canvas: ImageDraw.ImageDraw, side: ClipSide, box: Box) -> None:
    """Set each number below its name: 'club path' small, '4.9° in-to-out' large; what finds no room is left away."""
    n_columns = 2 if box.width >= _TWO_COLUMNS_PX else 1
    column = box.width // n_columns
    ys = [float(box.y)] * n_columns
    for n, text in enumerate(side.lines[:_MOST_LINES]):
        place = n % n_columns
        name, colon, value = text.partition(": ")
        lines = [(part, NAME_PX, False) for part in fit(name if colon else "", column - 12, NAME_PX, n_lines=2)]
        words = value if colon else text
        lines += [(part, VALUE_PX, True) for part in fit(words, column - 12, VALUE_PX, is_bold=True, n_lines=2)]
        if ys[place] + sum(size * LEADING for _, size, _ in lines) > box.y + box.height + 12:
            continue
        for part, size, is_value in lines:
            at = (box.x + place * column, ys[place])
            draw_text(canvas, at, part, size, INK if is_value else QUIET_INK, is_bold=is_value)
            ys[place] += size * LEADING
        ys[place] += 10


def _name_chips(side: ClipSide, width_px: int) -> dict[str, Patch]:
    chips = {}
    for key_frame in side.key_frames:
        for text in fit(key_frame.name, width_px - 5 * CHIP_PX, CHIP_PX, is_bold=True):
            chips[key_frame.name] = make_patch(chip(text, CHIP_PX, side.batch_number))
    return chips
