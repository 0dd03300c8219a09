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


@dataclass(frozen=True)
class _Print:
    """What tells a row again without saying what is in it; ``values`` are a hash of each."""

    content: str
    number: int | None = None
    at: str = ""
    values: frozenset[str] = frozenset()


def row_key(shot: Shot) -> str:
    """Name a row so that it is known again wherever in whichever table it stands, also when it was completed since.

    The name says the number and the time, and nothing that was measured.
    """
    it = _print(shot)
    return " ".join([it.content, str(it.number), it.at, *sorted(it.values)])


def merge_rows(known: Sequence[Shot], read: Sequence[Shot], left_out: Collection[str] = ()) -> Merged:
    """Compare a table just read with the rows that are known.

    Parameters
    ----------
    known : rows from before, of this table or another.
    read : every row of the table as it is now.
    left_out : names (``row_key``) of rows that are not to be looked at, nor what completes them.

    Notes
    -----
    The same content is the same row. A row with another content is a known one, completed, when the known one is no
    longer in the table, was struck at the same second (where rows have times), and has the same number or nothing but
    values that the new one has too. What is gone from the table stays known: a device may start its table anew.
    """
    by_key = {_print(shot).content: shot for shot in known}
    prints = [_print(shot) for shot in read]
    there = {it.content for it in prints}
    gone = {key: shot for key, shot in by_key.items() if key not in there}
    out = {it.content: it for it in map(_parse, left_out)}
    out_gone = {key: it for key, it in out.items() if key not in there}
    seen: set[str] = set()
    new: list[Shot] = []
    completed: list[Shot] = []
    n_twice = 0
    for it, shot in zip(prints, read, strict=True):
        key = it.content
        if key in out:
            continue
        if key in seen:
            n_twice += 1
            continue
        seen.add(key)
        if key in by_key:
            continue
        before = next((k for k, old in gone.items() if _is_completed(_print(old), it)), None)
        if before is not None:
            old = gone.pop(before)
            completed.append(replace(shot, id=old.id, row_number=old.row_number, table=old.table))
            continue
        before = next((k for k, old_print in out_gone.items() if _is_completed(old_print, it)), None)
        if before is not None:
            del out_gone[before]
        else:
            new.append(shot)
    return Merged(_number(known, new), tuple(completed), n_twice, len(gone))


def _is_completed(old: _Print, new: _Print) -> bool:
    if old.number is None or old.at != new.at:
        return False
    has_same = old.values <= new.values
    if not old.at:
        return old.number == new.number and has_same
    return old.number == new.number or has_same


def _print(shot: Shot) -> _Print:
    at = None if shot.struck_at is None else shot.struck_at.isoformat()
    content = _hash([at, shot.club, shot.values, shot.extra])[:16]
    values = frozenset(_hash([name, value])[:6] for name, value in shot.values.items())
    return _Print(content, shot.row_number, at or "", values)


def _parse(key: str) -> _Print:
    """Read what ``row_key`` wrote; older libraries kept the content alone."""
    content, *more = key.split(" ")
    if len(more) < 2:
        return _Print(content)
    number, at, *values = more
    return _Print(content, int(number), at, frozenset(values))


def _hash(what: object) -> str:
    return hashlib.sha256(json.dumps(what, sort_keys=True).encode()).hexdigest()


def _number(known: Sequence[Shot], new: Sequence[Shot]) -> tuple[Shot, ...]:
    """Keep the table's own numbers where they are free; a table that was started anew counts on."""
    taken = {shot.row_number for shot in known}
    numbered = []
    for shot in new:
        number = shot.row_number if shot.row_number not in taken else max(taken) + 1
        taken.add(number)
        numbered.append(replace(shot, row_number=number))
    return tuple(numbered)
