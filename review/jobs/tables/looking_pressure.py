"""Looks at a mat's table before it belongs to a lesson, with what the coach says of its columns."""

from dataclasses import dataclass, replace
from pathlib import Path

from review.errors import BadInputError, MachineError
from review.jobs.tables.kept_mappings import PRESSURE_TABLE, find_mapping
from review.jobs.tables.looking import TableWishes, find_header, is_same_header, say_columns
from review.pressure import PressureRecord, read_trace_table
from review.pressure.reading.cells import find_cell
from review.pressure.reading.columns import EXAMPLES, ROLES, count_known, find_column, resolve_columns
from review.pressure.reading.pieces import TablePieces
from review.pressure.reading.times import NO_CLOCK, NO_DATE
from review.tables import IGNORE, ColumnMapping, cell_text, compute_factor, read_table

_N_SAMPLES = 3
_UNITS = {"time": "s", "x": "cm", "y": "cm"}


@dataclass(frozen=True)
class PressureColumn:
    """A column as it stands in the file, what it is read as ('' = not used), from which unit, and its first cells."""

    header: str
    role: str
    unit: str
    samples: tuple[str, ...]


@dataclass(frozen=True)
class LookedAtPressure:
    """How a pressure table would be read; ``refusal`` says why it cannot be, ``n_cells`` is of a grid."""

    columns: tuple[PressureColumn, ...]
    mapping: ColumnMapping
    record: PressureRecord | None
    refusal: str
    notes: tuple[str, ...]
    n_cells: int = 0


def look_at_pressure_table(
    library: Path, path: Path, wishes: TableWishes, cell_cm: tuple[float, float] | None = None
) -> LookedAtPressure:
    """Find how a pressure table would be read; nothing is stored.

    Parameters
    ----------
    library : folder whose kept mappings are tried; it need not exist.
    wishes : columns are 'HEADER=ROLE [UNIT]' (``ROLES``, or a plain term).

    Raises
    ------
    BadInputError
        The file is no table, or something that was said does not fit it.
    MachineError
        The file may not be read.
    """
    found = find_mapping(library, path, wishes.mapping, PRESSURE_TABLE)
    start = found.mapping or ColumnMapping()
    start = replace(start, cell_cm=cell_cm or start.cell_cm)
    # every header said counts as known, so that the header is found by it
    said = {text.rpartition("=")[0].strip(): IGNORE for text in wishes.columns}
    probe = replace(start, columns={**said, **start.columns})
    pieces = TablePieces(
        path,
        lambda content: read_table(
            path, lambda cells: count_known(cells, probe), EXAMPLES, start.delimiter, start.header_row, content, True
        ),
    )
    table = next(iter(pieces))
    headers = [header for header in table.header if header]
    mapping = _with_wishes(start, wishes, headers, path.name)
    roles, units = dict(mapping.columns), dict(mapping.units)
    is_place_named = {"x", "y"} & {*roles.values()} or any((find_column(h) or ("",))[0] in ("x", "y") for h in headers)
    cells = () if is_place_named else [i for i, header in enumerate(table.header) if find_cell(header) is not None]
    try:
        resolved = resolve_columns(table, mapping)
        record = read_trace_table(path, resolved.mapping)
        roles, units, refusal = resolved.mapping.columns, resolved.mapping.units, ""
        mapping = resolved.mapping
    except BadInputError as error:
        record, refusal = None, str(error)
        roles = {header: known[0] for header in headers if (known := find_column(header))} | roles
    rows = table.rows[:_N_SAMPLES]
    columns = tuple(
        PressureColumn(header, roles.get(header, ""), units.get(header, ""), tuple(cell_text(r.cells[i]) for r in rows))
        for i, header in enumerate(table.header)
        if header and i not in cells
    )
    notes = [note for note in (record.notes if record else ()) if NO_DATE not in note and NO_CLOCK not in note]
    return LookedAtPressure(columns, mapping, record, refusal, (*found.notes, *notes), len(cells))


def _with_wishes(start: ColumnMapping, wishes: TableWishes, headers: list[str], file: str) -> ColumnMapping:
    columns, units = say_columns(start, [_parse(text, headers, file) for text in wishes.columns])
    flipped = set(start.flipped) & set(columns)
    for text in wishes.flipped:
        header = find_header(text, headers, file)
        found = find_column(header)
        key = next((key for key in columns if is_same_header(key, header)), header)
        role = columns.get(key) or (found[0] if found else "")
        if role not in ("x", "y"):
            raise BadInputError(f"--flip {text!r}: expected the column of x or y; say first which it is, with --as.")
        columns[key] = role
        flipped ^= {key}
    return replace(start, columns=columns, units=units, flipped=frozenset(flipped))


def _parse(text: str, headers: list[str], file: str) -> tuple[str, str, str]:
    header, equals, meaning = text.rpartition("=")
    if not equals or not header.strip() or not meaning.strip():
        raise BadInputError(f"--as expects HEADER=WHAT or HEADER=WHAT UNIT, found {text!r}.")
    header, meaning = find_header(header, headers, file), meaning.strip()
    role, unit = find_column(meaning) or (meaning.replace(" ", "_"), "")
    if role in ROLES and (not unit or compute_factor(unit, _UNITS.get(role, "N")) is not None):
        return header, role, unit
    raise BadInputError(
        f"--as {text!r}: expected what the column is and its unit after the equals sign, found {meaning!r}. Known: "
        f"{', '.join(role.replace('_', ' ') for role in ROLES)}."
    )


def is_pressure_table(path: Path, library: Path) -> bool:
    """Whether a table's own words, or a mapping kept in a library, say that it is of a pressure mat."""
    try:
        return look_at_pressure_table(library, path, TableWishes()).record is not None
    except (BadInputError, MachineError):
        return False
