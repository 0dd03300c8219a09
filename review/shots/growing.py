"""A table that is read again: which of its rows are known, which are new, which were completed since."""

import hashlib
import json
from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace

from review.lesson import Shot


@dataclass(frozen=True)
class Merged:
    """What reading a table again brought.

    ``new`` rows have a number that no known row has. ``completed`` are known rows (their id and number) with what the
    table says of them now. ``n_twice`` rows stand in the table more than once; ``n_gone`` known rows no longer do.
    """

    new: tuple[Shot, ...] = ()
    completed: tuple[Shot, ...] = ()
    n_twice: int = 0
    n_gone: int = 0


def row_key(shot: Shot) -> str:
    """Name a row by its content, wherever in whichever table it stands."""
    at = None if shot.struck_at is None else shot.struck_at.isoformat()
    content = json.dumps([at, shot.club, shot.values, shot.extra], sort_keys=True)
    return hashlib.sha256(content.encode()).hexdigest()[:16]


def merge_rows(known: Sequence[Shot], read: Sequence[Shot], left_out: Collection[str] = ()) -> Merged:
    """Compare a table just read with the rows that are known.

    Parameters
    ----------
    known : rows from before, of this table or another.
    read : every row of the table as it is now.
    left_out : contents (``row_key``) of rows that are not to be looked at.

    Notes
    -----
    The same content is the same row. A row with another content is a known one, completed, when the known one is no
    longer in the table, was struck at the same second (where rows have times), and has the same number or nothing but
    values that the new one has too. What is gone from the table stays known: a device may start its table anew.
    """
    by_key = {row_key(shot): shot for shot in known}
    keys = [row_key(shot) for shot in read]
    gone = {key: shot for key, shot in by_key.items() if key not in set(keys)}
    seen: set[str] = set()
    new: list[Shot] = []
    completed: list[Shot] = []
    n_twice = 0
    for key, shot in zip(keys, read, strict=True):
        if key in left_out:
            continue
        if key in seen:
            n_twice += 1
            continue
        seen.add(key)
        if key in by_key:
            continue
        before = next((k for k, old in gone.items() if _is_completed(old, shot)), None)
        if before is None:
            new.append(shot)
        else:
            old = gone.pop(before)
            completed.append(replace(shot, id=old.id, row_number=old.row_number, table=old.table))
    return Merged(_number(known, new), tuple(completed), n_twice, len(gone))


def _is_completed(old: Shot, new: Shot) -> bool:
    if old.struck_at != new.struck_at:
        return False
    has_same = all(new.values.get(name) == value for name, value in old.values.items())
    if old.struck_at is None:
        return old.row_number == new.row_number and has_same
    return old.row_number == new.row_number or has_same


def _number(known: Sequence[Shot], new: Sequence[Shot]) -> tuple[Shot, ...]:
    """Keep the table's own numbers where they are free; a table that was started anew counts on."""
    taken = {shot.row_number for shot in known}
    numbered = []
    for shot in new:
        number = shot.row_number if shot.row_number not in taken else max(taken) + 1
        taken.add(number)
        numbered.append(replace(shot, row_number=number))
    return tuple(numbered)
