"""What a mat's table would be read as, on the screen, and keeping that."""

import argparse

import numpy as np
from rich.table import Table
from rich.text import Text

from review.cli.screen import say, screen
from review.cli.wrapping import fill
from review.errors import BadInputError
from review.jobs.tables.kept_mappings import PRESSURE_TABLE, keep_mapping
from review.jobs.tables.looking import TableWishes
from review.jobs.tables.looking_pressure import LookedAtPressure, look_at_pressure_table
from review.lesson import FloatArray
from review.lesson.words import count

_SPAN_CM = (0.5, 150.0)
"""What a pressure wanders at least that somebody swings on, and at most on one mat; common practice, no source."""
_WORDS = {"x": "x, in the mat's axes", "y": "y, in the mat's axes", "force": "vertical force", "shot": "which shot"}


def show_pressure_table(options: argparse.Namespace, wishes: TableWishes) -> int:
    """Show the columns and what is in them; keep when told to and the table can be read."""
    if wishes.clubs or wishes.repeatability:
        raise BadInputError("--club and --repeatability belong to a shot table; leave them out with --pressure.")
    cell_cm = None if options.cell is None else (options.cell[0], options.cell[1])
    looked = look_at_pressure_table(options.library, options.table, wishes, cell_cm)
    _show_columns(looked)
    if looked.record is None:
        say(fill(f"It cannot be read so: {looked.refusal}.".replace("..", "."), "  "))
        unused = [column.header for column in looked.columns if not column.role]
        if unused:
            say(fill(f"To say what a column is: --as '{unused[0]}=x mm'.", "  "))
        if options.keep:
            raise BadInputError("Nothing was kept.")
        return 1
    record = looked.record
    rate = f"about {1 / record.step_s:.0f} a second" if record.step_s > 0 else "rate not known"
    say(f"Samples:   {len(record.time_s):,}, {rate}, over {record.time_s[-1] - record.time_s[0]:.1f} s")
    say(f"Places:    {_tell_range('x', record.xy_cm[:, 0])}; {_tell_range('y', record.xy_cm[:, 1])}")
    for note in looked.notes:
        say(fill(f"Note: {note}", "  "))
    if options.keep:
        keep_mapping(options.library, options.keep, looked.mapping, PRESSURE_TABLE)
        say(fill(f"Kept as {options.keep!r}. Pressure tables with these columns are read so from now on.", "  "))
    elif not looked.mapping.name:
        say(fill("Right? Keep it under your name for the mat: the same command with --keep NAME.", "  "))
    return 0


def _tell_range(axis: str, values_cm: FloatArray) -> str:
    """The range without the outermost hundredths, and a doubt where nobody's pressure moves so little or so much."""
    low, high = np.nanpercentile(values_cm, [1, 99]) if np.isfinite(values_cm).any() else (np.nan, np.nan)
    doubt = "" if _SPAN_CM[0] <= high - low <= _SPAN_CM[1] else " (is the unit right?)"
    return f"{axis} from {low:.1f} to {high:.1f} cm{doubt}"


def _show_columns(looked: LookedAtPressure) -> None:
    table = Table(box=None, pad_edge=False, padding=(0, 2, 0, 0))
    for title in ("column", "read as", "first rows"):
        table.add_column(title, overflow="fold")
    for column in looked.columns:
        role = _WORDS.get(column.role, column.role.replace("_", " "))
        unit = f", from {column.unit}" if column.unit else ""
        flipped = ", sign turned round" if column.header in looked.mapping.flipped else ""
        said = f"{role}{unit}{flipped}" if column.role not in ("", "ignore") else "not used"
        table.add_row(*map(Text, (column.header, said, ", ".join(column.samples))))
    screen.print(table)
    if looked.n_cells:
        say(f"Grid:      {count(looked.n_cells, 'cell')}, whose centre is the place")
