"""What a device's table would be read as, column by column, with the reason; what has to be asked is asked."""

from collections import Counter
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np

from review.lesson import KINDS
from review.shots.column_numbers import median_size
from review.shots.columns import count_known
from review.shots.mapping import check_mapping
from review.shots.naming import (
    Certainty,
    Column,
    known_numbers,
    label,
    name_by_content,
    name_by_relation,
    name_by_terms,
    name_kept,
    read_columns,
    settle_units,
)
from review.shots.relations import find_exchanged, find_opposite_sign
from review.shots.terms import EXAMPLES, MEASURES, ROLES
from review.shots.unit_guess import find_contradictions
from review.tables import ColumnMapping, read_table, shorten

_N_SAMPLES = 2


@dataclass(frozen=True)
class ColumnProposal:
    """One column: what it would be read as, from which unit, how sure that is and why.

    ``meaning`` is a measure or a role, empty where the column is not read. ``choices`` are what the coach can say of
    a column that is asked about, as 'measure unit'. ``samples`` are its first values in words.
    """

    header: str
    meaning: str
    unit: str
    certainty: Certainty
    reason: str
    samples: tuple[str, ...] = ()
    choices: tuple[str, ...] = ()


@dataclass(frozen=True)
class TableProposal:
    """A whole table: ``mapping`` holds every column that is sure or likely, ready to be kept.

    ``clubs`` are the clubs as written with how many rows have them and their name in the coach's bag, where given.
    ``questions`` are for the coach; ``doubts`` are those of them about several columns together.
    """

    file: str
    columns: tuple[ColumnProposal, ...]
    mapping: ColumnMapping
    clubs: tuple[tuple[str, int, str], ...]
    questions: tuple[str, ...]
    doubts: tuple[str, ...] = ()


def propose_table(path: Path, mapping: ColumnMapping | None = None, content: bytes | None = None) -> TableProposal:
    """Propose how a table is to be read: the coach's mapping first, then names, units, sizes and sums.

    Parameters
    ----------
    mapping : what the coach has said already.
    content : the file's bytes where they were read already.

    Raises
    ------
    BadInputError
        The file is no table with a header, or the mapping is not valid.
    MachineError
        The file may not be read.
    """
    kept = mapping or ColumnMapping()
    check_mapping(kept)
    table = read_table(
        path,
        lambda cells: count_known(cells, mapping),
        EXAMPLES,
        kept.delimiter,
        kept.header_row,
        content,
        is_guessing=True,
    )
    columns = read_columns(table, kept)
    name_kept(table, columns, kept)
    name_by_terms(table, columns)
    settle_units(columns)
    name_by_content(table, columns)
    name_by_relation(table, columns)
    questions = [_question(column) for column in columns if column.certainty is Certainty.ASKED]
    known = known_numbers(columns)
    read = [c for c in columns if c.is_read and c.meaning in MEASURES]
    sizes = {c.meaning: median_size(c.numbers) for c in read}
    doubts = [*find_contradictions(sizes, {c.meaning: c.unit for c in read}), *find_exchanged(known)]
    odd = find_opposite_sign(known)
    if odd:
        header = next(column.header for column in columns if column.meaning == odd)
        doubts.append(
            f"face, path and face to path agree only when the sign of {header!r} is turned round; if this device "
            f"counts it the other way, say --flip {header!r}"
            + ("; or are face and path swapped?" if odd == "face_to_path_deg" else "")
        )
    used = replace(
        kept,
        columns={c.header: c.meaning for c in columns if c.is_read},
        units={c.header: c.unit for c in columns if c.is_read and c.meaning in MEASURES},
        flipped=frozenset(c.header for c in columns if c.is_read and c.is_flipped),
    )
    proposals = tuple(
        ColumnProposal(c.header, c.meaning, c.unit, c.certainty, c.reason, _samples(c), c.choices) for c in columns
    )
    clubs = _count_clubs(columns, kept)
    return TableProposal(table.file, proposals, used, clubs, (*questions, *doubts), tuple(doubts))


def _question(column: Column) -> str:
    choices = [choice.rpartition(" ") for choice in column.choices]
    said = " or ".join(f"--as {f'{column.header}={label(name)} {unit}'!r}" for name, _, unit in choices)
    return f"{column.header!r} {column.reason}; say {said}"


def _samples(column: Column) -> tuple[str, ...]:
    """First values in words that need no hand: '3.2° right of target'."""
    if not column.is_read or column.meaning in ROLES:
        return tuple(shorten(text, 24) for text in column.cells[:_N_SAMPLES])
    kind = KINDS[column.meaning]
    values = column.own_numbers()
    words = []
    for value in values[np.isfinite(values)][:_N_SAMPLES]:
        direction = (kind.positive if value > 0 else kind.negative) if round(value, kind.decimals) else ""
        number = f"{abs(value) if kind.positive else value:.{kind.decimals}f}{kind.unit}"
        words.append(f"{number} {direction}".strip())
    return tuple(words)


def _count_clubs(columns: list[Column], kept: ColumnMapping) -> tuple[tuple[str, int, str], ...]:
    written = next((c.cells for c in columns if c.meaning == "club" and c.is_read), [])
    return tuple((club, n, kept.clubs.get(club, "")) for club, n in Counter(written).most_common() if club)
