"""Which column of a pressure table is which: time, x, y and vertical force, from plain terms."""

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace

from review.errors import BadInputError
from review.pressure.reading.cells import Grid, find_cell, find_grid
from review.pressure.reading.shot_starts import counts_samples, is_empty
from review.tables import (
    ColumnMapping,
    Table,
    compute_factor,
    find_unit,
    is_absent,
    is_time_format,
    split_header,
    split_tail,
    tidy_header,
)

ROLES = (
    *("time", "date", "x", "y", "force", "left_force", "right_force", "lead_force", "trail_force"),
    *("shot", "cell", "ignore"),
)
FEET = ROLES[5:9]
EXAMPLES = "time, x [cm], y [cm], vertical force [N]"
_UNITS = {"time": "s", "x": "cm", "y": "cm", "force": "N", **dict.fromkeys(FEET, "N")}
_WORDS = {
    "time": "time, t, clock, elapsed, elapsed time, timestamp, time stamp, date time, datetime, date and time, "
    "local time, time of day, seconds, time s, zeit, uhrzeit, sekunden, zeitstempel",
    "date": "date, day, datum, tag",
    "x": "x, cop x, x cop, center of pressure x, x center of pressure, x position, position x, x toward target, "
    "x along target line, druckpunkt x, x druckpunkt, x richtung ziel, x zum ziel, richtung ziel",
    "y": "y, cop y, y cop, center of pressure y, y center of pressure, y position, position y, y toward toes, "
    "y across target line, druckpunkt y, y druckpunkt, y richtung zehen, y zu den zehen, richtung zehen",
    "shot": "shot, shot number, shot no, shot nr, swing, swing number, swing no, swing nr, trial, trial number, "
    "trial no, stroke, stroke number, stroke no, recording, recording number, recording no, number, no, nr, #, "
    "row, row number, zeile, schlag, schlagnummer, schlag nr, schwung, schwungnummer, schwung nr, aufnahme, nummer",
    "force": "force, vertical force, total force, total vertical force, force z, f z, fz, load, weight, "
    "force vertical, ground force, vertical ground force, kraft, vertikalkraft, senkrechte kraft, gesamtkraft, "
    "gewichtskraft, kraft z, bodenkraft",
} | {
    f"{side}_force": f"{side} force, force {side}, {side} foot, {side} foot force, {side} vertical force, {side} fz, "
    f"fz {side}, {side} load, {side} foot load, {side} foot vertical force, {german}, kraft {german}"
    for side, german in zip(
        ("left", "right", "lead", "trail"),
        ("linker fuss", "rechter fuss", "vorderer fuss", "hinterer fuss"),
        strict=True,
    )
}
_BY_TERM = {term.strip(): role for role, terms in _WORDS.items() for term in terms.split(",")}


@dataclass(frozen=True)
class Columns:
    """Index of each role; ``factors`` turn x and y into centimetres, force into newtons, time into seconds.

    ``grid`` are the cells where the table has a grid in the place of x and y.
    """

    indices: dict[str, int]
    factors: dict[str, float]
    mapping: ColumnMapping
    notes: tuple[str, ...]
    grid: Grid | None = None


def find_column(header: str) -> tuple[str, str] | None:
    """The role of a header and its unit text; None when its words say nothing known."""
    for name, unit in (split_header(header), split_tail(header)):
        words = re.sub(r"[^\w#]+|_+", " ", name).casefold().replace("centre", "center").strip()
        if words in _BY_TERM:
            return _BY_TERM[words], unit
    return None


def count_known(cells: Sequence[str], mapping: ColumnMapping | None) -> int:
    """How many cells are headers that the mapping or plain terms know."""
    kept = {tidy_header(header) for header in mapping.columns} if mapping else set()
    return sum(
        bool(cell.strip())
        and (tidy_header(cell) in kept or find_column(cell) is not None or find_cell(cell) is not None)
        for cell in cells
    )


def resolve_columns(table: Table, mapping: ColumnMapping | None, cell_cm: tuple[float, float] | None = None) -> Columns:
    """Resolve the columns: the coach's mapping first, then plain terms for roles it does not name.

    Raises
    ------
    BadInputError
        Time, x or y is missing, a role occurs twice in the mapping, or a unit does not fit.
    """
    kept = mapping or ColumnMapping()
    kept.check_names(ROLES)
    indices: dict[str, int] = {}
    taken: dict[int, str] = {}
    by_text = {tidy_header(header): index for index, header in enumerate(table.header) if header}
    for header, role in kept.columns.items():
        index = by_text.get(tidy_header(header))
        if index is None:
            continue
        if role in indices and role not in ("cell", "ignore"):
            raise BadInputError(
                f"{table.file}, line {table.header_line}: expected one column for {role}, found "
                f"{table.header[indices[role]]!r} and {table.header[index]!r}; map one of them to 'ignore'"
            )
        indices[role], taken[index] = index, header
    for index, header in enumerate(table.header):
        found = find_column(header)
        if found is not None and index not in taken and found[0] not in indices:
            indices[found[0]] = index
    indices.pop("ignore", None)
    indices.pop("cell", None)  # found by their headers below
    empty = []
    if "shot" in indices and is_empty(table, indices["shot"]):
        empty = [indices.pop("shot")]
    elif "shot" in indices and indices["shot"] not in taken and counts_samples(table, indices["shot"]):
        del indices["shot"]
    grid = None
    if not {"x", "y"} & {*indices}:
        grid = find_grid(table.header, table.units, table.file, cell_cm or kept.cell_cm)
    missing = [role for role in ("time", *(() if grid else ("x", "y"))) if role not in indices]
    if missing:
        raise BadInputError(
            f"{table.file}, line {table.header_line}: expected columns for time, x and y such as {EXAMPLES}, found "
            f"{', '.join(repr(text) for text in table.header if text)}; name {' and '.join(missing)} so, "
            "or keep a column mapping for this mat"
        )
    notes = [f"column {table.header[i]!r} is empty and was not used" for i in empty]
    factors, units = {}, {}
    for role, own in _UNITS.items():
        if role not in indices:
            continue
        header = table.header[indices[role]]
        key = taken.get(indices[role], "")
        unit, is_stated = _find_unit(table, indices[role], kept.units.get(key, ""), own)
        factor = compute_factor(unit, own)
        if factor is None:
            raise BadInputError(
                f"{table.place(table.header_line, indices[role])}: expected a unit such as {own}, "
                f"found {unit!r}; correct the header or the mapping"
            )
        if not is_stated and role != "time":
            notes.append(f"{header!r} states no unit and was read as {own}")
        sign = -1.0 if key in kept.flipped else 1.0
        factors[role] = sign * factor if role in ("x", "y") else factor
        units[header] = unit
    unused = [
        header
        for i, header in enumerate(table.header)
        if header and i not in (*indices.values(), *empty, *(grid.indices if grid else ()))
    ]
    if unused:
        notes.append(f"columns not used: {', '.join(unused)}")
    has_force = grid is not None and grid.to_newtons is not None
    if "force" not in indices and not {*FEET} & {*indices} and not has_force:
        notes.append("the table has no force")
    used = replace(
        kept,
        columns={
            **{table.header[i]: role for role, i in indices.items()},
            **{table.header[i]: "cell" for i in (grid.indices if grid else ())},
        },
        units=units,
        flipped=frozenset(table.header[i] for i, key in taken.items() if key in kept.flipped and i in indices.values()),
    )
    return Columns(indices, factors, used, tuple(notes), grid)


def _find_unit(table: Table, index: int, kept: str, own: str) -> tuple[str, bool]:
    header = table.header[index]
    stated = split_header(header)[1] or split_tail(header)[1]
    if not stated and not is_absent(table.units[index]):
        stated = table.units[index].strip().strip("[]()")
    if own == "s" and (not stated or (is_time_format(stated) and find_unit(stated) is None)):
        return kept or own, bool(kept)
    if stated and (compute_factor(stated, own) is not None or not kept):
        return stated, True
    return kept or own, bool(kept)
