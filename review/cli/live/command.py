"""``live``: a lesson as it happens."""

import argparse
import time
from datetime import datetime
from pathlib import Path

from review.cli.add_command import consent_of
from review.cli.live.keys import Keys
from review.cli.live.pressed import KEYS, press
from review.cli.live.screen import LiveScreen
from review.cli.screen import add_consent_options, add_library_option, complain, note_little_room, say
from review.errors import BadInputError, ReviewError
from review.jobs.lesson_file import parse_aim
from review.jobs.live import (
    LiveRequest,
    LiveSession,
    WorkQueue,
    begin_lesson,
    is_asked_to_leave,
    is_going_on,
    name_cameras,
    only_run,
)
from review.lesson import Handedness
from review.library import Library

_LOOK_EVERY_S = 0.2
_END_AFTER_S = 2.0
"""A lesson that is over is left when nothing has been waiting for so long."""


def add_parser(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Add the command."""
    parser = commands.add_parser(
        "live",
        help="follow a lesson as it happens",
        description="Follow a lesson as it happens: take in each clip that a camera drops into a folder, pair it with "
        "its row of the table that the device writes, measure the body behind, and show it all line by line. Folders "
        "and table are given once; later lessons use them again. Without --pupil a lesson that was interrupted goes "
        "on. With another pupil's name the lesson before ends at this moment.",
        epilog=f"Keys (with Enter where it is no terminal): {' | '.join(KEYS)}",
    )
    parser.add_argument("--pupil", metavar="NAME", default="")
    parser.add_argument("--handed", choices=[h.value for h in Handedness], help="for a pupil who is new")
    parser.add_argument("--stature", type=float, metavar="METRES")
    parser.add_argument(
        "--clips",
        action="append",
        type=Path,
        default=[],
        metavar="FOLDER",
        help="where a camera drops its clips; repeat",
    )
    parser.add_argument(
        "--camera",
        action="append",
        default=[],
        metavar="NAME=PATTERN",
        help="which files of one folder are of which camera, such as behind=*_b.mp4 (default: each folder is a camera)",
    )
    parser.add_argument("--shots", type=Path, metavar="TABLE", help="the table that the device writes or will export")
    parser.add_argument("--mapping", type=Path, metavar="NAME|FILE", help="your column mapping for that table")
    parser.add_argument("--since", type=_time, metavar="HH:MM", help="the lesson began then, by this computer's clock")
    parser.add_argument("--club", default="", help="club of the first batch")
    parser.add_argument("--aim", action="append", default=[], metavar="MEASURE[ at KEY FRAME]", help="what it is about")
    parser.add_argument(
        "--body",
        choices=["thorough", "quick", "none"],
        default="",
        help="body numbers: quick between the balls and thorough when there is time (default), quick only, or none; "
        "kept with the lesson",
    )
    add_consent_options(parser)
    add_library_option(parser)
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Follow a lesson until it is ended or left."""
    request, notes = _request(options)
    now = options.started_at
    note_little_room(options.library)
    with Library.open(options.library) as library, only_run(options.library, lambda: is_going_on(library, now)):
        live, is_resumed = begin_lesson(library, request, now, lambda text: say(f"Note: {text}"))
        for note in notes:
            say(f"Note: {note}")
        queue = None if live.watched.body == "none" else WorkQueue()
        session = None
        try:
            if queue is not None:
                queue.warm_up()
            screen = LiveScreen(library)
            session = LiveSession(library, live, screen.tell, queue, is_resumed, live.watched.body == "thorough")
            say("Keys: b new batch, e end of the lesson, h all keys.")
            return _follow(session, screen, options.library)
        except KeyboardInterrupt:
            say("Left. Everything is kept; go on with: lesson-review live")
            return 0 if session is None else _exit_code(session)
        finally:
            if queue is not None:
                queue.close()


def _follow(session: LiveSession, screen: LiveScreen, library: Path) -> int:
    settled_since_s: float | None = None
    with Keys(with_text="w", prompt="cue / feel> ") as keys:
        while True:
            session.look()
            screen.look()
            for pressed in keys.take():
                try:
                    press(session, pressed)
                except ReviewError as error:
                    complain(str(error))
            if session.is_over and is_asked_to_leave(library):
                say("The next lesson begins. What is not measured yet: lesson-review measure.")
                return _exit_code(session)
            now_s = time.monotonic()
            settled_since_s = (settled_since_s or now_s) if session.is_settled else None
            is_settled = settled_since_s is not None and now_s >= settled_since_s + _END_AFTER_S
            if session.is_over and is_settled:
                left = session.files_left
                done = f"Taken in, except {', '.join(left)}: see the notes above." if left else "All is taken in."
                say(f"{done} Numbers: lesson-review compare; pairs: lesson-review match.")
                return 1 if left else _exit_code(session)
            if keys.is_at_end and not session.is_over and is_settled:
                say("No more keys can come. The lesson stays open; go on with: lesson-review live")
                return _exit_code(session)
            time.sleep(_LOOK_EVERY_S)


def _exit_code(session: LiveSession) -> int:
    return 1 if session.coach.n_open_questions or session.is_consent_missing else 0


def _request(options: argparse.Namespace) -> tuple[LiveRequest, tuple[str, ...]]:
    if options.minor and not options.guardian:
        raise BadInputError("A pupil under age needs --guardian NAME.")
    cameras = tuple(map(_camera, options.camera))
    folders = [folder.absolute() for folder in options.clips]
    # one folder alone holds whatever its file names say
    named, notes = name_cameras([(f, f.name if len(folders) > 1 and not cameras else "") for f in folders])
    now = datetime.now()
    since = None if options.since is None else datetime.combine(now.date(), options.since.time())
    if since is not None and since > now:
        raise BadInputError(f"--since {since:%H:%M} is still to come; give the time at which the lesson began.")
    request = LiveRequest(
        pupil=options.pupil,
        handedness=None if options.handed is None else Handedness(options.handed),
        stature_m=options.stature,
        consent=consent_of(options, now.date()),
        is_minor=options.minor,
        guardian=options.guardian,
        folders=named,
        cameras=cameras,
        table=options.shots,
        mapping=options.mapping,
        aim_measures=tuple(parse_aim(text) for text in options.aim),
        club=options.club,
        body=options.body,
        since=since,
    )
    return request, notes


def _camera(text: str) -> tuple[str, str]:
    name, is_named, pattern = text.partition("=")
    if not is_named or not name.strip() or not pattern.strip():
        raise BadInputError(f"--camera expects NAME=PATTERN such as behind=*_b.mp4, got {text!r}.")
    return name.strip(), pattern.strip()


def _time(text: str) -> datetime:
    for form in ("%H:%M", "%H:%M:%S"):
        try:
            return datetime.strptime(text, form)
        except ValueError:
            continue
    raise argparse.ArgumentTypeError(f"expected a time such as 10:15, got {text!r}")
