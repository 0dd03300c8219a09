"""In which unit a column of one table is: stated, said by the coach, like its kind, or the usual one."""

from collections.abc import Mapping, Sequence
from itertools import product

import numpy as np

from review.errors import BadInputError
from review.shots.column_numbers import median_size, read_numbers, say_size
from review.shots.mapping import find_column
from review.shots.terms import unit_of
from review.shots.unit_guess import find_fitting_units, is_one_table
from review.tables import (
    ColumnMapping,
    Table,
    compute_factor,
    find_decimal,
    find_unit,
    is_absent,
    is_time_format,
    split_header,
    split_tail,
    tidy_header,
)

OTHER_UNITS = ("height_yd", "offline_yd")
"""Lengths that a table of yards or metres may well give in feet: common practice, no source."""
ROWS_FOR_SIZES = 200
LEAST_ROWS_FOR_SIZES = 5
"""A column of fewer numbers may hold odd shots only, which say nothing of its unit."""


def stated_unit(table: Table, index: int) -> str:
    """The unit text that a column's header or the units row states; empty where there is none."""
    header = table.header[index]
    unit = _unit_in(header)
    if not unit and not is_absent(table.units[index]):
        unit = table.units[index].strip().strip("[]()")
    return "" if is_time_format(unit) and find_unit(unit) is None else unit


def choose_unit(table: Table, index: int, name: str, key: str | None, kept: str) -> tuple[str, list[str]]:
    """The unit a column is read in, and what to tell of it.

    What the coach says of a header that states another unit counts: the header is wrong. A unit in a units row, or in
    a header that differs from the mapping's by its unit alone, is a device that was switched, and counts.

    Parameters
    ----------
    key : the mapping's header for this column, None where the mapping does not name it; ``kept`` its unit there.
    """
    header, own, stated = table.header[index], unit_of(name), stated_unit(table, index)
    is_said_of_it = key is not None and tidy_header(key) == tidy_header(header) and stated == _unit_in(header)
    if stated and compute_factor(stated, own) is not None and not (kept and is_said_of_it):
        if kept and compute_factor(kept, stated) not in (1.0, None):
            return stated, [f"{header!r} is in {stated} in this table, not in {kept} as the mapping has it"]
        return stated, []
    if kept:
        return kept, []
    if stated:
        return stated, []
    alike = _unit_of_its_kind(table, index, name)
    if alike:
        return alike, [f"{header!r} states no unit and was read as {alike}, like the others of its kind"]
    if own in ("deg", "rpm"):
        return own, []
    return own, [f"{header!r} states no unit and was read as {own}"]


def _unit_in(header: str) -> str:
    return split_header(header)[1] or split_tail(header)[1]


def _unit_of_its_kind(table: Table, index: int, name: str) -> str:
    """The unit that all other columns of the same kind of number state; heights are often in another."""
    own = unit_of(name)
    if own not in ("mph", "yd") or name in OTHER_UNITS:
        return ""
    found = [(other, find_column(header)) for other, header in enumerate(table.header) if header and other != index]
    alike = [other for other, what in found if what and unit_of(what[0]) == own and what[0] not in OTHER_UNITS]
    stated = [text for other in alike if compute_factor(text := stated_unit(table, other), own) is not None]
    is_one = len({find_unit(text) for text in stated}) == 1
    return stated[0] if is_one and find_unit(stated[0]) != find_unit(own) else ""


def check_assumed_units(
    table: Table, indices: Mapping[str, int], assumed: Sequence[str], units: dict[str, str], kept: ColumnMapping
) -> list[str]:
    """Refuse numbers that cannot be in the unit a column without one would be read in, but in another.

    Returns questions about units that may be another.
    """
    if not assumed:
        return []
    decimal = kept.decimal
    if decimal == "auto":
        cells = (row.cells[index] for row in table.rows[:ROWS_FOR_SIZES] for index in indices.values())
        decimal = find_decimal(cells, table.delimiter) or "."
    sizes = {}
    for name, index in indices.items():
        numbers = read_numbers([row.cells[index] for row in table.rows[:ROWS_FOR_SIZES]], decimal, kept.absent)
        if np.isfinite(numbers).sum() >= LEAST_ROWS_FOR_SIZES:
            sizes[name] = median_size(numbers)
    stated = {name: units[table.header[indices[name]]] for name in sizes if name not in assumed}
    fitting = find_fitting_units(sizes, stated)
    if is_one_table(sizes, {**{name: unit_of(name) for name in sizes}, **stated}):
        return [
            f"{table.header[indices[name]]!r} states no unit; about {say_size(sizes[name])} can be {' or '.join(units)}"
            f", and was read as {unit_of(name)}. Say it once: lesson-review table {table.file}"
            for name, units in fitting.items()
            if len(units) > 1
        ]
    can_be = {name: units for name, units in fitting.items() if len(units) > 1 or units not in ((), (unit_of(name),))}
    if not any(
        is_one_table(sizes, {**stated, **dict(zip(fitting, units, strict=True))})
        for units in product(*fitting.values())
    ):
        return []  # odd in any unit: shots in doubt, not a matter of units
    said = "; ".join(
        f"{table.header[indices[name]]!r} (about {say_size(sizes[name])}) can be {' or '.join(units)}"
        for name, units in can_be.items()
    )
    raise BadInputError(
        f"{table.file}: columns state no unit, and beside each other their numbers cannot be in "
        f"{', '.join(dict.fromkeys(unit_of(name) for name in can_be))}: {said}. Write the units into the header, or "
        f"say them once: lesson-review table {table.file}"
    )
