"""What the commands share: where they print, progress bars, the library's place."""

import argparse
import json
import math
import os
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

from platformdirs import user_data_path
from rich.console import Console
from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn, TimeRemainingColumn

from review.errors import BadInputError
from review.jobs.free_space import say_little_room
from review.lesson import Lesson
from review.progress import Progress as Report

if TYPE_CHECKING:  # a second to load: the window is on the screen before
    from review.library import Library

LESSON_HELP = "a pupil's name (the latest lesson), a day, first letters of the id, or 'last' added (default)"

screen = Console(highlight=False)
_errors = Console(stderr=True, highlight=False)


def say(text: str = "") -> None:
    """Print a line for the coach, exactly as it is."""
    screen.print(text, markup=False, soft_wrap=True)


def complain(text: str) -> None:
    """Print an error for the coach."""
    _errors.print(text, markup=False, soft_wrap=True)


@contextmanager
def progress_bar(what: str) -> Iterator[Report]:
    """Show a bar on standard error while work goes on; silent where nobody looks."""
    if not _errors.is_terminal:
        yield lambda done, total: None
        return
    columns = (TextColumn("{task.description}"), BarColumn(), MofNCompleteColumn(), TimeRemainingColumn())
    with Progress(*columns, console=_errors, transient=True) as bar:
        task = bar.add_task(what, total=None)
        yield lambda done, total: bar.update(task, completed=done, total=total)


def open_library(folder: Path, create: bool = False) -> "Library":
    """Open the coach's library; a removal that a kill broke off and opening has finished is told."""
    from review.library import Library

    library = Library.open(folder, create=create)
    for done in library.finished_forgetting:
        say(f"A pupil's removal that was broken off is finished: lessons {done.n_lessons}, clips {done.n_clips}.")
        for handout in done.out_of_reach:
            say(f"Beyond reach: {handout}")
    return library


def note_little_room(folder: Path) -> None:
    """Warn early that the library's disk is nearly full."""
    warning = say_little_room(folder)
    if warning:
        say(f"Note: {warning}")


def add_lesson_argument(parser: argparse.ArgumentParser) -> None:
    """Add the lesson to work on."""
    # an argument that is not given must not hide the option
    parser.add_argument("lesson", nargs="?", default=argparse.SUPPRESS, help=LESSON_HELP)
    parser.add_argument("--lesson", default="last", metavar="LESSON", help="the same")


def choose_lesson(library: "Library", text: str, is_for_machine: bool = False) -> Lesson:
    """Find the lesson meant and say whose it is: 'last' may not be the one the coach thinks of."""
    lesson = library.find_lesson(text)
    if not is_for_machine:
        say(f"{library.pupil(lesson.pupil_id).name}, lesson of {lesson.held_on} ({lesson.id[:8]})")
    return lesson


def add_consent_options(parser: argparse.ArgumentParser) -> None:
    """Add who agreed to what, and whether the pupil is under age."""
    parser.add_argument("--consent-by", metavar="NAME", help="who agreed")
    parser.add_argument("--consent-for", metavar="LIST", help="to what: keep,show,share,voice,measure")
    parser.add_argument(
        "--consent-until", type=date.fromisoformat, metavar="YYYY-MM-DD", help="last day; else until it is withdrawn"
    )
    parser.add_argument("--minor", action="store_true", help="the pupil is under age; --guardian is then needed")
    parser.add_argument("--guardian", metavar="NAME")


def add_library_option(parser: argparse.ArgumentParser) -> None:
    """Add ``--library``."""
    parser.add_argument(
        "--library",
        type=Path,
        default=default_library(),
        metavar="DIR",
        help="the folder that holds all pupils (default: %(default)s; or set LESSON_REVIEW_LIBRARY)",
    )


def default_library() -> Path:
    """Where the library lies unless the coach says otherwise."""
    chosen = os.environ.get("LESSON_REVIEW_LIBRARY")
    return Path(chosen) if chosen else user_data_path("lesson-review", appauthor=False) / "library"


def check_can_be_written(to: Path | None) -> None:
    """Say before the work that its result has no place to go; None and '-' need none.

    Raises
    ------
    BadInputError
        When the folder is missing, or a folder has the file's name.
    """
    if to is None or str(to) == "-":
        return
    if to.is_dir():
        raise BadInputError(f"{to} is a folder; give the name of a file to write, such as {to / 'result.json'}.")
    if not to.parent.is_dir():
        raise BadInputError(f"{to} cannot be written: there is no folder {to.parent}; make it or give another name.")


def write_json(data: Any, to: Path | None) -> None:
    """Write JSON to a file, or to standard output when ``to`` is '-' or None; NaN becomes null."""
    text = json.dumps(_without_nan(data), indent=1, ensure_ascii=False)
    if to is None or str(to) == "-":
        screen.file.write(text + "\n")
        return
    check_can_be_written(to)
    aside = to.with_name(f".{to.name}.{os.getpid()}.part")
    try:
        aside.write_text(text + "\n", encoding="utf-8")
        aside.replace(to)
    finally:
        aside.unlink(missing_ok=True)


def _without_nan(data: Any) -> Any:
    if isinstance(data, float):
        return None if math.isnan(data) or math.isinf(data) else data
    if isinstance(data, dict):
        return {key: _without_nan(value) for key, value in data.items()}
    if isinstance(data, list | tuple):
        return [_without_nan(value) for value in data]
    return data
