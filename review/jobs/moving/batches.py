"""Into which batches swings go that are moved, and which stay behind."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from review.lesson import Batch, Lesson, Swing


@dataclass(frozen=True)
class SharedBatches:
    """Batches of both lessons after the move, and into which of them each swing goes, by swing id."""

    kept: tuple[Batch, ...]
    there: tuple[Batch, ...]
    batch_of: dict[str, str]


def share_batches(
    lesson: Lesson,
    swings: Sequence[Swing],
    moved: Sequence[Swing],
    target_id: str,
    there: Sequence[Batch],
    swings_there: Sequence[Swing],
) -> SharedBatches:
    """Share out batches: one that goes whole takes cue and feel along, of another one they stay.

    A batch that came from the other lesson finds the one it was part of again, by its start or its words; where it has
    neither, its swings join the batch of the swing struck just before them. So swings moved there and back are filed
    as they were.

    Parameters
    ----------
    swings : of the lesson that they leave; ``moved`` are those of them that go.
    there : batches of the other lesson, () when it is new; ``swings_there`` are its swings.
    """
    gone = {swing.id for swing in moved}
    filled = {swing.batch_id for swing in swings_there}
    result = list(there)
    known = list(there)
    kept: list[Batch] = []
    batch_of: dict[str, str] = {}
    for batch in lesson.batches:
        inside = [swing for swing in swings if swing.batch_id == batch.id]
        going = [swing for swing in inside if swing.id in gone]
        is_whole = bool(going) and len(going) == len(inside)
        if going:
            worded = batch if is_whole else replace(batch, cue="", feel="")
            home = _find_home(worded, known, filled) or _find_neighbour(worded, going, known, swings_there)
            if home is None:
                home = _place(replace(worded, is_closed=True), target_id, result)
                result.append(home)
            elif not home.cue and not home.feel:
                result[result.index(home)] = replace(home, cue=worded.cue, feel=worded.feel)
            batch_of.update({swing.id: home.id for swing in going})
        if not is_whole:
            kept.append(batch)
        elif not batch.is_closed or len(lesson.batches) == 1:
            kept.append(replace(batch, cue="", feel=""))
    strays = [swing for swing in moved if swing.id not in batch_of]
    if strays:
        home = _find_neighbour(Batch("", 1), strays, known, swings_there) or next(iter(result[len(known) :]), None)
        if home is None:
            home = _place(Batch("", 1), target_id, result)
            result.append(home)
        batch_of.update({swing.id: home.id for swing in strays})
    return SharedBatches(tuple(kept or lesson.batches[:1]), _in_order(result), batch_of)


def _find_home(batch: Batch, there: Sequence[Batch], filled: set[str | None]) -> Batch | None:
    """Find the batch there that this one is a part of."""
    own = (batch.cue, batch.feel)
    for other in there:
        words = (other.cue, other.feel)
        if other.started_at != batch.started_at:
            continue
        if batch.started_at is not None:
            is_same = own == ("", "") or words in (("", ""), own)
        else:
            is_same = own != ("", "") and (words == own or (words == ("", "") and other.id not in filled))
        if is_same:
            return other
    return None


def _find_neighbour(
    batch: Batch, going: Sequence[Swing], there: Sequence[Batch], swings_there: Sequence[Swing]
) -> Batch | None:
    """Find the batch of the swing before, for swings of which no start and no words say where they belong."""
    if batch.started_at is not None or batch.cue or batch.feel:
        return None
    batches = {other.id: other for other in there}
    for find_time in (_struck_at, _filmed_at):
        times = [at for swing in going if (at := find_time(swing)) is not None]
        others = [
            (at, s.order, s.batch_id)
            for s in swings_there
            if s.batch_id in batches and (at := find_time(s)) is not None
        ]
        if times and others:
            before = [other for other in others if other[0] <= min(times)]
            return batches[str((max(before) if before else min(others))[2])]
    return there[0] if len(there) == 1 else None


def _struck_at(swing: Swing) -> datetime | None:
    return None if swing.shot is None else swing.shot.struck_at


def _filmed_at(swing: Swing) -> datetime | None:
    return min((clip.captured_at for clip in swing.clips if clip.captured_at is not None), default=None)


def _place(batch: Batch, lesson_id: str, batches: Sequence[Batch]) -> Batch:
    """Give a batch the lowest id and number that are free, so that one that comes back has its own again."""
    ids, numbers = {batch.id for batch in batches}, {batch.number for batch in batches}
    number = next(n for n in range(1, len(batches) * 2 + 2) if n not in numbers and f"{lesson_id}-{n}" not in ids)
    return replace(batch, id=f"{lesson_id}-{number}", number=number)


def _in_order(batches: Sequence[Batch]) -> tuple[Batch, ...]:
    """Number batches as they began, one that is still open last."""
    in_order = sorted(batches, key=lambda batch: batch.number)
    if all(batch.started_at is not None for batch in batches):
        in_order.sort(key=lambda batch: batch.started_at or datetime.min)
    in_order.sort(key=lambda batch: not batch.is_closed)
    numbers = sorted(batch.number for batch in batches)
    return tuple(replace(batch, number=number) for batch, number in zip(in_order, numbers, strict=True))
