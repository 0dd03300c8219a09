"""``table``: what a device's table would be read as, and keeping that for the next one."""

import argparse
from pathlib import Path

from rich.table import Table
from rich.text import Text

from review.cli.compare.options import parse_repeatability
from review.cli.screen import add_library_option, say, screen
from review.cli.table_pressure import show_pressure_table
from review.cli.wrapping import fill, pack
from review.errors import BadInputError
from review.jobs.tables.kept_mappings import keep_mapping
from review.jobs.tables.looking import LookedAt, TableWishes, look_at_table
from review.jobs.tables.looking_pressure import is_pressure_table
from review.lesson import KINDS
from review.lesson.words import count
from review.shots import Certainty, TableProposal
from review.shots.columns import KEPT_AS_TEXT

_MOST_NAMED = 12


def add_parser(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Add the command."""
    parser = commands.add_parser(
        "table",
        help="see what a device's table would be read as, and keep that for the next one",
        description="Say of every column what it would be read as, from which unit and why, and what is left out. "
        "Correct it with --as and --flip; with --keep it is remembered under your name for it, and every later table "
        "of that device is read so by itself. Nothing is added to a lesson.",
    )
    parser.add_argument("table", type=Path, metavar="FILE")
    parser.add_argument(
        "--as",
        dest="columns",
        action="append",
        default=[],
        metavar="HEADER=MEASURE [UNIT]",
        help="what a column is, such as 'Weg=club path' or 'Carry=carry m'; ignore leaves it out",
    )
    parser.add_argument(
        "--flip", action="append", default=[], metavar="HEADER", help="this device counts it the other way round"
    )
    parser.add_argument(
        "--club", action="append", default=[], metavar="WRITTEN=YOURS", help="a club as it is called in your bag"
    )
    parser.add_argument(
        "--repeatability",
        action="append",
        default=[],
        metavar="MEASURE=SD",
        help="how far one reading of this device errs; kept with it, so that lessons it measured can be judged",
    )
    parser.add_argument(
        "--pressure",
        action="store_true",
        help="the table of a pressure mat: HEADER=time, x, y, force, left force, right force, lead force, trail force, "
        "shot",
    )
    parser.add_argument(
        "--cell", type=float, nargs=2, metavar=("WIDTH", "DEPTH"), help="size of a mat's cells in cm, for a grid"
    )
    parser.add_argument("--mapping", type=Path, metavar="NAME|FILE", help="begin with this mapping of yours")
    parser.add_argument("--keep", metavar="NAME", help="remember all this under your name for the device")
    add_library_option(parser)
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Show the columns, then what is asked; keep when told to and nothing is open."""
    wishes = TableWishes(
        tuple(options.columns),
        tuple(options.flip),
        tuple(options.club),
        tuple(map(parse_repeatability, options.repeatability)),
        options.mapping,
    )
    if options.pressure:
        return show_pressure_table(options, wishes)
    looked = look_at_table(options.library, options.table, wishes)
    proposal = looked.proposal
    _show_columns(proposal)
    _show_clubs(proposal)
    _show_rows(looked)
    for question in proposal.questions:
        say(fill(f"Question: {question}{'' if question.endswith('?') else '.'}", "  "))
    if looked.table is None and is_pressure_table(options.table, options.library):
        say(fill("This reads as the table of a pressure mat: the same command with --pressure.", "  "))
    elif any(not column.meaning and not column.choices for column in proposal.columns):
        say(
            fill(
                "To read a column that is not read: --as 'HEADER=MEASURE UNIT', such as --as 'Weg=club path deg'.", "  "
            )
        )
    is_open = any(column.certainty is Certainty.ASKED and column.meaning for column in proposal.columns)
    if options.keep and is_open:
        say(fill("Nothing was kept: say first in which unit those columns are.", "  "))
        return 1
    if options.keep and looked.table is None:
        raise BadInputError(f"{looked.refusal} Nothing was kept.")
    if options.keep:
        keep_mapping(options.library, options.keep, proposal.mapping)
        say(fill(f"Kept as {options.keep!r}. Tables with these columns are read so from now on.", "  "))
    elif not proposal.questions and looked.table is not None:
        say(fill("Right? Keep it under your name for the device: the same command with --keep NAME.", "  "))
    return 1 if proposal.questions or looked.table is None else 0


def _show_columns(proposal: TableProposal) -> None:
    table = Table(box=None, pad_edge=False, padding=(0, 2, 0, 0))
    for title in ("column", "read as", "first rows", "why"):
        table.add_column(title, overflow="fold")
    left_out: dict[str, list[str]] = {}
    for column in proposal.columns:
        if not column.meaning and not column.choices:
            left_out.setdefault(column.reason, []).append(column.header)
            continue
        label = KINDS[column.meaning].label if column.meaning in KINDS else column.meaning
        unit = f", from {column.unit}" if column.unit and column.meaning in KINDS else ""
        flipped = ", sign turned round" if column.header in proposal.mapping.flipped else ""
        is_asked = column.certainty is Certainty.ASKED
        why = column.reason if column.certainty is Certainty.SURE else f"{column.certainty}: {column.reason}"
        said = "?" if is_asked else f"{label}{unit}{flipped}"
        table.add_row(*map(Text, (column.header, said, ", ".join(column.samples), why)))
    screen.print(table)
    for reason, headers in left_out.items():
        more = [f"and {len(headers) - _MOST_NAMED} more"] if len(headers) > _MOST_NAMED else []
        say(pack([*headers[:_MOST_NAMED], *more], "Not read:  ", ", ") + f": {reason}")


def _show_clubs(proposal: TableProposal) -> None:
    if proposal.clubs:
        said = [f"{club} ({n})" if not yours else f"{club} ({n}) = {yours}" for club, n, yours in proposal.clubs]
        say(pack(said, "Clubs:     "))


def _show_rows(looked: LookedAt) -> None:
    if looked.table is None and looked.proposal.questions:
        say("Rows:      told when the questions are answered")
        return
    if looked.table is None:
        say(fill(f"No row can be read so: {looked.refusal}", "  "))
        return
    say(f"Rows:      {count(len(looked.table.shots), 'shot')}")
    for note in looked.notes:
        if not note.startswith(KEPT_AS_TEXT):  # said above, with the reason
            say(fill(f"Note: {note}", "  "))
