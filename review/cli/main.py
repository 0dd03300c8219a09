"""``lesson-review``: reads the command line, calls ``jobs``, prints for the coach."""

import argparse
import signal
import sys
import threading
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from datetime import datetime
from importlib import import_module

from review import __version__
from review.cli.screen import complain
from review.errors import ReviewError

_COMMANDS = {
    "demo": "demo_command",
    "add": "add_command",
    "live": "live.command",
    "open": "open_command",
    "measure": "measure_command",
    "table": "table_command",
    "match": "match.command",
    "move": "move_command",
    "pressure": "pressure_command",
    "compare": "compare.command",
    "repeatability": "repeatability_command",
    "history": "history_command",
    "before": "before_command",
    "search": "search_command",
    "phone-clip": "phone_clip_command",
    "takehome": "takehome_command",
    "talks": "talks_command",
    "export": "export_command",
    "pack": "pack_command",
    "unpack": "unpack_command",
    "forget": "forget_command",
    "backup": "backup_command",
    "restore": "restore_command",
    "reanalyse": "reanalyse_command",
    "thin": "thin_command",
    "check": "check_command",
    "check-accuracy": "accuracy_command",
}
EXIT_CODES = """exit codes: 0 done; 1 done, but something needs your answer (or you stopped it); 2 the input or the
request cannot be used; 3 the machine failed (disk, permission, a missing part)"""


def make_parser(names: Iterable[str] = tuple(_COMMANDS)) -> argparse.ArgumentParser:
    """Build the parser of these commands."""
    parser = argparse.ArgumentParser(
        prog="lesson-review",
        description="Lesson review for golf coaches who teach one to one: swing video, shot table and pressure trace "
        "of a lesson together, the first batch against the last, and a take-home for the pupil.",
        epilog=EXIT_CODES,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.add_argument("--version", action="version", version=f"lesson-review {__version__}")
    commands = parser.add_subparsers(dest="command", metavar="COMMAND", required=True)
    for name in names:
        import_module(f"review.cli.{_COMMANDS[name]}").add_parser(commands)
    return parser


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command and return its exit code."""
    started_at = datetime.now()
    asked = sys.argv[1:] if arguments is None else arguments
    try:
        with _told_to_end_as_by_ctrl_c():
            # the other commands' libraries take a second to load
            is_known = bool(asked) and asked[0] in _COMMANDS
            options = make_parser(asked[:1] if is_known else _COMMANDS).parse_args(asked)
            options.started_at = started_at
            code: int = options.run(options)
        return code
    except ReviewError as error:
        complain(str(error))
        return error.exit_code
    except KeyboardInterrupt:
        complain("Stopped. Nothing half done was kept.")
        return 1
    except BrokenPipeError:
        return 0
    except PermissionError as error:
        complain(f"{error.filename or 'A file'} may not be read or written here; choose another folder or its rights.")
        return 3
    except OSError as error:
        complain(f"The computer could not do it: {error.strerror or error} ({error.filename or 'no file named'}).")
        return 3


@contextmanager
def _told_to_end_as_by_ctrl_c() -> Iterator[None]:
    """Stop as by Ctrl+C when the system asks to end (SIGTERM), so that nothing half done stays."""
    if threading.current_thread() is not threading.main_thread():  # Python gives signals to that one only
        yield
        return
    before = signal.signal(signal.SIGTERM, signal.default_int_handler)
    try:
        yield
    finally:
        signal.signal(signal.SIGTERM, before)


if __name__ == "__main__":
    sys.exit(main())
