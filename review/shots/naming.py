"""The steps that give the columns of a table their meaning: said, named, settled by unit, found by what is in them."""

import re
from dataclasses import dataclass, field
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from review.lesson import KINDS
from review.shots.column_numbers import has_numbers, median_size, read_numbers, say_size
from review.shots.column_units import OTHER_UNITS, choose_unit, stated_unit
from review.shots.columns import match_kept
from review.shots.flight.clubs import ClubKind, find_club_kind
from review.shots.mapping import find_column, fits_samples
from review.shots.relations import Relation, find_ratio, find_sum, is_speed_ratio
from review.shots.terms import MEASURES, unit_of
from review.shots.unit_guess import choose_like, find_fitting_units
from review.tables import (
    Cell,
    ColumnMapping,
    Table,
    cell_text,
    compute_factor,
    find_decimal,
    find_unit,
    is_absent,
    parse_when,
)

Numbers = NDArray[np.float64]
_MOST_CHOICES = 6
_MANY_ROWS = 500
_MOST_ROWS = 0.8
"""Share of rows that must fit: a row of averages may stand among them."""
_ODD = re.compile(r"[^\W\d_]|:|/")
"""What a time, a date or a club holds and a plain number does not."""


class Certainty(StrEnum):
    """How sure a column's meaning is."""

    SURE = "sure"
    LIKELY = "likely"
    ASKED = "asked"
    LEFT_OUT = "not read"


@dataclass
class Column:
    """One column while its meaning is being found; ``cells`` are the filled ones as text, ``numbers`` as written."""

    index: int
    header: str
    numbers: Numbers
    meaning: str = ""
    unit: str = ""
    certainty: Certainty = Certainty.LEFT_OUT
    reason: str = ""
    choices: tuple[str, ...] = ()
    is_flipped: bool = False
    cells: list[str] = field(default_factory=list)

    @property
    def is_read(self) -> bool:
        """Whether it would be read as it stands."""
        return self.certainty in (Certainty.SURE, Certainty.LIKELY)

    def own_numbers(self) -> Numbers:
        """The numbers in the measure's unit and with its sign."""
        factor = compute_factor(self.unit, unit_of(self.meaning)) or np.nan
        return self.numbers * factor * (-1.0 if self.is_flipped else 1.0)


def read_columns(table: Table, kept: ColumnMapping) -> list[Column]:
    """Read what stands below every header, meaning nothing yet; numbers of the first 500 rows."""
    decimal = kept.decimal
    if decimal == "auto":
        cells = (cell for row in table.rows[:_MANY_ROWS] for cell in row.cells)
        decimal = find_decimal(cells, table.delimiter) or "."
    columns = []
    for index, header in enumerate(table.header):
        if header:
            below = [row.cells[index] for row in table.rows]
            column = Column(index, header, read_numbers(below, decimal, kept.absent))
            column.cells = [cell_text(cell) for cell in below if not is_absent(cell, kept.absent)]
            columns.append(column)
    return columns


def name_kept(table: Table, columns: list[Column], kept: ColumnMapping) -> None:
    """Give the columns that the coach's mapping names their meaning, unit and sign."""
    used, keys, _ = match_kept(table, kept)
    for column in columns:
        if column.index in used:
            key = keys[column.index]
            column.meaning, column.certainty, column.reason = used[column.index], Certainty.SURE, "as you said"
            column.is_flipped = key in kept.flipped
            if column.meaning in MEASURES:
                kept_unit = kept.units.get(key, "")
                unit, _ = choose_unit(table, column.index, column.meaning, key, kept_unit)
                is_told = kept_unit or stated_unit(table, column.index)
                column.unit = unit if is_told else ""


def name_by_terms(table: Table, columns: list[Column]) -> None:
    """Name columns by trade terms; of two that mean the same the first counts."""
    for column in columns:
        found = find_column(column.header)
        if column.meaning or found is None:
            continue
        name, _, is_sure = found
        first = next((other.header for other in columns if other.meaning == name), None)
        if not fits_samples(name, [row.cells[column.index] for row in table.rows[:50]], is_sure):
            column.reason = f"called like {label(name)}, but what stands below is something else"
        elif first is not None:
            column.reason = f"{label(name)} is read from {first!r}"
        else:
            column.meaning, column.certainty, column.reason = name, Certainty.SURE, "a name of the trade"
            if name in MEASURES:
                column.unit = stated_unit(table, column.index)


def settle_units(columns: list[Column]) -> None:
    """Find units that are not stated; a column that may be in two is asked about, not guessed."""
    measured = [c for c in columns if c.meaning in MEASURES]
    for column in measured:
        if column.unit and compute_factor(column.unit, unit_of(column.meaning)) is None:
            alone = find_fitting_units({column.meaning: median_size(column.numbers)}, {})
            units = alone[column.meaning] or (unit_of(column.meaning),)
            column.certainty = Certainty.ASKED
            column.reason = f"states {column.unit}, which cannot be the unit of {label(column.meaning)}"
            column.choices = tuple(f"{column.meaning} {unit}" for unit in units)
    asked = [c for c in measured if c.certainty is Certainty.ASKED]
    stated = {c.meaning: c.unit for c in measured if c.unit and c not in asked}
    sizes = {c.meaning: median_size(c.numbers) for c in measured if c not in asked}
    fitting = find_fitting_units(sizes, stated)
    for column in measured:
        if column.unit or column in asked:
            continue
        own, fits = unit_of(column.meaning), fitting[column.meaning]
        others = [unit for name, unit in stated.items() if unit_of(name) == own]
        size = say_size(sizes[column.meaning])
        if own in ("deg", "rpm") and (own in fits or not sizes[column.meaning]):
            column.unit = own
        elif len(fits) == 1:
            column.unit, column.certainty = fits[0], Certainty.LIKELY
            column.reason = f"states no unit; numbers of about {size} beside the others can only be {fits[0]}"
        elif column.meaning not in OTHER_UNITS and (alike := choose_like(fits, others)):
            column.unit, column.certainty = alike, Certainty.LIKELY
            column.reason = f"states no unit; other columns of its kind are in {alike}, and about {size} fits"
        else:
            column.certainty = Certainty.ASKED
            column.choices = tuple(f"{column.meaning} {unit}" for unit in fits or (own,))
            column.reason = (
                f"states no unit; about {size} can be {' or '.join(fits)}"
                if fits
                else f"states no unit, and about {size} is no usual {label(column.meaning)} in any"
            )


def known_numbers(columns: list[Column]) -> dict[str, Numbers]:
    """Numbers of the columns that are read, in their measure's unit and sign, by measure."""
    return {c.meaning: c.own_numbers() for c in columns if c.is_read and c.meaning in MEASURES}


def name_by_content(table: Table, columns: list[Column]) -> None:
    """Find the clock and the club by what stands below a name that says nothing."""
    taken = {column.meaning for column in columns}
    for column in columns:
        cells = [cell for cell in _below(table, column) if not is_absent(cell)][:_MANY_ROWS]
        if column.meaning or column.reason or not any(_ODD.search(cell_text(cell)) for cell in cells):
            continue
        found = reason = ""
        if cells and sum(parse_when(cell) is not None for cell in cells) >= _MOST_ROWS * len(cells):
            found, reason = "time", "times of day or dates"
        elif sum(find_club_kind(cell_text(cell)) is not ClubKind.UNKNOWN for cell in cells) * 2 >= max(len(cells), 1):
            found, reason = "club", "names of clubs"
        if found and found not in taken:
            column.meaning, column.certainty, column.reason = found, Certainty.LIKELY, reason
            taken.add(found)


def name_by_relation(table: Table, columns: list[Column]) -> None:
    """Name what the names do not tell from sums over the rows, then from sizes; what stays open is asked or left."""
    known, taken = known_numbers(columns), {column.meaning for column in columns}
    for column in columns:
        if column.meaning or column.reason:
            continue
        if not has_numbers(_below(table, column), column.numbers):
            column.reason = "no numbers, kept as text with the shot"
            continue
        unit = stated_unit(table, column.index)
        fits = [name for name in MEASURES if name not in taken and compute_factor(unit, unit_of(name)) is not None]
        found = find_sum(column.numbers, known)
        if found is not None and (not unit or found.measure in fits):
            _take(column, found, unit or unit_of(found.measure))
        elif is_speed_ratio(column.numbers, known):
            column.reason = "ball speed over club speed, worked out anyway"
        elif unit:
            _name_by_size(column, known, unit, fits)
        else:
            column.reason = "the name says nothing that is known"
        if column.is_read:
            known[column.meaning] = column.own_numbers()
            taken.add(column.meaning)


def _name_by_size(column: Column, known: dict[str, Numbers], unit: str, fits: list[str]) -> None:
    factors = {name: compute_factor(unit, unit_of(name)) or np.nan for name in fits}
    ratios = [find_ratio(column.numbers * factors[name], known, frozenset({name})) for name in fits]
    found = [relation for relation in ratios if relation is not None]
    if len(found) == 1:
        _take(column, found[0], unit)
        return
    size = median_size(column.numbers)
    possible = [name for name in fits if unit in find_fitting_units({name: size}, {}).get(name, (unit,))]
    if 0 < len(possible) <= _MOST_CHOICES and find_unit(unit) is not None:
        column.certainty, column.choices = Certainty.ASKED, tuple(f"{name} {unit}" for name in possible)
        column.reason = f"the unit {unit} allows {', '.join(map(label, possible))}"
    else:
        column.reason = f"the name says nothing that is known, and {unit} alone does not tell"


def _take(column: Column, relation: Relation, unit: str) -> None:
    column.meaning, column.unit = relation.measure, unit
    column.certainty, column.reason, column.is_flipped = Certainty.LIKELY, relation.reason, relation.is_flipped


def _below(table: Table, column: Column) -> list[Cell]:
    return [row.cells[column.index] for row in table.rows]


def label(name: str) -> str:
    """What a coach calls a measure or a role."""
    return KINDS[name].label if name in KINDS else name
