"""Numbers of a swing as lines on a clip: the name small, the value large, what is to be said of it below."""

from dataclasses import dataclass, replace

from PIL import ImageDraw

from review.charts.looks import INK, QUIET_INK
from review.palette import Rgb
from review.takehome.clip_sides import SwingNumber
from review.takehome.clips.dressing import Box
from review.takehome.looks import draw_text, fit, font

_NAME_PX, _VALUE_PX, _REMARK_PX = 34, 44, 30
_LEADING, _BETWEEN_PX, _SPACE_PX = 1.28, 10, 12
_MOST = 3
_TWO_COLUMNS_PX = 800


@dataclass(frozen=True)
class _Line:
    """Words at a place from the upper left corner of all."""

    words: str
    x: float
    y: float
    size_px: int
    ink: Rgb = QUIET_INK
    is_bold: bool = False


def numbers_high_px(numbers: tuple[SwingNumber, ...], width_px: int, with_verdict: bool) -> int:
    """Return how much height numbers need in so much width."""
    lines = [line for block in _lay(numbers, width_px, with_verdict) for line in block]
    return round(max((line.y + line.size_px * _LEADING for line in lines), default=0.0))


def draw_numbers(
    canvas: ImageDraw.ImageDraw, numbers: tuple[SwingNumber, ...], box: Box, with_verdict: bool = True
) -> None:
    """Write the numbers into a place; one that finds no room is left away.

    A number whose change cannot be told yet is not as bright, and says so below ``with_verdict``.
    """
    for block in _lay(numbers, box.width, with_verdict):
        if block[-1].y + block[-1].size_px > box.height + _SPACE_PX:
            continue
        for line in block:
            at = (box.x + line.x, box.y + line.y)
            draw_text(canvas, at, line.words, line.size_px, line.ink, line.is_bold)


def _lay(numbers: tuple[SwingNumber, ...], width_px: int, with_verdict: bool) -> list[list[_Line]]:
    """Lay the numbers out in one column or two; each is a block."""
    n_columns = 2 if width_px >= _TWO_COLUMNS_PX else 1
    column = width_px // n_columns
    ys = [0.0] * n_columns
    blocks = []
    for n, number in enumerate(numbers[:_MOST]):
        place = n % n_columns
        block = _lay_one(number, place * column, ys[place], column - _SPACE_PX, with_verdict)
        ys[place] = block[-1].y + block[-1].size_px * _LEADING + _BETWEEN_PX
        blocks.append(block)
    return blocks


def _lay_one(number: SwingNumber, x: float, y: float, room: float, with_verdict: bool) -> list[_Line]:
    is_open = bool(number.verdict_words) and not number.is_firm
    lines: list[_Line] = []

    def write(words: str, size_px: int, n_lines: int, ink: Rgb = QUIET_INK, is_bold: bool = False) -> None:
        nonlocal y
        for part in fit(words, room, size_px, is_bold, n_lines):
            lines.append(_Line(part, x, y, size_px, ink, is_bold))
            y += size_px * _LEADING

    write(number.name, _NAME_PX, 2)
    write(number.words, _VALUE_PX, 3, QUIET_INK if is_open else INK, not is_open)
    within = f"({number.range_words})" if number.range_words else ""
    value = lines[-1]
    beside = font(_VALUE_PX, not is_open).getlength(value.words) + _SPACE_PX
    if within and beside + font(_REMARK_PX).getlength(within) <= room:
        lines.append(_Line(within, x + beside, value.y + 0.85 * (_VALUE_PX - _REMARK_PX), _REMARK_PX))
    else:
        write(within, _REMARK_PX, 2)
    if number.verdict_words:
        n_before = len(lines)
        write(f"first to last: {number.verdict_words}", _REMARK_PX, 2)
        if not with_verdict:  # its room stays, so that the numbers of both swings stand at the same height
            lines[n_before:] = [replace(line, words="") for line in lines[n_before:]]
    # what stands beside the value must not be taken for the lowest
    return sorted(lines, key=lambda line: line.y)
