"""Matches a lesson anew without losing what is known of its swings: their ids, the coach's word, what hangs on them."""

import uuid
from collections.abc import Collection, Mapping, Sequence
from dataclasses import replace

from review.jobs.pairing.matching import MatchedLesson, match_lesson
from review.lesson import Batch, Clip, Lesson, Said, Shot, Swing, SwingKind
from review.library import Library
from review.sync import SURE

_SPACE = uuid.UUID("3d7f3c57-1d0e-4b43-8f0d-6a4a4c9d7e55")


def match_known(
    library: Library,
    lesson: Lesson,
    corrections: Mapping[str, str | None] | None = None,
    undone: Collection[str] = (),
    joins_arrivals: bool = True,
    earlier: Sequence[Swing] = (),
) -> MatchedLesson:
    """Match a lesson's clips and rows as they are now; nothing is stored.

    Parameters
    ----------
    corrections : the coach's new pairings, clip id to shot id (None = no row); they join those that were kept.
    undone : clips of which the coach took a pairing back.
    joins_arrivals : whether clips and rows that arrived together count, where the clocks do not tell.
    earlier : swings of a lesson just before with the same cameras and device: their pairs tell the clocks as long as
        this lesson has too little to tell them.
    """
    before = library.swings(lesson.id)
    said = library.said(lesson.id)
    fixed = {clip_id: row for clip_id, row in said_pairs(before).items() if clip_id not in undone}
    fixed.update(corrections or {})
    clips, shots, kinds = library.clips(lesson.id), library.shots(lesson.id), said_kinds(said)
    matched = match_lesson(clips, shots, lesson.batches, (), fixed, kinds)
    moved = {one.item: one.value for one in said if one.what == "pair" and one.item not in fixed}
    if moved and matched.clock_offset_s is None:
        # too few are left to find the clocks from nothing; those that were sure tell them, and the order
        taken = {row for row in fixed.values() if row is not None}
        there = {shot.id for shot in shots} - taken
        moved = {clip_id: row for clip_id, row in moved.items() if row in there}
        matched = match_lesson(clips, shots, lesson.batches, (), {**moved, **fixed}, kinds)
        matched = _as_before_moving(matched, moved, before)
    if matched.clock_offset_s is None and earlier and clips and shots:
        matched = replace(matched, swings=_match_after(earlier, clips, shots, lesson.batches, fixed, kinds))
    is_joined = joins_arrivals and matched.clock_offset_s is None
    swings = join_rows(matched.swings, said) if is_joined else matched.swings
    known = keep_known(swings, before, said, lesson.batches)
    paired = {clip.id for swing in known if swing.shot is not None for clip in swing.clips}
    rows = {swing.shot.id for swing in known if swing.shot is not None and swing.clips}
    open_ones = [q for q in matched.matching.questions if not paired & set(q.clip_ids) and q.row_id not in rows]
    return replace(matched, swings=known, matching=replace(matched.matching, questions=tuple(open_ones)))


def _match_after(
    earlier: Sequence[Swing],
    clips: Sequence[Clip],
    shots: Sequence[Shot],
    batches: Sequence[Batch],
    fixed: Mapping[str, str | None],
    kinds: Mapping[str, SwingKind],
) -> tuple[Swing, ...]:
    """Match clips and rows by the clocks that the pairs of an earlier lesson tell; return this lesson's swings."""
    known = {clip.id: swing.shot.id for swing in earlier if swing.shot is not None for clip in swing.clips}
    old_clips = [clip for swing in earlier if swing.shot is not None for clip in swing.clips]
    old_shots = [swing.shot for swing in earlier if swing.shot is not None and swing.clips]
    matched = match_lesson([*old_clips, *clips], [*old_shots, *shots], batches, (), {**known, **fixed}, kinds)
    own = {clip.id for clip in clips} | {shot.id for shot in shots}
    swings = [s for s in matched.swings if (s.clips[0].id if s.clips else s.shot.id if s.shot else "") in own]
    return tuple(replace(swing, order=i) for i, swing in enumerate(swings, start=1))


def rematch_lesson(
    library: Library,
    lesson: Lesson,
    corrections: Mapping[str, str | None],
    kinds: Mapping[str, SwingKind] | None = None,
) -> MatchedLesson:
    """Match a lesson again with the coach's corrections (clip id to shot id, None = no row), kept for good."""
    with library.transaction():
        library.say(lesson.id, [Said(clip_id, "kind", kind.value) for clip_id, kind in (kinds or {}).items()])
        matched = match_known(library, lesson, corrections)
        library.replace_swings(lesson.id, matched.swings)
    return matched


def _as_before_moving(matched: MatchedLesson, moved: Mapping[str, str], before: Sequence[Swing]) -> MatchedLesson:
    """Say of pairs that were sure before swings were moved that they are the clock's, not the coach's."""
    sure = {s.shot.id: s.pairing_probability for s in before if s.shot is not None and s.clips}
    swings = tuple(
        replace(
            swing,
            pairing_probability=sure.get(swing.shot.id) or SURE if swing.shot is not None else None,
            pairing_source="clock" if swing.shot is not None else "",
        )
        if any(clip.id in moved for clip in swing.clips)
        else swing
        for swing in matched.swings
    )
    pairs = tuple(
        replace(pair, why="paired by the clocks, for sure, when the lesson was whole.")
        if moved.keys() & set(pair.clip_ids)
        else pair
        for pair in matched.matching.pairs
    )
    return replace(matched, swings=swings, matching=replace(matched.matching, pairs=pairs))


def said_pairs(swings: Sequence[Swing]) -> dict[str, str | None]:
    """Pairings of the coach: clip id to shot id, None = no row."""
    return {
        clip.id: None if swing.shot is None else swing.shot.id
        for swing in swings
        if swing.pairing_source == "coach"
        for clip in swing.clips
    }


def said_kinds(said: Sequence[Said]) -> dict[str, SwingKind]:
    """What the coach said a swing is, by clip or row id."""
    return {one.item: SwingKind(one.value) for one in said if one.what == "kind"}


def join_rows(
    swings: Sequence[Swing], said: Sequence[Said], what: str = "row", before: Sequence[Swing] = ()
) -> tuple[Swing, ...]:
    """Put clips and rows together that arrived together, where clips and rows have nobody else.

    Parameters
    ----------
    what : 'row' for those that arrived together, 'pair' for those that were sure before swings were moved.
    before : the swings as they were; a pair that is among them keeps how sure it was.
    """
    row_of = {one.item: one.value for one in said if one.what == what}
    sure = {s.shot.id: s.pairing_probability for s in before if s.shot is not None and s.clips}
    lone_rows = {swing.shot.id: swing for swing in swings if swing.shot is not None and not swing.clips}
    joined: list[Swing] = []
    for swing in swings:
        is_open = swing.clips and swing.shot is None and swing.pairing_source != "coach"
        said_row = next((row_of[clip.id] for clip in swing.clips if clip.id in row_of), "") if is_open else ""
        row = lone_rows.pop(said_row, None)
        if row is not None:
            probability = sure.get(said_row) or SURE
            swing = replace(swing, shot=row.shot, pairing_probability=probability, pairing_source="clock")
        joined.append(swing)
    left = {row.id for row in lone_rows.values()}
    kept = [swing for swing in joined if swing.clips or swing.id in left]
    return tuple(replace(swing, order=i) for i, swing in enumerate(kept, start=1))


def keep_known(
    swings: Sequence[Swing], before: Sequence[Swing], said: Sequence[Said], batches: Sequence[Batch]
) -> tuple[Swing, ...]:
    """Give swings just matched the ids, traces and reasons for leaving out of those they were, and what was said."""
    swings = join_rows(swings, said, "pair", before)
    old_of_clip = {clip.id: swing for swing in before for clip in swing.clips}
    old_of_shot = {swing.shot.id: swing for swing in before if swing.shot is not None}
    taken: set[str] = set()
    kept: dict[int, Swing] = {}
    # clips first: body numbers hang on the swing that has them
    for swing in sorted(swings, key=lambda swing: not swing.clips):
        olds = [old_of_clip[clip.id] for clip in swing.clips if clip.id in old_of_clip]
        of_shot = None if swing.shot is None else old_of_shot.get(swing.shot.id)
        homes = [*olds, *([of_shot] if of_shot is not None else [])]
        home = next((old for old in homes if old.id not in taken), None)
        own_id = swing.id if swing.id not in taken else uuid.uuid5(_SPACE, swing.id).hex
        of_trace = of_shot if swing.shot is not None else home
        kept[swing.order] = replace(
            swing,
            id=own_id if home is None else home.id,
            trace=swing.trace or (None if of_trace is None else of_trace.trace),
            left_out=swing.left_out or next((old.left_out for old in olds if old.left_out), ""),
        )
        taken.add(kept[swing.order].id)
    return tuple(apply_said(kept[swing.order], said, batches) for swing in swings)


def apply_said(swing: Swing, said: Sequence[Said], batches: Sequence[Batch]) -> Swing:
    """File a swing as was said of its clips or its row: the coach's word comes before the clock's."""
    items, known = set(swing.items), {batch.id for batch in batches}
    for one in sorted((one for one in said if one.item in items), key=lambda one: one.by == "coach"):
        if one.what == "kind":
            swing = replace(swing, kind=SwingKind(one.value))
        elif one.what == "batch" and one.value in known:
            swing = replace(swing, batch_id=one.value)
        elif one.what == "left_out":
            swing = replace(swing, left_out=one.value)
    return swing
