"""A phone's clip for the window: measured in a process of its own, drawn beside it, written as a video."""

from collections.abc import Callable
from functools import partial
from pathlib import Path

from review.charts import Canvas
from review.jobs.history.phone_clip import PhoneClip, measure_phone_clip
from review.jobs.history.phone_pair import write_phone_pair
from review.jobs.history.pictures import draw_beside
from review.jobs.history.speech import Speech
from review.jobs.processes import run_one_apart
from review.lesson import Swing
from review.library import Library
from review.pose import Effort
from review.progress import Progress, silent


def measure_phone_clip_apart(
    folder: Path, pupil_id: str, path: Path, effort: Effort = Effort.QUICK, progress: Progress = silent
) -> PhoneClip:
    """Measure it in another process, so that a window is not held up; cancelled, that ends at once.

    Errors as in :func:`measure_phone_clip`.
    """
    return run_one_apart(partial(_measure, folder, pupil_id, path, effort), progress)


def _measure(folder: Path, pupil_id: str, path: Path, effort: Effort, progress: Progress) -> PhoneClip:
    with Library.open(folder, create=False) as library:
        return measure_phone_clip(library, library.pupil(pupil_id), path, effort=effort, progress=progress)


def write_pair(folder: Path, measured: PhoneClip, to: Path, progress: Progress = silent) -> Swing:
    """Write it beside a swing of the batch as a video; errors as in :func:`write_phone_pair`."""
    with Library.open(folder, create=False) as library:
        return write_phone_pair(library, measured, to, progress)


def draw_beside_for_screen(
    measured: PhoneClip,
    place_px: tuple[float, float | None],
    letter_px: float,
    is_dark: bool,
    fineness: float,
    say: Callable[[str], str],
    speech: Speech,
) -> bytes:
    """Draw the first measure as PNG, ``fineness`` picture pixels to a pixel of the window."""
    canvas = Canvas.on_page(place_px, letter_px, is_dark, say)
    return draw_beside(measured, canvas, speech).to_png(fineness)
