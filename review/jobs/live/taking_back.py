"""Taking a key back: what it changed, item by item, so that whatever another run wrote since stays as it is."""

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from datetime import datetime
from typing import TypeVar

from review.errors import BadInputError
from review.lesson import Batch, Said
from review.library import Library

_SaidKey = tuple[str, str]
_K = TypeVar("_K")
_V = TypeVar("_V")


@dataclass(frozen=True)
class _State:
    """What keys write of a lesson."""

    said: Mapping[_SaidKey, Said]
    batches: Mapping[str, Batch]
    ended_at: datetime | None


@dataclass(frozen=True)
class KeyDone:
    """What one key changed, each before and after (None = not there); ``answered`` are rows by clip id."""

    what: str
    said: Mapping[_SaidKey, tuple[Said | None, Said | None]] = field(default_factory=dict)
    batches: Mapping[str, tuple[Batch | None, Batch | None]] = field(default_factory=dict)
    ended_at: tuple[datetime | None, datetime | None] = (None, None)
    answered: Mapping[str, str | None] = field(default_factory=dict)


def turn_round(key: KeyDone) -> KeyDone:
    """What takes back that a key was taken back: the key done again."""
    return KeyDone(
        key.what,
        {item: (after, before) for item, (before, after) in key.said.items()},
        {batch_id: (after, before) for batch_id, (before, after) in key.batches.items()},
        (key.ended_at[1], key.ended_at[0]),
        key.answered,
    )


@contextmanager
def record_key(library: Library, lesson_id: str, what: str, done: list[KeyDone]) -> Iterator[None]:
    """Do what a key does in one step, and put what it changed into ``done`` once it is kept."""
    with library.transaction():
        before = _read(library, lesson_id)
        yield
        after = _read(library, lesson_id)
    done.append(
        KeyDone(
            what,
            _compare(before.said, after.said),
            _compare(before.batches, after.batches),
            (before.ended_at, after.ended_at),
        )
    )


def take_back(library: Library, lesson_id: str, key: KeyDone) -> None:
    """Restore what a key changed, as far as it is still as the key left it.

    Raises
    ------
    BadInputError
        When nothing of it is, or a batch that it began was changed since; nothing is then changed.
    """
    if not key.said and not key.batches and key.ended_at[0] == key.ended_at[1]:
        return  # it said what was so already
    with library.transaction():
        now = _read(library, lesson_id)
        changed = {
            batch_id: _restored(batch, *key.batches[batch_id])
            for batch_id, batch in now.batches.items()
            if batch_id in key.batches
        }
        batches = [batch for one in now.batches.values() if (batch := changed.get(one.id, one)) is not None]
        batches += [
            b for id, (b, after) in key.batches.items() if b is not None and after is None and id not in changed
        ]
        if len({batch.number for batch in batches}) < len(batches):
            raise BadInputError(f"Not taken back: {key.what}. Batches were begun by another run of the program since.")
        if not batches:
            raise BadInputError(f"Not taken back: {key.what}. It is the only batch that is left.")
        said = dict(now.said)
        for item, (before, after) in key.said.items():
            if said.get(item) == after:
                said.pop(item, None)
                if before is not None:
                    said[item] = before
        ended_at = key.ended_at[0] if now.ended_at == key.ended_at[1] else now.ended_at
        if _State(said, {batch.id: batch for batch in batches}, ended_at) == now:
            raise BadInputError(f"Not taken back: {key.what}. It was changed by another run of the program since.")
        if tuple(batches) != tuple(now.batches.values()):
            library.set_batches(lesson_id, batches)
        if said != now.said:
            library.replace_said(lesson_id, said.values())
        if ended_at != now.ended_at:
            for live in library.live_lessons():
                if live.lesson_id == lesson_id:
                    library.set_live_lesson(replace(live, ended_at=ended_at))


def _read(library: Library, lesson_id: str) -> _State:
    return _State(
        {(one.item, one.what): one for one in library.said(lesson_id)},
        {batch.id: batch for batch in library.lesson(lesson_id).batches},
        next((live.ended_at for live in library.live_lessons() if live.lesson_id == lesson_id), None),
    )


def _compare(before: Mapping[_K, _V], after: Mapping[_K, _V]) -> dict[_K, tuple[_V | None, _V | None]]:
    return {key: (before.get(key), after.get(key)) for key in {**before, **after} if before.get(key) != after.get(key)}


def _restored(now: Batch, before: Batch | None, after: Batch | None) -> Batch | None:
    """A batch without what a key did to it, None = the key began it; what was changed since stays."""
    if after is None:
        return now
    if before is None:
        if now != after:
            raise BadInputError(
                f"Batch {now.number} was changed by another run of the program since it was begun, so it stays."
            )
        return None
    return replace(
        now,
        number=before.number if now.number == after.number else now.number,
        cue=before.cue if now.cue == after.cue else now.cue,
        feel=before.feel if now.feel == after.feel else now.feel,
        club=before.club if now.club == after.club else now.club,
        target=before.target if now.target == after.target else now.target,
        ball=before.ball if now.ball == after.ball else now.ball,
        is_closed=before.is_closed if now.is_closed == after.is_closed else now.is_closed,
    )
