"""Looks at a device's table before anything is done with it, with what the coach says of its columns."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from review.errors import BadInputError
from review.jobs.tables.kept_mappings import find_mapping
from review.shots import Certainty, ColumnMapping, ShotTable, TableProposal, propose_table, read_shot_table
from review.shots.clock import UNDATED
from review.shots.mapping import find_column
from review.shots.terms import KNOWN, MEASURES, find_meaning, unit_of
from review.tables import IGNORE, compute_factor, read_content, tidy_header

_UNITS = ("mph", "km/h", "m/s", "ft/s", "yd", "m", "ft", "in", "cm", "mm", "deg", "rad", "rpm")


def list_units(measure: str) -> tuple[str, ...]:
    """Units in which a device may write a measure, its own first; none for what is no measure."""
    if measure not in MEASURES:
        return ()
    own = unit_of(measure)
    fitting = [unit for unit in _UNITS if compute_factor(unit, own) is not None]
    return tuple(sorted(fitting, key=lambda unit: unit != own))


@dataclass(frozen=True)
class TableWishes:
    """What the coach says of a table, as texts.

    ``columns`` are 'HEADER=MEASURE [UNIT]' (a measure, a plain trade term, or ignore), ``flipped`` headers counted the
    other way round, ``clubs`` 'WRITTEN=YOURS', ``repeatability`` pairs of measure and standard deviation.
    """

    columns: tuple[str, ...] = ()
    flipped: tuple[str, ...] = ()
    clubs: tuple[str, ...] = ()
    repeatability: tuple[tuple[str, float], ...] = ()
    mapping: Path | None = None


@dataclass(frozen=True)
class LookedAt:
    """How a table would be read: column by column, and the rows themselves; ``refusal`` says why none can be."""

    proposal: TableProposal
    table: ShotTable | None
    refusal: str
    notes: tuple[str, ...]


def look_at_table(library: Path, path: Path, wishes: TableWishes) -> LookedAt:
    """Find how a table would be read; nothing is stored.

    Parameters
    ----------
    library : folder whose kept mappings are tried; it need not exist.

    Raises
    ------
    BadInputError
        The file is no table, or something that was said does not fit it.
    MachineError
        The file may not be read.
    """
    content = read_content(path)
    found = find_mapping(library, path, wishes.mapping)
    start = found.mapping or ColumnMapping()
    # the headers as they stand in the file, however what was said is spelt
    headers = [column.header for column in propose_table(path, start, content).columns]
    mapping = _with_wishes(start, wishes, headers, path.name)
    proposal = propose_table(path, mapping, content)
    # what is asked about is left out until it is answered, not guessed
    asked = {c.header: "ignore" for c in proposal.columns if c.certainty is Certainty.ASKED}
    trial = replace(proposal.mapping, columns={**proposal.mapping.columns, **asked})
    try:
        table, refusal = read_shot_table(path, trial, content=content), ""
    except BadInputError as error:
        table, refusal = None, str(error)
    notes = [note for note in table.notes if note != UNDATED] if table else []  # no lesson yet, so no day
    return LookedAt(proposal, table, refusal, (*found.notes, *notes))


def _with_wishes(start: ColumnMapping, wishes: TableWishes, headers: list[str], file: str) -> ColumnMapping:
    columns, units = say_columns(start, [_parse_column(text, headers, file) for text in wishes.columns])
    flipped = set(start.flipped) & set(columns)
    for text in wishes.flipped:
        header = find_header(text, headers, file)
        if not any(is_same_header(key, header) for key in columns):
            found = find_column(header)
            if found is None or found[0] not in MEASURES:
                raise BadInputError(f"--flip {text!r}: say first what this column is, with --as.")
            columns[header] = found[0]
        flipped ^= {next(key for key in columns if is_same_header(key, header))}
    clubs = {**start.clubs, **dict(_pair(text, "--club", "7I=7-iron") for text in wishes.clubs)}
    repeatability = {**start.repeatability, **dict(wishes.repeatability)}
    return replace(
        start,
        columns=columns,
        units=units,
        flipped=frozenset(flipped),
        clubs=clubs,
        repeatability=repeatability,
    )


def say_columns(start: ColumnMapping, said: Sequence[tuple[str, str, str]]) -> tuple[dict[str, str], dict[str, str]]:
    """Columns and units of a mapping once header, meaning and unit ('' = not said) were said of some columns."""
    columns, units = dict(start.columns), dict(start.units)
    for header, meaning, unit in said:
        for other in [key for key, name in columns.items() if name == meaning != IGNORE or is_same_header(key, header)]:
            del columns[other]
            units.pop(other, None)
        columns[header] = meaning
        if unit:
            units[header] = unit
    return columns, units


def is_same_header(header: str, other: str) -> bool:
    """Whether two texts name the same column."""
    return tidy_header(header) == tidy_header(other)


def _parse_column(text: str, headers: list[str], file: str) -> tuple[str, str, str]:
    # a header may hold an equals sign, what it means does not
    header, equals, meaning = text.rpartition("=")
    if not equals or not header.strip() or not meaning.strip():
        raise BadInputError(f"--as expects HEADER=MEASURE or HEADER=MEASURE UNIT, found {text!r}.")
    header, meaning = find_header(header, headers, file), meaning.strip()
    for said, unit in ((meaning, ""), meaning.rsplit(" ", 1) if " " in meaning else (meaning, "")):
        found = (said, True) if said in KNOWN else find_meaning(said)
        if found is not None and (not unit or compute_factor(unit, unit_of(found[0])) is not None):
            return header, found[0], unit
    raise BadInputError(
        f"--as {text!r}: expected a measure and its unit after the equals sign, found {meaning!r}. Measures: "
        f"{', '.join(MEASURES)}; else time, date, club, shot number, ignore."
    )


def find_header(text: str, headers: list[str], file: str) -> str:
    """The header as it stands in the file, however it is spelt.

    Raises
    ------
    BadInputError
        The file has no such column.
    """
    found = next((header for header in headers if is_same_header(header, text)), None)
    if found is None:
        raise BadInputError(f"{file} has no column {text.strip()!r}; it has {', '.join(map(repr, headers))}.")
    return found


def _pair(text: str, option: str, example: str) -> tuple[str, str]:
    left, equals, right = text.rpartition("=")
    if not equals or not left.strip() or not right.strip():
        raise BadInputError(f"{option} expects WRITTEN=YOURS such as {example}, found {text!r}.")
    return left.strip(), right.strip()
