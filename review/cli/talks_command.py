"""``talks``: what the coach said over the swings of a lesson, listed, made into videos again, taken off."""

import argparse
from datetime import datetime
from pathlib import Path

from review.cli.screen import (
    add_lesson_argument,
    add_library_option,
    choose_lesson,
    open_library,
    progress_bar,
    say,
)
from review.errors import BadInputError, MachineError
from review.jobs.handing_out.noting import noted
from review.jobs.handing_out.privacy import settle_privacy
from review.jobs.handing_out.talks import render_talks
from review.jobs.talking_over import remove_talk_over
from review.lesson.words import count


def add_parser(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Add the command."""
    parser = commands.add_parser(
        "talks",
        help="what you said over swings: list it, make the videos again, take one off",
        description="List what was said over the swings of a lesson (T on a swing's page). The take-home makes the "
        "videos by itself; --to makes them alone.",
    )
    add_lesson_argument(parser)
    parser.add_argument("--to", type=Path, metavar="DIR", help="make the videos again, into this folder")
    parser.add_argument("--cover-faces", action="store_true", help="replace faces; a minor's always are")
    parser.add_argument("--only-player", action="store_true", help="replace what lies outside player and club")
    parser.add_argument("--remove", type=int, metavar="N", help="take talk N off, for good")
    add_library_option(parser)
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """List, take off, or make the videos."""
    with open_library(options.library) as library:
        lesson = choose_lesson(library, options.lesson)
        talks = library.talk_overs(lesson.id)
        if options.remove is not None:
            if not 1 <= options.remove <= len(talks):
                raise BadInputError(f"There is no talk {options.remove}; this lesson has {len(talks)}.")
            remove_talk_over(library.folder, talks[options.remove - 1])
            say(f"Talk {options.remove} is taken off.")
            return 0
        if options.to is None:
            for n, talk in enumerate(talks, start=1):
                what = "voice" if talk.voice_id else "notes"
                say(f"{n}  {talk.made_at:%Y-%m-%d %H:%M}  {talk.duration_s:.0f} s, {what}")
            if not talks:
                say("Nothing was said over a swing of this lesson. T on a swing's page begins.")
            return 0
        privacy = settle_privacy(
            library.pupil(lesson.pupil_id), datetime.now().date(), options.cover_faces, options.only_player
        )
        try:
            options.to.mkdir(parents=True, exist_ok=True)
        except OSError as error:
            raise MachineError(f"{options.to} cannot be made ({error.strerror}). Choose another folder.") from error
        what = f"talks in {options.to.name}"
        to_whom = privacy.for_whom
        with (
            progress_bar("Making the videos") as report,
            noted(library, lesson.id, what, to_whom, in_one_step=False) as better,
        ):
            videos, notes = render_talks(library, lesson.id, options.to, privacy, report)
            better.append(f"{count(len(videos), 'talk')} in {options.to.name}" if videos else "")
    for note in notes:
        say(f"Note: {note}")
    say(f"Written to {options.to.resolve()}: {', '.join(video.file_name for video in videos) or 'nothing'}.")
    return 0
