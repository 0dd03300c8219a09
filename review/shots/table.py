"""From a device's table to shots."""

import re
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from review.lesson import Shot
from review.shots.clock import read_clock
from review.shots.columns import Columns, count_known, resolve_columns
from review.shots.summaries import find_computed_rows, find_labelled_rows, has_time, is_summary
from review.shots.terms import EXAMPLES
from review.shots.values import find_table_decimal, read_value
from review.tables import (
    Cell,
    ColumnMapping,
    Row,
    Table,
    cell_text,
    is_absent,
    read_table,
    shorten,
    tidy_header,
)

_MANY_NUMBERS = 5
_LETTER = re.compile(r"[^\W\d_]")


NO_SHOT_YET = "the table has a header but no shot yet"
"""What is noted of a table without rows."""


@dataclass(frozen=True)
class ShotTable:
    """The shots of one table.

    ``mapping`` is what was used, complete, fit to be kept; ``unmapped`` are the headers kept as text in
    ``Shot.extra``; ``notes`` are for the coach: what was left out, assumed or kept aside;
    ``questions`` what the coach has to settle.
    """

    shots: tuple[Shot, ...]
    mapping: ColumnMapping
    unmapped: tuple[str, ...]
    notes: tuple[str, ...]
    questions: tuple[str, ...] = ()


def read_shot_table(
    path: Path, mapping: ColumnMapping | None = None, on_date: date | None = None, content: bytes | None = None
) -> ShotTable:
    """Read the shots of a CSV, TSV, XLSX, ODS or JSON table with a header.

    Parameters
    ----------
    mapping
        The coach's own column mapping; columns it does not name are read by plain trade terms.
    on_date
        The day of the lesson, for tables that give a time of day only. Without it such times cannot be placed:
        ``struck_at`` is None and the text is kept in ``extra``.
    content
        The file's bytes where they were read already; None to read it.

    Returns
    -------
    Shots with values in the unit that the measure's name carries and with the project's signs (plus =
    right, up, toe, high). A letter in a cell (``3.2 L``) gives the direction itself, whatever the mapping says
    of the column's sign. ``Shot.id`` is made of the content's hash and the row, so that reading again
    gives the same ids. Empty cells, dashes and NaN are absent from ``values``.

    Raises
    ------
    BadInputError
        The file, its header, a unit, a number or a time cannot be used; file, line and column are named.
    MachineError
        The file may not be read.
    """
    delimiter, header_row = (mapping.delimiter, mapping.header_row) if mapping else ("auto", None)
    table = read_table(path, lambda cells: count_known(cells, mapping), EXAMPLES, delimiter, header_row, content)
    columns = resolve_columns(table, mapping)
    used = columns.mapping
    notes = [*table.notes, *columns.notes]
    rows = _select_rows(table, columns, notes)
    decimal = find_table_decimal(table, columns, rows)
    clock = read_clock(table, columns, rows, on_date, notes)
    shots, n_nan = [], 0
    # a long table says the same few hundred numbers again and again
    read: dict[int, dict[Cell, float | None]] = {column.index: {} for column in columns.measures}
    for number, row in enumerate(rows, start=1):
        values = {}
        for column in columns.measures:
            cell, known = row.cells[column.index], read[column.index]
            if cell not in known:
                known[cell] = None if is_absent(cell, used.absent) else read_value(table, row, column, decimal)
            value = known[cell]
            if value is None:
                n_nan += cell_text(cell).casefold() == "nan"
            else:
                values[column.measure] = value
        kept = [*columns.unmapped, *([columns.roles["shot number"]] if "shot number" in columns.roles else [])]
        struck_at, resolution_s, unplaced = clock[number - 1]
        extra = {table.header[i]: cell_text(row.cells[i]) for i in sorted({*kept, *unplaced})}
        club = cell_text(row.cells[columns.roles["club"]]) if "club" in columns.roles else ""
        if club in used.clubs:  # the coach's own name; what the device wrote stays beside it
            extra[table.header[columns.roles["club"]]], club = club, used.clubs[club]
        shots.append(
            Shot(f"{table.sha256[:12]}-{number}", number, table.file, values, extra, struck_at, resolution_s, club)
        )
    # rows with a time and all numbers alike are one shot wherever lessons are put together
    repeated = find_repeated([shot for shot in shots if shot.struck_at is None])
    if repeated:
        notes.append(say_repeated(repeated))
    if n_nan:
        notes.append(f"cells that say NaN, left empty: {n_nan}")
    if not shots:
        notes.append(NO_SHOT_YET)
    empty = [str(rows[shot.row_number - 1].line) for shot in shots if not shot.values]
    if empty:
        notes.append(f"rows with a time but no number: line {', '.join(empty)}")
    unmapped = tuple(table.header[i] for i in columns.unmapped)
    return ShotTable(tuple(shots), used, unmapped, tuple(notes), columns.questions)


def say_repeated(rows: Sequence[int]) -> str:
    """Say of rows that repeat earlier ones what to do."""
    first = ", ".join(map(str, rows[:5])) + (" and more" if len(rows) > 5 else "")
    return (
        f"rows with the same numbers as an earlier one: {len(rows)} (row {first}); each counts where it stands, so "
        "leave them out of what you compare"
    )


def find_repeated(shots: Sequence[Shot]) -> list[int]:
    """Numbers of the rows whose time, club and numbers, five at least, are all those of an earlier row."""
    # nearly always the numbers alone tell all rows apart
    counts = Counter(tuple(shot.values.values()) for shot in shots)
    seen: set[tuple[object, ...]] = set()
    repeated = []
    for shot in [] if len(counts) == len(shots) else shots:
        if counts[tuple(shot.values.values())] == 1:
            continue
        key = (shot.struck_at, shot.club, *shot.values.items())
        if key in seen:
            repeated.append(shot.row_number)
        elif len(shot.values) >= _MANY_NUMBERS:
            seen.add(key)
    return repeated


def _select_rows(table: Table, columns: Columns, notes: list[str]) -> list[Row]:
    header = [tidy_header(text) for text in table.header]
    rows, summaries, repeats, strays = [], [], [], []
    for row in table.rows:
        if len(row.cells) == len(header) and all(
            tidy_header(cell_text(cell)) == name for cell, name in zip(row.cells, header, strict=True)
        ):
            repeats.append(row.line)
        elif is_summary(row, columns):
            summaries.append(row.line)
        elif _is_stray(row, columns):
            strays.append(row.line)
        else:
            rows.append(row)
    labelled = find_labelled_rows(rows, columns)
    if labelled:
        said = ", ".join(f"{row.line} ({shorten(word)!r})" for row, word in labelled[:8])
        more = f" and {len(labelled) - 8} more" if len(labelled) > 8 else ""
        notes.append(f"rows with a word where the others have their time or number, taken for sums: line {said}{more}")
        words = {row.line for row, _ in labelled}
        rows = [row for row in rows if row.line not in words]
    computed = {row.line for row in find_computed_rows(rows, columns, table.delimiter)}
    summaries = sorted([*summaries, *computed])
    rows = [row for row in rows if row.line not in computed] if computed else rows
    for lines, what in (
        (summaries, "summary rows (average and the like) left out"),
        (repeats, "repeated header left out"),
        (strays, "rows without a time and without a number left out"),
    ):
        if lines:
            notes.append(f"{what}: line {', '.join(map(str, lines))}")
    return rows


def _is_stray(row: Row, columns: Columns) -> bool:
    no_number = all(is_absent(row.cells[c.index], columns.mapping.absent) for c in columns.measures)
    return no_number and not has_time(row, columns)
