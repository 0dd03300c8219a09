"""``check``: what is installed, what is missing."""

import argparse

from review.cli.screen import add_library_option, say, write_json
from review.jobs.checking import check_installation


def add_parser(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Add the command."""
    parser = commands.add_parser(
        "check",
        help="say what is installed and what is missing",
        description="Look at everything the tool needs on this computer. Nothing is changed and nothing is sent.",
    )
    parser.add_argument("--json", action="store_true", help="print for a machine")
    add_library_option(parser)
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Check and report; exit code 3 when something is missing."""
    checks = check_installation(options.library)
    if options.json:
        write_json([{"name": c.name, "fine": c.is_fine, "detail": c.detail} for c in checks], None)
    else:
        for check in checks:
            say(f"{'fine   ' if check.is_fine else 'MISSING'}  {check.name}: {check.detail}")
    return 0 if all(check.is_fine for check in checks) else 3
