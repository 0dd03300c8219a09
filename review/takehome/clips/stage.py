"""The picture around the clips, with all that does not move already drawn."""

from dataclasses import dataclass

import numpy as np
from PIL import Image, ImageDraw

from review.charts.looks import GROUND, INK, QUIET_INK
from review.media import Planes, VideoInfo, to_planes
from review.takehome.clip_sides import ClipSide, Shown
from review.takehome.clips.crops import choose_crops
from review.takehome.clips.dressing import Box
from review.takehome.clips.layout import CHIP_PX, LABEL_PX, TITLE_PX, Form, Layout, column_wide_px, lay_out
from review.takehome.clips.number_lines import draw_numbers, numbers_high_px
from review.takehome.clips.patches import Patch, make_patch
from review.takehome.clips.timeline import Timeline, lay_timeline
from review.takehome.looks import chip, draw_text, fit, font, mark
from review.takehome.text import drawable

_LEAST_LABEL_PX, _LEAST_CHIP_PX = 32, 26


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
    is_last = [side is shown.sides[-1] for side in shown.sides]
    column = column_wide_px(form, len(shown.sides))
    highs = [numbers_high_px(s.numbers, column, last) for s, last in zip(shown.sides, is_last, strict=True)]
    layout = lay_out(form, aspects, max(highs))
    image = Image.new("RGB", (layout.width, layout.height), GROUND)
    canvas = ImageDraw.Draw(image)
    slow, held = chip("slow ¼", TITLE_PX), chip("held", TITLE_PX)
    _draw_title(canvas, shown, layout, slow.width)
    for side, box, label, last in zip(shown.sides, layout.numbers, layout.labels, is_last, strict=True):
        _draw_label(image, side, label)
        draw_numbers(canvas, side.numbers, box, with_verdict=last)
    timeline = lay_timeline(image, shown, layout.timeline, start_s, stop_s)
    chips = tuple(_name_chips(side, box) for side, box in zip(shown.sides, layout.pictures, strict=True))
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
    wide = font(LABEL_PX, True).getlength(drawable(side.label))
    size_px = max(_LEAST_LABEL_PX, min(LABEL_PX, int(LABEL_PX * (box.width - left) / max(wide, 1.0))))
    for text in fit(side.label, box.width - left, size_px, is_bold=True):
        draw_text(ImageDraw.Draw(image), (box.x + left, box.y + (LABEL_PX - size_px)), text, size_px, INK, True)


def _name_chips(side: ClipSide, box: Box) -> dict[str, Patch]:
    size_px = max(_LEAST_CHIP_PX, min(CHIP_PX, round(0.05 * box.height)))
    chips = {}
    for key_frame in side.key_frames:
        for text in fit(key_frame.name, box.width - 5 * size_px, size_px, is_bold=True):
            chips[key_frame.name] = make_patch(chip(text, size_px, side.batch_number))
    return chips
