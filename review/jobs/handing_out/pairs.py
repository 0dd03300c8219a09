"""Clips side by side: which swings, from which side, with which numbers on them."""

from collections.abc import Sequence

from review.compare import Verdict, choose_typical
from review.errors import BadInputError
from review.jobs.comparing import LessonComparison
from review.jobs.handing_out.privacy import NoCoverError, Privacy, make_cover
from review.jobs.measuring.kept_landmarks import load_landmarks
from review.lesson import Lesson, Measure, Swing, View, label
from review.lesson.words import say_measure_apart
from review.library import Library
from review.takehome import ClipSide, Pair, Pointer, SwingNumber
from review.takehome.clip_sides import is_firm
from review.takehome.text import capitalise

_MOST_LINES = 3
_FIRST_SAID = (Verdict.CLEAR, Verdict.LIKELY)
_BODY_POINTS = {
    "hip_turn_deg": ("hips", ""),
    "hip_shift_cm": ("hips", ""),
    "shoulder_turn_deg": ("shoulders", ""),
    "trail_heel_lift_cm": ("trail heel", ""),
    "heel_off_ms": ("trail heel", "up "),
    "trail_foot_twist_deg": ("trail toe", ""),
    "trail_foot_slip_cm": ("trail toe", "slip "),
    "trail_foot_slip_to_toes_cm": ("trail toe", "slip "),
    "trail_foot_slip_length_cm": ("trail toe", "slip "),
}
"""What an arrow points at for a measure of the aim, and what goes before the number beside it."""


def choose_pairs(
    library: Library, compared: LessonComparison, chosen: Sequence[tuple[int, int]], privacy: Privacy
) -> tuple[tuple[Pair, ...], tuple[str, ...], frozenset[str]]:
    """Choose the clips to show side by side, one pair for each side that both swings were filmed from.

    ``chosen`` are pairs of swing numbers; () takes the typical swings of first and last batch, for a side that these
    were not filmed from the most typical of those that were.

    Returns
    -------
    tuple
        The pairs, notes on what could not be shown and why, and the ids of the swings chosen.

    Raises
    ------
    BadInputError
        When a chosen swing has no clip, none any more, or is in no batch.
    """
    couples: list[tuple[Swing, Swing, set[View]]] = []
    gone = library.clips_let_go(compared.lesson.id)
    if chosen:
        by_order = {swing.order: swing for swing in library.swings(compared.lesson.id)}
        for first, last in chosen:
            for order in (first, last):
                if order not in by_order or not by_order[order].clips:
                    raise BadInputError(f"Swing {order} has no clip in this lesson; choose another.")
                if any(clip.id in gone for clip in by_order[order].clips):
                    raise BadInputError(f"The clip of swing {order} was let go (lesson-review thin); choose another.")
                if by_order[order].batch_id is None:
                    raise BadInputError(f"Swing {order} belongs to no batch; choose another.")
            couples.append((by_order[first], by_order[last], set(View)))
    else:
        body = library.measures(compared.lesson.id)
        doubted = {order for order, _ in compared.background.doubts}
        here = [
            [swing for swing in swings if not any(clip.id in gone for clip in swing.clips)]
            for swings in (compared.first_swings, compared.last_swings)
        ]
        typical = [
            # a row that may be misread is typical of nothing, unless nothing else was filmed
            choose_typical([s for s in swings if s.order not in doubted], body, compared.lesson, needs_clip=True)
            or choose_typical(swings, body, compared.lesson, needs_clip=True)
            for swings in here
        ]
        if typical[0] is None or typical[1] is None:
            return (), ("No clips side by side: one of the two batches has no swing with a clip.",), frozenset()
        left = set(View)
        for view in View:
            if all(_is_timed_from(library, swing, view) for swing in typical if swing is not None):
                continue
            others = [
                choose_typical([s for s in swings if _is_timed_from(library, s, view)], body, compared.lesson)
                for swings in here
            ]
            if others[0] is not None and others[1] is not None:  # the typical swings were not filmed from there
                couples.append((others[0], others[1], {view}))
                left.discard(view)
        if left:
            couples.insert(0, (typical[0], typical[1], left))
    pairs: list[Pair] = []
    notes: list[str] = []
    missing: list[str]
    for first_swing, last_swing, views in couples:
        n_before, missing = len(pairs), []
        for view in View:
            if view not in views:
                continue
            try:
                sides = [_side(library, compared, swing, view, privacy) for swing in (first_swing, last_swing)]
            except NoCoverError as error:
                notes.append(f"No clips of swings {first_swing.order} and {last_swing.order}, {view.value}: {error}.")
                continue
            if sides[0] is not None and sides[1] is not None:
                title = f"Swing {first_swing.order} and swing {last_swing.order}"
                pairs.append(Pair(sides[0], sides[1], view.value, title))
            elif why := _why_not_from(library, compared.lesson, (first_swing, last_swing), view):
                missing.append(why)
        if len(pairs) > n_before:
            notes += missing
        elif not notes:
            notes.append(_why_no_pair(library, compared.lesson, first_swing, last_swing))
    return tuple(pairs), tuple(notes), frozenset(swing.id for couple in couples for swing in couple[:2])


def _is_timed_from(library: Library, swing: Swing, view: View) -> bool:
    clip = next((clip for clip in swing.clips if clip.view is view), None)
    return clip is not None and any(key_frame.name == "impact" for key_frame in library.key_frames(clip.id))


def _why_not_from(library: Library, lesson: Lesson, couple: Sequence[Swing], view: View) -> str:
    """Why swings are not beside each other from a side that one of them was filmed from; '' where neither was."""
    clips = [next((clip for clip in swing.clips if clip.view is view), None) for swing in couple]
    if not any(clips):
        return ""
    head = f"{view.value.replace('-', ' ').capitalize()} not beside each other"
    absent = next((swing.order for swing, clip in zip(couple, clips, strict=True) if clip is None), None)
    if absent is not None:
        return f"{head}: swing {absent} was not filmed from there; --swings takes others."
    unmeasured = [
        str(swing.order)
        for swing, clip in zip(couple, clips, strict=True)
        if clip is not None and not any(k.name == "impact" for k in library.key_frames(clip.id))
    ]
    which = ("swing " if len(unmeasured) == 1 else "swings ") + " and ".join(unmeasured)
    return (
        f"{head}: no impact is known there in {which}. "
        f"Run: lesson-review measure --lesson {lesson.id[:8]}; then takehome again."
    )


def _why_no_pair(library: Library, lesson: Lesson, first: Swing, last: Swing) -> str:
    unmeasured = [
        str(swing.order)
        for swing in (first, last)
        if not any(clip.view is not None and library.key_frames(clip.id) for clip in swing.clips)
    ]
    if unmeasured:
        return (
            f"No clips side by side of swings {first.order} and {last.order}: not measured yet "
            f"({' and '.join(unmeasured)}). Run: lesson-review measure --lesson {lesson.id[:8]}; then takehome again."
        )
    return f"No clips side by side: swings {first.order} and {last.order} were not filmed from the same side."


def _side(library: Library, compared: LessonComparison, swing: Swing, view: View, privacy: Privacy) -> ClipSide | None:
    clip = next((c for c in swing.clips if c.view is view), None)
    if clip is None:
        return None
    key_frames = library.key_frames(clip.id)
    impact = next((k.time_s for k in key_frames if k.name == "impact"), None)
    if impact is None:
        return None
    batch = next(b for b in compared.lesson.batches if b.id == swing.batch_id)
    kept = load_landmarks(library, clip, compared.pupil.handedness)
    track = None if kept is None else kept[0]
    cover = make_cover(privacy, clip, library.footage_of(clip), track)
    if not privacy.with_body:
        track = None
    return ClipSide(
        path=library.footage_of(clip),
        label=f"Batch {batch.number}, swing {swing.order}",
        batch_number=batch.number,
        impact_s=impact,
        key_frames=key_frames,
        time_scale=clip.time_scale,
        handedness=compared.pupil.handedness,
        numbers=_say_numbers(compared, swing),
        track=track,
        drawings=library.drawings(clip.id),
        pointers=_place_arrows(compared, swing),
        cover=cover,
    )


def _place_arrows(compared: LessonComparison, swing: Swing) -> tuple[Pointer, ...]:
    """Arrows to what the aim is about, at its key frame and at the top, with what is to be seen there in words.

    Of several numbers of one part the first is said; the others stand below the clip. Where the batches do not tell
    whether it changed, that is said instead of the number.
    """
    measures, verdicts = _measures_of(compared, swing), _find_verdicts(compared, swing)
    said: dict[tuple[str, str], str] = {}
    for n, aim in enumerate(aim for aim in compared.lesson.aim_measures if aim.name in _BODY_POINTS):
        part, before = _BODY_POINTS[aim.name]
        verdict = verdicts.get((aim.name, aim.key_frame))
        for key_frame in (aim.key_frame, "top") if n == 0 and aim.key_frame not in ("", "top") else (aim.key_frame,):
            measure = measures.get((aim.name, key_frame))
            if measure is None or measure.why_missing:
                continue
            is_told = verdict is None or is_firm(verdict) or key_frame != aim.key_frame
            words = before + say_measure_apart(measure, compared.pupil.handedness)[0]
            said.setdefault((key_frame or "impact", part), words if is_told or verdict is None else verdict.value)
    return tuple(Pointer(key_frame, part, words) for (key_frame, part), words in said.items())


def _say_numbers(compared: LessonComparison, swing: Swing) -> tuple[SwingNumber, ...]:
    """The aim's numbers of this swing in words, and what is to be said of their change."""
    measures, verdicts = _measures_of(compared, swing), _find_verdicts(compared, swing)
    numbers = []
    for aim in compared.lesson.aim_measures:
        key = aim.name, aim.key_frame
        measure = measures.get(key)
        if measure is None or measure.why_missing:
            continue
        words, within = say_measure_apart(measure, compared.pupil.handedness)
        numbers.append(SwingNumber(capitalise(label(*key)), words, within, verdicts.get(key)))
    # what can be told goes before what cannot yet, otherwise in the coach's order
    numbers.sort(key=lambda number: _FIRST_SAID.index(number.verdict) if number.verdict in _FIRST_SAID else _MOST_LINES)
    return tuple(numbers[:_MOST_LINES])


def _measures_of(compared: LessonComparison, swing: Swing) -> dict[tuple[str, str], Measure]:
    return {(m.name, m.key_frame): m for m in compared.measures[swing.id]}


def _find_verdicts(compared: LessonComparison, swing: Swing) -> dict[tuple[str, str], Verdict]:
    """Verdicts on the aim's measures; none on a swing of a batch between the first and the last."""
    if swing.batch_id not in (compared.first.id, compared.last.id):
        return {}
    return {(c.name, c.key_frame): c.verdict for c in compared.comparisons if c.in_aim}
