"""What ``match`` prints: the table of what was paired and why, and all evidence for one swing."""

from review.cli.screen import say
from review.errors import BadInputError
from review.jobs.pairing.clock_moments import as_datetime
from review.jobs.pairing.match_notes import tell_clocks
from review.jobs.pairing.matching import MatchedLesson
from review.lesson import Clip, Shot, Swing, SwingKind
from review.sync import Evidence

_CLIPS_WIDTH = 33
_NO_ROW = "-"


def show_matching(matched: MatchedLesson) -> None:
    """Print the swings in order with what was paired and why, then clocks, notes and what is open."""
    say(f"{'swing':>5}  {'row':>3}  {'struck at':<9}  {'sure':>4}  {'clips':<{_CLIPS_WIDTH}}  why")
    for swing in matched.swings:
        row = _NO_ROW if swing.shot is None else str(swing.shot.row_number)
        sure = "" if swing.pairing_probability is None else _percent(swing.pairing_probability)
        clips = _name_clips(swing)
        line = f"{swing.order:>5}  {row:>3}  {_time(matched, swing):<9}  {sure:>4}  {clips:<{_CLIPS_WIDTH}}  "
        say(line + _say_shortly(matched, swing))
    for text in (*tell_clocks(matched.matching), *matched.notes):
        say(text)
    for question in matched.questions:
        say(f"Question: {question}")


def explain_swing(matched: MatchedLesson, order: int) -> None:
    """Print all evidence for one swing.

    Raises
    ------
    BadInputError
        When the lesson has no such swing.
    """
    swing = next((s for s in matched.swings if s.order == order), None)
    if swing is None:
        raise BadInputError(f"There is no swing {order}; this lesson has {len(matched.swings)}.")
    say(f"Swing {order}: {say_why(matched, swing)}")
    say(f"  You: {_coach_said(swing)}")
    for clip in swing.clips:
        say(f"  {clip.original_name}: {_tell_sound(clip)}")
    evidence = _evidence(matched, swing)
    if evidence is not None and evidence.clock is not None:
        for text in tell_clocks(matched.matching):
            say(f"  Clocks: {text}")
        at = as_datetime(evidence.clock.to_device(evidence.strike_s))
        what = "strike" if any(clip.strike_s is not None for clip in swing.clips) else "swing"
        say(f"  By the device's clock the {what} was at {at:%H:%M:%S.%f}"[:-5] + _within(evidence))
        _show_candidates(matched, swing, evidence)
    elif swing.clips:
        say("  Clocks: nothing is sure of how the camera's clock stands to the device's.")
    if swing.shot is not None:
        say(f"  Row {swing.shot.row_number}: {_tell_row(swing.shot)}")
        _show_claims(matched, swing, swing.shot)


def say_why(matched: MatchedLesson, swing: Swing) -> str:
    """The reason for what a swing has, in a sentence."""
    ids = {clip.id for clip in swing.clips}
    for pair in matched.matching.pairs:
        if ids & set(pair.clip_ids):
            return pair.why
    for question in matched.matching.questions:
        if ids & set(question.clip_ids) or (swing.shot is not None and question.row_id == swing.shot.id):
            return f"a question. {question.text}"
    for group, reason in matched.matching.unmatched_groups:
        if ids & {moment.clip_id for moment in group}:
            return reason
    for row, reason in matched.matching.unmatched_rows:
        if swing.shot is not None and row.row_id == swing.shot.id:
            return reason
    return "nothing to pair."


def _say_shortly(matched: MatchedLesson, swing: Swing) -> str:
    if swing.pairing_source == "coach":
        return "as you said"
    ids = {clip.id for clip in swing.clips}
    asked = (
        ids & set(q.clip_ids) or (swing.shot is not None and q.row_id == swing.shot.id)
        for q in matched.matching.questions
    )
    if any(asked):
        return "question, see below"
    is_heard = any(clip.strike_s is not None for clip in swing.clips)
    if swing.shot is not None and swing.clips:
        evidence = _evidence(matched, swing)
        apart = (
            next((c.residual_s for c in evidence.candidates if c.row_id == swing.shot.id), None) if evidence else None
        )
        what = "strike" if is_heard else "clip, no strike heard,"
        return f"{what} {abs(apart):.1f} s from row" if apart is not None else what
    if swing.clips:
        return "strike heard, no row" if is_heard else "no strike heard, no row"
    return "no clip at its time"


def _coach_said(swing: Swing) -> str:
    if swing.pairing_source != "coach":
        return "nothing said."
    return "no row." if swing.shot is None else f"row {swing.shot.row_number}."


def _tell_sound(clip: Clip) -> str:
    filmed = "it does not say when it was filmed"
    if clip.captured_at is not None:
        filmed = (
            f"filmed from {clip.captured_at:%H:%M:%S} on by the camera's clock (to {clip.captured_resolution_s:g} s)"
        )
    if clip.strike_s is None:
        heard = "no strike heard"
    else:
        heard = f"strike heard at {clip.strike_s:.3f} s of the file"
        sure = [p for time_s, p in clip.strikes if abs(time_s - clip.strike_s) < 0.001]
        heard += f", {_percent(sure[0])} sure" if sure else ""
    others = [(t, p) for t, p in clip.strikes if clip.strike_s is None or abs(t - clip.strike_s) >= 0.001]
    rivals = ", ".join(f"{t:.3f} s ({_percent(p)})" for t, p in sorted(others, key=lambda s: -s[1])[:3] if p >= 0.01)
    return f"{filmed}; {heard}{f'; other sharp sounds at {rivals}' if rivals else ''}."


def _within(evidence: Evidence) -> str:
    struck = "" if evidence.struck > 0.995 else f"; that a ball was struck: {_percent(evidence.struck)}"
    return f" (± {evidence.strike_width_s / 2:.1f} s){struck}."


def _show_candidates(matched: MatchedLesson, swing: Swing, evidence: Evidence) -> None:
    shots = {s.shot.id: s.shot for s in matched.swings if s.shot is not None}
    if swing.pairing_source == "coach":
        say("  What the clocks alone would say:")
    for candidate in evidence.candidates:
        shot = shots.get(candidate.row_id)
        name = "a row set aside" if shot is None else f"row {shot.row_number}"
        late = "later" if candidate.residual_s >= 0 else "earlier"
        apart = f"clip {abs(candidate.residual_s):.2f} s {late} than the middle of the row's time"
        say(f"  {_percent(candidate.probability):>4} {name}: {apart}.")
    if swing.pairing_source != "coach":
        say(f"  {_percent(max(0.0, 1 - sum(c.probability for c in evidence.candidates))):>4} no row, or another.")
    elif not evidence.candidates:
        say("       no row.")


def _tell_row(shot: Shot) -> str:
    if shot.struck_at is None:
        return f"{shot.table} gives no time for it."
    return f"struck at {shot.struck_at:%H:%M:%S} by the device's clock (to {shot.time_resolution_s:g} s), {shot.table}."


def _show_claims(matched: MatchedLesson, swing: Swing, shot: Shot) -> None:
    for other in matched.swings:
        evidence = _evidence(matched, other)
        if other is swing or evidence is None:
            continue
        for candidate in evidence.candidates:
            if candidate.row_id == shot.id:
                say(f"  Swing {other.order} may have row {shot.row_number} too: {_percent(candidate.probability)}.")


def _evidence(matched: MatchedLesson, swing: Swing) -> Evidence | None:
    found = (matched.matching.evidence.get(clip.id) for clip in swing.clips)
    return next((evidence for evidence in found if evidence is not None), None)


def _time(matched: MatchedLesson, swing: Swing) -> str:
    if swing.shot is not None and swing.shot.struck_at is not None:
        return f"{swing.shot.struck_at:%H:%M:%S}"
    evidence = _evidence(matched, swing)
    if evidence is None or evidence.clock is None:
        return ""
    return f"~{as_datetime(evidence.clock.to_device(evidence.strike_s)):%H:%M:%S}"


def _name_clips(swing: Swing) -> str:
    kind = "" if swing.kind is SwingKind.SHOT else f"  ({swing.kind.value})"
    if not swing.clips:
        return f"no clip{kind}"
    more = f" +{len(swing.clips) - 1}" if len(swing.clips) > 1 else ""
    name = swing.clips[0].original_name
    room = _CLIPS_WIDTH - len(more) - len(kind)
    if len(name) > room:
        name = f"{name[: room // 2 - 1]}…{name[len(name) - (room - room // 2) :]}"
    return f"{name}{more}{kind}"


def _percent(probability: float) -> str:
    # 100 % is kept for what the coach said
    return f"{probability:.0%}" if probability >= 1.0 else f"{min(probability, 0.99):.0%}"
