"""What the options of ``add`` say: days, times, batches, files by camera."""

import argparse
from datetime import date, datetime, time
from pathlib import Path

from review.errors import BadInputError
from review.jobs.lesson_file import BatchPlan
from review.media import read_capture_time


def find_day(clips: list[Path]) -> date:
    """The day on which the first clip that tells it was filmed; BadInputError where none does."""
    for clip in clips:
        captured = read_capture_time(clip)
        if captured is not None:
            return captured.at.date()
    raise BadInputError("The clips do not say on which day they were filmed; add --date YYYY-MM-DD.")


def parse_date(text: str) -> date:
    """Read a day such as 2026-03-14."""
    try:
        return date.fromisoformat(text)
    except ValueError as error:
        raise argparse.ArgumentTypeError(f"expected a day such as 2026-03-14, got {text!r}") from error


def split_by_camera(option: str, texts: list[str]) -> tuple[tuple[str, Path], ...]:
    """Split CAMERA=FILE of an option that may be repeated."""
    pairs = []
    for text in texts:
        camera, is_named, file = text.partition("=")
        if not is_named or not camera.strip() or not file.strip():
            raise BadInputError(f"{option} expects CAMERA=FILE such as face-on=FILE, got {text!r}.")
        pairs.append((camera.strip(), Path(file.strip())))
    return tuple(pairs)


def parse_time_of_day(text: str) -> time:
    """Read a time such as 10:18 or 10:18:47."""
    try:
        return _parse_time(text)
    except ValueError as error:
        raise argparse.ArgumentTypeError(f"expected a time such as 10:18 or 10:18:47, got {text!r}") from error


def _parse_time(text: str) -> time:
    return datetime.strptime(text.strip(), "%H:%M:%S" if text.count(":") == 2 else "%H:%M").time()


def parse_batch(number: int, text: str) -> BatchPlan:
    """Read a batch, HH:MM[:SS][=CUE]."""
    start, _, cue = text.partition("=")
    try:
        begins = _parse_time(start)
    except ValueError as error:
        raise BadInputError(f"--batch expects a time such as 10:18:47=CUE, got {text!r}.") from error
    return BatchPlan(number, begins, cue.strip())
