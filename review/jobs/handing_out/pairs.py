"""Clips side by side: which swings, from which side, with which numbers on them."""

from collections.abc import Sequence

from review.compare import choose_typical
from review.errors import BadInputError
from review.jobs.comparing import LessonComparison
from review.jobs.handing_out.privacy import NoCoverError, Privacy, make_cover
from review.jobs.measuring.kept_landmarks import load_landmarks
from review.lesson import Lesson, Swing, View, label
from review.lesson.words import say_value
from review.library import Library
from review.takehome import ClipSide, Pair, Pointer
from review.takehome.text import capitalise

_MOST_LINES = 3
_BODY_POINTS = {
    "hip_turn_deg": "hips",
    "hip_shift_cm": "hips",
    "shoulder_turn_deg": "shoulders",
    "trail_heel_lift_cm": "trail heel",
    "heel_off_ms": "trail heel",
    "trail_foot_twist_deg": "trail toe",
    "trail_foot_slip_cm": "trail toe",
    "trail_foot_slip_to_toes_cm": "trail toe",
    "trail_foot_slip_length_cm": "trail toe",
}
"""What an arrow points at for a measure of the aim."""


def choose_pairs(
    library: Library, compared: LessonComparison, chosen: Sequence[tuple[int, int]], privacy: Privacy
) -> tuple[tuple[Pair, ...], tuple[str, ...]]:
    couples: list[tuple[Swing, Swing]] = []
    if chosen:
        by_order = {swing.order: swing for swing in library.swings(compared.lesson.id)}
        for first, last in chosen:
            for order in (first, last):
                if order not in by_order or not by_order[order].clips:
                    raise BadInputError(f"Swing {order} has no clip in this lesson; choose another.")
                if by_order[order].batch_id is None:
                    raise BadInputError(f"Swing {order} belongs to no batch; choose another.")
            couples.append((by_order[first], by_order[last]))
    else:
        body = library.measures(compared.lesson.id)
        doubted = {order for order, _ in compared.background.doubts}
        typical = [
            # a row that may be misread is typical of nothing, unless nothing else was filmed
            choose_typical([s for s in swings if s.order not in doubted], body, compared.lesson, needs_clip=True)
            or choose_typical(swings, body, compared.lesson, needs_clip=True)
            for swings in (compared.first_swings, compared.last_swings)
        ]
        if typical[0] is None or typical[1] is None:
            return (), ("No clips side by side: one of the two batches has no swing with a clip.",)
        couples.append((typical[0], typical[1]))
    pairs: list[Pair] = []
    notes: list[str] = []
    for first_swing, last_swing in couples:
        n_before = len(pairs)
        for view in View:
            try:
                sides = [_side(library, compared, swing, view, privacy) for swing in (first_swing, last_swing)]
            except NoCoverError as error:
                notes.append(f"No clips of swings {first_swing.order} and {last_swing.order}, {view.value}: {error}.")
                continue
            if sides[0] is not None and sides[1] is not None:
                title = f"Swing {first_swing.order} and swing {last_swing.order}"
                pairs.append(Pair(sides[0], sides[1], view.value, title))
        if len(pairs) == n_before and not notes:
            notes.append(_why_no_pair(library, compared.lesson, first_swing, last_swing))
    return tuple(pairs), tuple(notes)


def _why_no_pair(library: Library, lesson: Lesson, first: Swing, last: Swing) -> str:
    unmeasured = [
        str(swing.order)
        for swing in (first, last)
        if not any(clip.view is not None and library.key_frames(clip.id) for clip in swing.clips)
    ]
    if unmeasured:
        return (
            f"No clips side by side of swings {first.order} and {last.order}: not measured yet "
            f"({' and '.join(unmeasured)}). Run: lesson-review measure {lesson.id[:8]}; then takehome again."
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
        lines=_lines(compared, swing),
        track=track,
        drawings=library.drawings(clip.id),
        pointers=_pointers(compared),
        cover=cover,
    )


def _pointers(compared: LessonComparison) -> tuple[Pointer, ...]:
    """Arrows to what the aim is about, at its key frame and at the top."""
    parts = [
        (aim.key_frame, _BODY_POINTS[aim.name]) for aim in compared.lesson.aim_measures if aim.name in _BODY_POINTS
    ]
    at = [(key_frame or "impact", part) for key_frame, part in parts] + [("top", part) for _, part in parts[:1]]
    return tuple(Pointer(key_frame, part) for key_frame, part in dict.fromkeys(at))


def _lines(compared: LessonComparison, swing: Swing) -> tuple[str, ...]:
    """The aim's numbers of this swing in words."""
    measures = {(m.name, m.key_frame): m for m in compared.measures[swing.id]}
    lines = []
    for aim in compared.lesson.aim_measures:
        measure = measures.get((aim.name, aim.key_frame))
        if measure is not None and not measure.why_missing:
            about = "about " if measure.bound else ""
            or_more = " or more" if measure.bound else ""
            words = about + say_value(measure.name, measure.value, compared.pupil.handedness) + or_more
            lines.append(f"{capitalise(label(aim.name, aim.key_frame))}: {words}")
    return tuple(lines[:_MOST_LINES])
