"""Which column of one table is which measure, in which unit, with which sign."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, time

from review.errors import BadInputError
from review.lesson import KINDS
from review.shots.column_units import (
    LEAST_ROWS_FOR_SIZES,
    ROWS_FOR_SIZES,
    check_assumed_units,
    choose_unit,
    stated_unit,
)
from review.shots.mapping import check_mapping, find_column, propose_mapping
from review.shots.terms import EXAMPLES, ROLES, unit_of
from review.tables import (
    Cell,
    ColumnMapping,
    Table,
    compute_factor,
    is_absent,
    parse_when,
    split_header,
    split_tail,
    tidy_header,
)

KEPT_AS_TEXT = "columns kept as text, not used as numbers"
_SAMPLE_ROWS = 50


@dataclass(frozen=True)
class MeasureColumn:
    """A column that holds a measure; value in the measure's unit = cell x ``factor`` (and sign)."""

    index: int
    measure: str
    factor: float
    is_flipped: bool


@dataclass(frozen=True)
class Columns:
    """The columns of one table. ``roles`` maps a role to its index; ``mapping`` is what was used.

    ``questions`` are what the coach has to settle, such as a unit that nothing tells.
    """

    measures: tuple[MeasureColumn, ...]
    roles: dict[str, int]
    unmapped: tuple[int, ...]
    mapping: ColumnMapping
    notes: tuple[str, ...]
    questions: tuple[str, ...] = ()


def count_known(cells: Sequence[str], mapping: ColumnMapping | None) -> int:
    """How many cells are headers that the mapping or plain trade terms know."""
    kept = {tidy_header(header) for header in mapping.columns} if mapping else set()
    return sum(_may_be_header(cell) and (tidy_header(cell) in kept or find_column(cell) is not None) for cell in cells)


def count_headers(header: Sequence[str], mapping: ColumnMapping) -> int:
    """How many of a mapping's columns a header has, by their text or by their name with another unit."""
    there = {tidy_header(text) for text in header if text} | {_bare(text) for text in header if text}
    return sum(tidy_header(key) in there or _bare(key) in there for key in mapping.columns)


def _may_be_header(cell: str) -> bool:
    return any(character.isalpha() or character == "#" for character in cell)


def resolve_columns(table: Table, mapping: ColumnMapping | None) -> Columns:
    """Resolve the columns: the coach's mapping first, then plain trade terms for what it does not name.

    Which unit counts where table and mapping state two: see :func:`choose_unit`.

    Raises
    ------
    BadInputError
        The mapping is not valid; two columns of the table are mapped to one measure; a unit is not understood
        or cannot be that of its measure; no column holds a measure.
    """
    kept = mapping or ColumnMapping()
    check_mapping(kept)
    used, keys, notes = match_kept(table, kept)
    samples = [row.cells for row in table.rows[:_SAMPLE_ROWS]]
    free = ["" if i in used else header for i, header in enumerate(table.header)]
    for header, name in propose_mapping(free, table.units, samples).columns.items():
        if name not in used.values():
            used[table.header.index(header)] = name
    measures, roles, columns, units = [], {}, {}, {}
    assumed: list[str] = []
    for index, name in sorted(used.items()):
        header = table.header[index]
        columns[header] = name
        if name in ROLES:
            roles[name] = index
            continue
        key = keys.get(index)
        stated = stated_unit(table, index)
        unit, unit_notes = choose_unit(table, index, name, key, kept.units.get(key, "") if key else "")
        notes += unit_notes
        factor = compute_factor(unit, unit_of(name))
        if factor is None:
            raise BadInputError(
                f"{table.place(table.header_line, index)}: expected a unit of {KINDS[name].label} such as "
                f"{unit_of(name)}, found {unit!r}; correct the header or the mapping"
            )
        units[header] = unit
        if not stated and not (key and key in kept.units) and unit == unit_of(name):
            assumed.append(name)
        measures.append(MeasureColumn(index, name, factor, key in kept.flipped))
    if not measures:
        raise BadInputError(
            f"{table.file}, line {table.header_line}: expected at least one column with a measure such as {EXAMPLES}, "
            f"found {', '.join(repr(text) for text in table.header if text)}; "
            "name the columns so, or keep a column mapping for this device"
        )
    indices = {column.measure: column.index for column in measures}
    questions = check_assumed_units(table, indices, assumed, units, kept)
    unmapped = tuple(i for i, header in enumerate(table.header) if header and i not in used)
    return Columns(
        measures=tuple(measures),
        roles=roles,
        unmapped=unmapped,
        mapping=replace(
            kept,
            columns=columns,
            units=units,
            flipped=frozenset(table.header[column.index] for column in measures if column.is_flipped),
        ),
        notes=tuple(notes) + _unmapped_notes(table, unmapped),
        questions=(*questions, *_unread_clock(table, unmapped, roles)),
    )


def _unread_clock(table: Table, unmapped: Sequence[int], roles: Mapping[str, int]) -> list[str]:
    """Ask about a column of times whose name says nothing, where no other column has the times."""
    if "time" in roles:
        return []
    for index in unmapped:
        cells = [row.cells[index] for row in table.rows[:ROWS_FOR_SIZES] if not is_absent(row.cells[index])]
        if len(cells) >= LEAST_ROWS_FOR_SIZES and all(_is_moment(cell) for cell in cells):
            said = f"{table.header[index]}=time"
            return [
                f"{table.header[index]!r} holds times and is not read; if they are those of the shots, keep it: "
                f"lesson-review table {table.file} --as {said!r} --keep NAME"
            ]
    return []


def _is_moment(cell: Cell) -> bool:
    if isinstance(cell, str):
        return ":" in cell and parse_when(cell) is not None
    return isinstance(cell, (datetime, time))


def match_kept(table: Table, kept: ColumnMapping) -> tuple[dict[int, str], dict[int, str], list[str]]:
    """Match the mapping's headers: the same text, else the same name with another unit.

    Returns
    -------
    Column index to measure or role, column index to the mapping's header, notes for the coach.

    Raises
    ------
    BadInputError
        Two columns of the table are mapped to one measure.
    """
    by_text = {tidy_header(header): index for index, header in enumerate(table.header) if header}
    by_name: dict[str, list[int]] = {}
    for column, header in enumerate(table.header):
        by_name.setdefault(_bare(header), []).append(column)
    used: dict[int, str] = {}
    keys: dict[int, str] = {}
    notes: list[str] = []
    absent: list[str] = []
    for header, name in kept.columns.items():
        index: int | None = by_text.get(tidy_header(header))
        if index is None:
            near = [i for i in by_name.get(_bare(header), []) if i not in used]
            index = near[0] if len(near) == 1 else None
        if index is None:
            absent.append(header)
            continue
        if name != "ignore" and name in used.values():
            other = next(table.header[i] for i, n in used.items() if n == name)
            raise BadInputError(
                f"{table.file}, line {table.header_line}: expected one column for {name}, found {other!r} and "
                f"{table.header[index]!r}, both mapped to it; map one of them to 'ignore'"
            )
        used[index], keys[index] = name, header
    if absent:
        notes.append(f"columns of the mapping that this table does not have: {', '.join(absent)}")
    return used, keys, notes


def _bare(header: str) -> str:
    name, unit = split_header(header)
    return tidy_header(name if unit else split_tail(header)[0])


def _unmapped_notes(table: Table, unmapped: tuple[int, ...]) -> tuple[str, ...]:
    if not unmapped:
        return ()
    return (f"{KEPT_AS_TEXT}: {', '.join(table.header[i] for i in unmapped)}",)
