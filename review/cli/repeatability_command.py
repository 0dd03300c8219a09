"""``repeatability``: how far one reading errs, from the same shots read twice."""

import argparse
from pathlib import Path

from review.cli.screen import say
from review.jobs.comparing.read_twice import find_repeatability
from review.lesson import KINDS
from review.shots import read_mapping


def add_parser(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Add the command."""
    parser = commands.add_parser(
        "repeatability",
        help="how far one reading of a device errs, from the same shots in two tables",
        description="Two devices that watched the same shots, or one device asked twice: row by row, the scatter of "
        "the differences tells how far one reading errs. A comparison judges a measure only when this is known.",
    )
    parser.add_argument("first", type=Path, metavar="TABLE")
    parser.add_argument("second", type=Path, metavar="TABLE")
    parser.add_argument("--mapping", type=Path, metavar="FILE", help="your column mapping for the first table")
    parser.add_argument("--second-mapping", type=Path, metavar="FILE", help="the second's, where it is another one")
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Read both, print a line a measure and how to use it."""
    one = None if options.mapping is None else read_mapping(options.mapping)
    two = one if options.second_mapping is None else read_mapping(options.second_mapping)
    found = find_repeatability(options.first, options.second, (one, two))
    for name, error in found.errors:
        kind = KINDS[name]
        digits = kind.decimals + 1
        say(
            f"{kind.label:<18} errs {error.sd:.{digits}f}{kind.unit} (19 times of 20: {error.low:.{digits}f} to "
            f"{error.high:.{digits}f}), from {error.n} shots; the second reads {error.shift:+.{digits}f} more"
        )
    stated = " ".join(
        f"--repeatability {name}={error.sd:.{KINDS[name].decimals + 1}f}"
        for name, error in found.errors
        if error.sd > 0
    )
    say("\nWith add or compare, name those of your aim:")
    say(f"  {stated}")
    for note in found.notes:
        say(f"Note: {note}")
    return 0
