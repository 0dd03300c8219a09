"""What the coach puts right in any lesson: words, batches, kinds, swings that do not count; see ``undoing``."""

from collections.abc import Iterable, Sequence
from dataclasses import replace
from pathlib import Path

from review.errors import BadInputError
from review.jobs.live.before import EarlierWords, list_words
from review.jobs.undoing import Correction, corrected
from review.jobs.voices import name_voice, store_spoken
from review.lesson import Batch, Said, Swing, SwingKind, VoiceOf
from review.library import Library
from review.media import Audio


def read_words(folder: Path) -> EarlierWords:
    """Words of batches that the coach used so far."""
    with Library.open(folder, create=False) as library:
        return list_words(library)


def set_kind(library: Library, lesson_id: str, swing_id: str, kind: SwingKind) -> Correction:
    """Say what a swing was."""
    return _say(library, lesson_id, [swing_id], "kind", kind.value)


def leave_out(library: Library, lesson_id: str, swing_id: str, reason: str) -> Correction:
    """Let a swing not count, for a reason; '' lets it count again."""
    return leave_out_all(library, lesson_id, [swing_id], reason)


def leave_out_all(library: Library, lesson_id: str, swing_ids: Sequence[str], reason: str) -> Correction:
    """Let several swings not count, or count again, in one step."""
    return _say(library, lesson_id, swing_ids, "left_out", reason.strip())


def move_to_batch(library: Library, lesson_id: str, swing_id: str, number: int) -> Correction:
    """Put a swing into the batch of that number; raises as ``move_all_to_batch``."""
    return move_all_to_batch(library, lesson_id, [swing_id], number)


def move_all_to_batch(library: Library, lesson_id: str, swing_ids: Sequence[str], number: int) -> Correction:
    """Put several swings into the batch of that number, in one step.

    Raises
    ------
    BadInputError
        When there is no such batch.
    """
    batches = library.lesson(lesson_id).batches
    batch = next((batch for batch in batches if batch.number == number), None)
    if batch is None:
        there = f"this lesson has batches 1 to {len(batches)}" if batches else "this lesson has no batch yet"
        raise BadInputError(f"There is no batch {number}; {there}. Nothing was changed.")
    return _say(library, lesson_id, swing_ids, "batch", batch.id)


def keep_all(library: Library, lesson_id: str, swing_ids: Sequence[str], is_kept: bool) -> Correction:
    """Keep the clips of several swings for good, or no longer, in one step; see ``keeping_house.thinning``.

    Raises
    ------
    BadInputError
        When none of them has a clip that is still there, so that nothing could be kept.
    """
    there, gone = library.swings(lesson_id), library.clips_let_go(lesson_id)
    swings = [_find(there, id) for id in swing_ids]
    if is_kept and not any(clip.id not in gone for swing in swings for clip in swing.clips):
        raise BadInputError("There is no clip to keep: it was let go, or none was filmed. Nothing was changed.")
    with corrected(library, lesson_id, "what is kept for good") as done:
        (library.keep_swings if is_kept else library.unkeep_swings)([swing.id for swing in swings])
    return done[0]


def begin_batch(library: Library, lesson_id: str, swing_id: str) -> Correction:
    """Begin a batch at a swing: it and those after it of its own batch are the new one's; later batches move on by one.

    Club, target and ball stay as they were; cue and feel are to be written. A batch that is open stays open at its end.

    Raises
    ------
    BadInputError
        When there is no such swing, or a batch begins there already.
    """
    lesson, swings = library.lesson(lesson_id), library.swings(lesson_id)
    swing = _find(swings, swing_id)
    own = next((batch for batch in lesson.batches if batch.id == swing.batch_id), None)
    fellows = [other for other in swings if other.batch_id == swing.batch_id]
    if own is not None and fellows[0].id == swing.id:
        raise BadInputError(f"Batch {own.number} begins with swing {swing.order} already. Nothing was changed.")
    number = own.number + 1 if own is not None else len(lesson.batches) + 1
    taken = {batch.id for batch in lesson.batches}
    new = Batch(
        next(id for n in range(number, number + len(taken) + 1) if (id := f"{lesson.id}-{n}") not in taken),
        number,
        swing.shot.struck_at if swing.shot is not None else None,
        club="" if own is None else own.club,
        target="" if own is None else own.target,
        ball="" if own is None else own.ball,
        is_closed=True if own is None else own.is_closed,
    )
    before = [replace(b, is_closed=True) if b.id == swing.batch_id else b for b in lesson.batches if b.number < number]
    after = [replace(batch, number=batch.number + 1) for batch in lesson.batches if batch.number >= number]
    in_batch = {other.id: new.id for other in fellows if other.order >= swing.order}
    if own is not None and own.started_at is None:  # alone it has every swing; beside another it must be said
        in_batch.update({other.id: own.id for other in fellows if other.id not in in_batch})
    with corrected(library, lesson_id, f"the batch begun at swing {swing.order}") as done:
        library.set_batches(lesson_id, [*before, new, *after])
        said = [Said(item, "batch", in_batch[s.id]) for s in fellows if s.id in in_batch for item in s.items]
        library.say(lesson_id, said)
    return done[0]


def describe_batch(library: Library, lesson_id: str, batch_id: str, **words: str) -> Correction:
    """Write down ``cue``, ``feel``, ``club``, ``target`` or ``ball`` of a batch, as far as given; '' takes it away."""
    batch = _find_batch(library, lesson_id, batch_id)
    written = {name: word.strip() for name, word in words.items()}
    described = replace(
        batch,
        cue=written.get("cue", batch.cue),
        feel=written.get("feel", batch.feel),
        club=written.get("club", batch.club),
        target=written.get("target", batch.target),
        ball=written.get("ball", batch.ball),
    )
    return _keep_batch(library, lesson_id, described, f"the words of batch {batch.number}")


def put_voice(library: Library, lesson_id: str, batch_id: str, of: VoiceOf, audio: Audio | None) -> Correction:
    """Keep what was spoken of a batch in the place of what was spoken before; None takes that off.

    Raises
    ------
    BadInputError
        When the pupil's consent does not cover it, nothing can be heard, or the batch is gone; nothing is then changed.
    """
    batch = _find_batch(library, lesson_id, batch_id)
    voice = None if audio is None else store_spoken(library, lesson_id, of, audio)
    with corrected(library, lesson_id, f"the {of.said_as} of batch {batch.number}") as done:
        name_voice(library, lesson_id, batch_id, of, voice)
    return done[0]


def close_batch(library: Library, lesson_id: str, batch_id: str, is_closed: bool) -> Correction:
    """Close a batch, or open it again."""
    batch = _find_batch(library, lesson_id, batch_id)
    what = f"batch {batch.number} closed" if is_closed else f"batch {batch.number} opened"
    return _keep_batch(library, lesson_id, replace(batch, is_closed=is_closed), what)


def _say(library: Library, lesson_id: str, swing_ids: Sequence[str], what: str, value: str) -> Correction:
    there = library.swings(lesson_id)
    swings = [_find(there, id) for id in swing_ids]
    which = ("swing " if len(swings) == 1 else "swings ") + ", ".join(str(swing.order) for swing in swings)
    name = {"kind": f"what {which} was", "left_out": f"whether {which} counts"}
    with corrected(library, lesson_id, name.get(what, f"the batch of {which}")) as done:
        library.say(lesson_id, [Said(item, what, value) for swing in swings for item in swing.items])
    return done[0]


def _keep_batch(library: Library, lesson_id: str, batch: Batch, what: str) -> Correction:
    with corrected(library, lesson_id, what) as done:
        batches = library.lesson(lesson_id).batches
        library.set_batches(lesson_id, [batch if other.id == batch.id else other for other in batches])
    return done[0]


def _find(swings: Iterable[Swing], swing_id: str) -> Swing:
    found = next((swing for swing in swings if swing.id == swing_id), None)
    if found is None:
        raise BadInputError("That swing is no longer in this lesson; open the lesson again. Nothing was changed.")
    return found


def _find_batch(library: Library, lesson_id: str, batch_id: str) -> Batch:
    batches = library.lesson(lesson_id).batches
    found = next((batch for batch in batches if batch.id == batch_id), None)
    if found is None:
        raise BadInputError("That batch is no longer in this lesson; open the lesson again. Nothing was changed.")
    return found
