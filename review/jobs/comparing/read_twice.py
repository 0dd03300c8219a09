"""The coach's own test of repeatability: the same shots in two tables."""

from dataclasses import dataclass
from pathlib import Path

from review.compare.repeatability import MIN_SHOTS, TypicalError, compute_typical_error
from review.errors import BadInputError
from review.lesson import KINDS
from review.shots import ColumnMapping, read_shot_table


@dataclass(frozen=True)
class ReadTwice:
    """Typical errors by measure, for those that both tables have; ``notes`` say how the tables were read."""

    errors: tuple[tuple[str, TypicalError], ...]
    notes: tuple[str, ...]


def find_repeatability(
    first: Path, second: Path, mappings: tuple[ColumnMapping | None, ColumnMapping | None] = (None, None)
) -> ReadTwice:
    """Find how far one reading errs from two tables of the same shots, row by row.

    Raises
    ------
    BadInputError
        A table cannot be read, they do not hold the same number of shots, or no measure stands in both five times.
    """
    tables = [read_shot_table(path, mapping) for path, mapping in zip((first, second), mappings, strict=True)]
    counts = [len(table.shots) for table in tables]
    if counts[0] != counts[1]:
        raise BadInputError(
            f"Expected the same shots in both tables, row by row; {first.name} holds {counts[0]} and {second.name} "
            f"{counts[1]}. Leave out what only one of them caught."
        )
    pairs = list(zip(tables[0].shots, tables[1].shots, strict=True))
    errors = []
    for name in KINDS:
        both = [(a.values[name], b.values[name]) for a, b in pairs if name in a.values and name in b.values]
        if len(both) >= MIN_SHOTS:
            errors.append((name, compute_typical_error([a for a, _ in both], [b for _, b in both])))
    if not errors:
        raise BadInputError(f"No measure stands in both tables for at least {MIN_SHOTS} shots; nothing can be told.")
    return ReadTwice(tuple(errors), tuple(dict.fromkeys(note for table in tables for note in table.notes)))
