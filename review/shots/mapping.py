"""The column mapping of a shot table: kept by the coach, proposed from plain trade terms."""

from collections.abc import Sequence
from pathlib import Path

from review.errors import BadInputError
from review.shots.terms import KNOWN, MEASURES, ROLES, find_meaning, unit_of
from review.tables import (
    Cell,
    ColumnMapping,
    cell_text,
    compute_factor,
    is_absent,
    parse_when,
    read_mapping_file,
    split_header,
    split_number,
    split_tail,
    write_mapping_file,
)


def check_mapping(mapping: ColumnMapping) -> None:
    """Check that a mapping names device measures and roles only.

    Raises
    ------
    BadInputError
        A name is not known, or a time, club or number column has a flipped sign.
    """
    mapping.check_names(KNOWN)
    for name in mapping.repeatability:
        if name not in MEASURES:
            raise BadInputError(
                f"column mapping: repeatability names {name!r}, which no device measures; "
                f"known are {', '.join(MEASURES)}"
            )
    for header in sorted(mapping.flipped):
        if mapping.columns[header] in ROLES:
            raise BadInputError(f"column mapping: {header!r} is no measure, so its sign cannot be flipped")


def read_mapping(path: Path) -> ColumnMapping:
    """Read the column mapping of a shot table.

    Raises
    ------
    BadInputError
        No such file, no TOML, unknown keys, measures or choices (the message names the known ones).
    MachineError
        The file may not be read.
    """
    mapping = read_mapping_file(path, KNOWN)
    try:
        check_mapping(mapping)
    except BadInputError as error:
        raise BadInputError(f"{path.name}: {error}") from error
    return mapping


def write_mapping(path: Path, mapping: ColumnMapping) -> None:
    """Write a column mapping as TOML; ``read_mapping`` gives the same back.

    Raises
    ------
    BadInputError
        The mapping names something that is no measure of a device.
    MachineError
        The file could not be written; an earlier one is unchanged.
    """
    check_mapping(mapping)
    write_mapping_file(path, mapping)


def find_column(header: str) -> tuple[str, str, bool] | None:
    """The meaning of a header, its unit text and whether the name is sure by itself; None when unknown."""
    name, unit = split_header(header)
    meaning = find_meaning(name)
    if meaning is None and not unit:
        name, unit = split_tail(header)
        meaning = find_meaning(name)
    return None if meaning is None else (meaning[0], unit, meaning[1])


def propose_mapping(
    headers: Sequence[str], units_row: Sequence[str] = (), sample_rows: Sequence[Sequence[Cell]] = ()
) -> ColumnMapping:
    """Propose what the columns mean, from plain trade terms alone.

    Parameters
    ----------
    headers
        The column headers, with or without units.
    units_row
        The texts of a units row beneath the header; may be empty.
    sample_rows
        Some rows; where given, a loose name (``side``) counts only with numbers beneath it, and ``time`` or
        ``date`` only with times or dates.

    Returns
    -------
    A mapping in which a measure occurs once at most; where two columns mean the same the first counts.
    Columns whose unit does not fit their name are left out.
    """
    columns: dict[str, str] = {}
    units: dict[str, str] = {}
    for index, header in enumerate(headers):
        found = find_column(header)
        if found is None:
            continue
        name, unit, is_sure = found
        samples = [row[index] for row in sample_rows if index < len(row) and not is_absent(row[index])]
        if name in columns.values() or not fits_samples(name, samples, is_sure):
            continue
        if name in ROLES:
            columns[header] = name
            continue
        if not unit and index < len(units_row):
            unit = units_row[index]
        unit = unit.strip().strip("[]()") if not is_absent(unit) else ""
        if unit and compute_factor(unit, unit_of(name)) is None:
            continue
        columns[header] = name
        units[header] = unit or unit_of(name)
    return ColumnMapping(columns=columns, units=units)


def fits_samples(name: str, samples: Sequence[Cell], is_sure: bool) -> bool:
    """Whether what stands below a header can be what its name says; a loose name needs numbers."""
    samples = [cell for cell in samples if not is_absent(cell)]
    if not samples:
        return is_sure
    if name in ("time", "date"):
        return any(parse_when(cell) is not None for cell in samples)
    return is_sure or any(
        not isinstance(cell, str) or (split_number(cell_text(cell)) or ("x", "", ""))[0] in ("", "R", "L", "r", "l")
        for cell in samples
    )
