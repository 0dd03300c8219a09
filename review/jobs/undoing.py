"""A correction of any lesson as one step: what it changed is kept with it, so that it can be undone and done again."""

from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from pathlib import Path

from review.jobs.live.taking_back import KeyDone, record_key, take_back, turn_round
from review.jobs.pairing.rematching import apply_said
from review.lesson import Swing, SwingKind
from review.library import Library

_Filed = tuple[SwingKind, str | None, str]
"""A swing's kind, its batch, and why it is left out."""


@dataclass(frozen=True)
class Correction:
    """One change of a lesson, as it was before and after; ``filed`` and ``chosen`` tell swings by id.

    ``chosen`` tells whether their clips are kept for good.
    """

    lesson_id: str
    key: KeyDone
    filed: Mapping[str, tuple[_Filed, _Filed]] = field(default_factory=dict)
    chosen: Mapping[str, tuple[bool, bool]] = field(default_factory=dict)

    @property
    def is_empty(self) -> bool:
        """Whether all was so already."""
        return not (self.key.said or self.key.batches or self.filed or self.chosen)


def correct_in(folder: Path, correct: Callable[[Library], Correction]) -> Correction:
    """Do one correction in the library of a folder.

    Raises
    ------
    BadInputError
        When the library is not there, or the correction asks for what is not there; nothing is then changed.
    """
    with Library.open(folder, create=False) as library:
        return correct(library)


def undo_in(folder: Path, correction: Correction) -> None:
    """Undo one in the library of a folder; raises as ``undo``."""
    with Library.open(folder, create=False) as library:
        undo(library, correction)


def redo_in(folder: Path, correction: Correction) -> None:
    """Do one again in the library of a folder; raises as ``undo``."""
    with Library.open(folder, create=False) as library:
        redo(library, correction)


@contextmanager
def corrected(library: Library, lesson_id: str, what: str) -> Iterator[list[Correction]]:
    """Change batches and what is said of swings in one step; file the swings so, and give the correction at the end."""
    done: list[Correction] = []
    keys: list[KeyDone] = []
    with library.transaction():
        before, kept_before = library.swings(lesson_id), library.kept_swings(lesson_id)
        with record_key(library, lesson_id, what, keys):
            yield done
        said, batches = library.said(lesson_id), library.lesson(lesson_id).batches
        changed = {item for item, _ in keys[0].said}
        after = [apply_said(swing, said, batches) if changed & set(swing.items) else swing for swing in before]
        if tuple(after) != before:
            library.replace_swings(lesson_id, after)
        both = [(old.id, _file_of(old), _file_of(new)) for old, new in zip(before, after, strict=True)]
        kept = library.kept_swings(lesson_id)
    filed = {id: (old, new) for id, old, new in both if old != new}
    chosen = {id: (id in kept_before, id in kept) for id in kept_before ^ kept}
    done.append(Correction(lesson_id, keys[0], filed, chosen))


def undo(library: Library, correction: Correction) -> None:
    """Undo a correction as far as the lesson is still as it left it.

    Raises
    ------
    BadInputError
        When it was changed by another run of the program since; nothing is then changed.
    """
    filed = {id: (after, before) for id, (before, after) in correction.filed.items()}
    chosen = {id: (after, before) for id, (before, after) in correction.chosen.items()}
    _restore(library, correction, correction.key, filed, chosen)


def redo(library: Library, correction: Correction) -> None:
    """Do a correction again that was undone; raises as ``undo``."""
    _restore(library, correction, turn_round(correction.key), correction.filed, correction.chosen)


def _restore(
    library: Library,
    correction: Correction,
    key: KeyDone,
    filed: Mapping[str, tuple[_Filed, _Filed]],
    chosen: Mapping[str, tuple[bool, bool]],
) -> None:
    """Put back what ``key`` changed, and swings that are filed, or chosen, as the first of two as the second."""
    with library.transaction():
        swings = library.swings(correction.lesson_id)
        take_back(library, correction.lesson_id, key)
        there = {batch.id for batch in library.lesson(correction.lesson_id).batches}
        renewed = []
        for swing in swings:
            now, to = filed.get(swing.id, (None, None))
            if to is not None and _file_of(swing) == now:
                swing = replace(swing, kind=to[0], batch_id=to[1], left_out=to[2])
            renewed.append(swing if swing.batch_id in there else replace(swing, batch_id=None))
        library.replace_swings(correction.lesson_id, renewed)
        ids, kept = {swing.id for swing in swings}, library.kept_swings(correction.lesson_id)
        turned = {id: to for id, (now, to) in chosen.items() if id in ids and (id in kept) is now}
        library.keep_swings([id for id, to in turned.items() if to])
        library.unkeep_swings([id for id, to in turned.items() if not to])


def _file_of(swing: Swing) -> _Filed:
    return swing.kind, swing.batch_id, swing.left_out
