"""A pupil's years for the window: read and drawn beside it."""

from collections.abc import Callable
from pathlib import Path

from review.charts import Canvas
from review.compare import MeasureKey
from review.jobs.history.pictures import draw_history
from review.jobs.history.reading import History, read_history
from review.jobs.history.speech import Speech
from review.lesson import AimMeasure
from review.library import Library


def show_history(folder: Path, pupil_id: str, key: MeasureKey | None = None) -> History:
    """Read one measure over all lessons of a pupil; errors as in :func:`read_history`."""
    with Library.open(folder, create=False) as library:
        return read_history(library, pupil_id, None if key is None else AimMeasure(*key))


def draw_history_for_screen(
    history: History,
    place_px: tuple[float, float | None],
    letter_px: float,
    is_dark: bool,
    fineness: float,
    say: Callable[[str], str],
    speech: Speech,
) -> bytes:
    """Draw it as PNG, ``fineness`` picture pixels to a pixel of the window, as high as it needs without a height."""
    canvas = Canvas.on_page(place_px, letter_px, is_dark, say)
    return draw_history(history, canvas, speech).to_png(fineness)
