"""``repeatability``: how far one reading errs, from the same shots read twice."""

import argparse
from pathlib import Path

from review.cli.screen import add_library_option, say
from review.jobs.comparing.read_twice import find_repeatability
from review.jobs.tables.kept_mappings import find_mapping
from review.lesson import KINDS


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
    parser.add_argument("--mapping", type=Path, metavar="NAME|FILE", help="your column mapping for the first")
    parser.add_argument("--second-mapping", type=Path, metavar="NAME|FILE", help="the second's, where it is another")
    add_library_option(parser)
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Read both, print a line a measure and how to use it."""
    one = find_mapping(options.library, options.first, options.mapping)
    two = find_mapping(options.library, options.second, options.second_mapping or options.mapping)
    found = find_repeatability(options.first, options.second, (one.mapping, two.mapping))
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
    for text in found.useless:
        say(f"Not used: {text}")
    if not stated:
        return 1
    say("\nWith add or compare, or once for all with table FILE ... --keep NAME, name those of your aim:")
    say(f"  {stated}")
    for note in (*one.notes, *two.notes, *found.notes):
        say(f"Note: {note}")
    return 0
