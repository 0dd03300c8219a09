"""What every picture has around it: title, a line under it, notes at the foot, and the place left for the chart."""

from collections.abc import Sequence

from review.charts.axis import Scale, say_tick
from review.charts.drawing import Drawing, measure_px
from review.charts.looks import Canvas, repeats_earlier
from review.compare.window import Window
from review.lesson.people import Handedness
from review.lesson.words import say_value
from review.lettering import clean, wrap

_LONGEST_NAME = 32
_BESIDE = 0.34
"""Part of a wide picture's width for notes that stand beside the chart."""
_FEW_NOTES = 2
"""Lines of notes that stand below the chart even then."""
_LEAST_OF_CHART = 0.6
"""Part of its usual height that a chart keeps where a given height leaves no room for all notes."""


def is_wide(canvas: Canvas) -> bool:
    """Whether the canvas lies across, like a screen."""
    return canvas.height_px is not None and canvas.width_px > 1.3 * canvas.height_px


class Page:
    """A drawing with its words; ``left``, ``right``, ``top``, ``bottom`` is the place left for the chart."""

    def __init__(
        self,
        canvas: Canvas,
        title: str,
        under: Sequence[str],
        notes: Sequence[str],
        chart_letters: float,
        notes_beside: bool = True,
    ) -> None:
        em = self.em = canvas.letter_px
        title, under, notes = canvas.say(title), [*map(canvas.say, under)], [*map(canvas.say, notes)]
        self.small = 0.92 * em
        self.canvas = canvas
        self.left, self.right = 0.9 * em, canvas.width_px - 0.9 * em
        heads = [(line, 1.25 * em, True) for line in self._wrap(title, 1.25 * em, 2, True)]
        heads += [(line, em, False) for text in under for line in self._wrap(text, em, 2)]
        notes_px = self.right - self.left
        feet = [line for text in notes for line in self._wrap(text, self.small, 3)]
        beside = notes_beside and is_wide(canvas) and len(feet) > _FEW_NOTES
        if beside:
            notes_px *= _BESIDE
            feet = [line for text in notes for line in self._wrap(text, self.small, 5, width=notes_px)]
        head_px = 0.7 * em + sum(1.35 * size for _, size, _ in heads)
        line_px = 1.3 * self.small
        if canvas.height_px is not None:
            # a chart that cannot be read helps less than a note that is not there
            least_px = 0.0 if beside else _LEAST_OF_CHART * chart_letters * em
            feet = feet[: max(0, int((canvas.height_px - head_px - 0.9 * em - least_px) / line_px))]
        foot_px = line_px * (0 if beside else len(feet)) + 0.7 * em
        height = canvas.height_px or head_px + foot_px + chart_letters * em
        self.drawing = Drawing(canvas, height, title, " ".join((*under, *notes)))
        self.top, self.bottom = head_px, height - foot_px
        y = 0.6 * em
        for line, size, is_bold in heads:
            y += 1.35 * size
            self.drawing.words(self.left, y - 0.3 * size, line, size, canvas.ink, is_bold=is_bold)
        notes_left, notes_top = self.left, self.bottom
        if beside:
            notes_left, notes_top = self.right - notes_px, self.top + 0.2 * em
            self.right = notes_left - 2 * em
        for n, line in enumerate(feet):
            baseline = notes_top + line_px * (n + 1) - 0.2 * em
            self.drawing.words(notes_left, baseline, line, self.small, canvas.quiet_ink)

    def _wrap(self, text: str, size: float, n_lines: int, is_bold: bool = False, width: float = 0.0) -> tuple[str, ...]:
        width = width or self.right - self.left
        return wrap(clean(text), width, n_lines, lambda part: measure_px(part, size, is_bold)) if text else ()

    def quiet(self, x: float, baseline: float, text: str, align: str = "left") -> None:
        """Write a small quiet line."""
        self.drawing.words(x, baseline, self.canvas.say(text), self.small, self.canvas.quiet_ink, align)

    def draw_key(self, names: Sequence[tuple[int, str]], baseline: float) -> None:
        """Name the batches beside their marks: (number, name or '')."""
        em, width, numbers = self.em, (self.right - self.left) / len(names), [number for number, _ in names]
        for n, (number, name) in enumerate(names):
            left = self.left + n * width
            is_hollow = repeats_earlier(numbers, n)
            self.drawing.marks(number, [left + 0.5 * em], [baseline - 0.35 * em], 0.42 * em, is_hollow)
            words = self.cut(name or self.canvas.say(f"Batch {number}"), width - 1.8 * em)
            self.drawing.words(left + 1.3 * em, baseline, words, self.small)

    def draw_grid(
        self, name: str, scale: Scale, ticks: Sequence[float], decimals: int, left: float, right: float
    ) -> None:
        """Draw the lines of a measure's scale with their numbers on the left of them."""
        for tick in ticks:
            is_zero = abs(tick) < 1e-9 * max(abs(ticks[0]), abs(ticks[-1]))
            colour = self.canvas.quiet_ink if is_zero else self.canvas.line
            self.drawing.line((left, right), (scale(tick),) * 2, colour, self.em / 13, zorder=1.5)
            self.quiet(left - 0.4 * self.em, scale(tick) + 0.33 * self.em, say_tick(name, tick, decimals), "right")

    def draw_window(self, window: Window, scale: Scale, left: float, right: float) -> None:
        """Draw the coach's window as a band between broken lines."""
        low, high = max(window.low, scale.low), min(window.high, scale.high)
        if low <= high:
            self.drawing.box(left, scale(high), right, scale(low), self.canvas.quiet_ink, alpha=0.22, gid="window")
        for end in (window.low, window.high):
            if scale.low <= end <= scale.high:
                self.drawing.line(
                    (left, right), (scale(end),) * 2, self.canvas.quiet_ink, self.em / 10, dash=True, zorder=1.6
                )

    def room_for_ticks(self, labels: Sequence[str]) -> float:
        """Width of the numbers beside a scale, in CSS pixels."""
        return max(measure_px(words, self.small) for words in labels) + 0.4 * self.em

    def cut(self, text: str, width: float) -> str:
        """Shorten a small line to its place."""
        return " ".join(self._wrap(text, self.small, 1, width=width))

    def first_that_fits(self, options: Sequence[str], width: float, n_lines: int) -> tuple[str, ...]:
        """Return the first of the texts that fits its place whole, broken into lines; () when none does."""
        for text in options:
            lines = wrap(clean(text), width, n_lines, lambda part: measure_px(part, self.small))
            if " ".join(lines) == clean(text):
                return lines
        return ()


def say_name(number: int, name: str) -> str:
    """What a batch is called in a sentence, a long name shortened."""
    words = clean(name) or f"Batch {number}"
    return words if len(words) <= _LONGEST_NAME else words[: _LONGEST_NAME - 1].rstrip() + "…"


def say_window(name: str, window: Window, handedness: Handedness) -> str:
    """Say the coach's window: 'Grey band: the window, 1.0° out-to-in to 2.0° in-to-out.'."""
    ends = [say_value(name, end, handedness) for end in (window.low, window.high)]
    if window.low == -float("inf"):
        words = f"from {ends[1]} downward"
    elif window.high == float("inf"):
        words = f"from {ends[0]} upward"
    else:
        words = f"{ends[0]} to {ends[1]}"
    return f"Grey band: the window, {words}."
