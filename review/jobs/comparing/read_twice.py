"""The coach's own test of repeatability: the same shots in two tables."""

from dataclasses import dataclass
from pathlib import Path

import numpy as np

from review.compare.repeatability import MIN_SHOTS, TypicalError, compute_typical_error
from review.errors import BadInputError
from review.lesson import KINDS
from review.shots import ColumnMapping, read_shot_table

_MUCH, _LARGE_SHARE = 5.0, 0.1
"""A shift of so many errors, and of so much of the measure, is no matter of the device's accuracy."""


@dataclass(frozen=True)
class ReadTwice:
    """Typical errors by measure, for those that both tables have; ``notes`` say how the tables were read.

    ``useless`` names measures whose two readings tell nothing of the error, with the reason.
    """

    errors: tuple[tuple[str, TypicalError], ...]
    useless: tuple[str, ...]
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
    errors, useless = [], []
    for name in KINDS:
        both = [(a.values[name], b.values[name]) for a, b in pairs if name in a.values and name in b.values]
        if len(both) >= MIN_SHOTS:
            error = compute_typical_error([a for a, _ in both], [b for _, b in both])
            problem = _find_problem(name, both, error)
            if problem:
                useless.append(f"{KINDS[name].label}: {problem}")
            else:
                errors.append((name, error))
    if not errors and not useless:
        raise BadInputError(f"No measure stands in both tables for at least {MIN_SHOTS} shots; nothing can be told.")
    notes = tuple(dict.fromkeys(note for table in tables for note in table.notes))
    return ReadTwice(tuple(errors), tuple(useless), notes)


def _find_problem(name: str, both: list[tuple[float, float]], error: TypicalError) -> str:
    """Why two readings tell nothing of the device's error; empty where they do."""
    rounding = 0.5 * 10.0 ** -KINDS[name].decimals
    if max(abs(b - a - error.shift) for a, b in both) <= rounding:
        return "the same readings twice (equal but for rounding), which tell nothing of the error"
    a, b = (np.asarray(values) for values in zip(*both, strict=True))
    if np.std(a + b) < 0.5 * np.std(b - a):
        return "the two run against each other: one table counts it the other way round (lesson-review table, --flip)"
    size = sum(abs(a) for a, _ in both) / len(both)
    if abs(error.shift) > max(_MUCH * error.sd, _LARGE_SHARE * size):
        return f"the second reads {error.shift:+.1f}{KINDS[name].unit} more throughout; are units and columns the same?"
    return ""
