"""What ``match --explain`` prints: all that speaks for and against the row of one swing, in sentences."""

from review.cli.camera_words import name_cameras
from review.cli.match.screen import find_evidence, say_percent
from review.cli.screen import say
from review.cli.wrapping import fill
from review.errors import BadInputError
from review.jobs.pairing.clock_moments import as_datetime
from review.jobs.pairing.match_notes import tell_clocks
from review.jobs.pairing.matching import MatchedLesson
from review.lesson import Clip, Shot, Swing
from review.sync import Evidence


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
    _say(f"{_say_what(swing)}: {say_why(matched, swing)}", "")
    cameras = name_cameras(clip for one in matched.swings for clip in one.clips)
    for clip in swing.clips:
        _say(_tell_clip(clip, cameras[clip.camera] if clip.camera or clip.view else ""))
    evidence = find_evidence(matched, swing)
    if evidence is not None and evidence.clock is not None:
        for text in tell_clocks(matched.matching):
            _say(text)
        what = "strike" if any(clip.strike_s is not None for clip in swing.clips) else "swing"
        at = as_datetime(evidence.clock.to_device(evidence.strike_s))
        within = f"give or take {evidence.strike_width_s / 2:.1f} s"
        _say(f"So by the device's clock the {what} was at {f'{at:%H:%M:%S.%f}'[:-5]}, {within}.{_say_struck(evidence)}")
    elif swing.clips:
        _say("How the camera's clock stands to the device's is not known yet.")
    if swing.shot is not None:
        _say(_tell_row(swing.shot))
    if evidence is not None and evidence.clock is not None:
        _show_candidates(matched, swing, evidence)
    if swing.shot is not None:
        _show_claims(matched, swing, swing.shot)
    _say(_coach_said(swing))


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


def _say_what(swing: Swing) -> str:
    if swing.shot is None:
        return f"Swing {swing.order} has no row of the table"
    has_no_clip = "" if swing.clips else ", but no clip"
    return f"Swing {swing.order} has row {swing.shot.row_number} of the table{has_no_clip}"


def _say(text: str, indent: str = "  ") -> None:
    say(fill(f"{indent}{text}", "  " + indent))


def _coach_said(swing: Swing) -> str:
    if swing.pairing_source != "coach":
        return "You have said nothing about it."
    return "You said: no row." if swing.shot is None else f"You said: row {swing.shot.row_number}."


def _tell_clip(clip: Clip, camera: str) -> str:
    filmed = "does not say when it was filmed"
    if clip.captured_at is not None:
        filmed = (
            f"was filmed from {clip.captured_at:%H:%M:%S} on by the camera's clock "
            f"(known to {clip.captured_resolution_s:g} s)"
        )
    heard = "No strike is heard in it"
    if clip.strike_s is not None:
        sure = [p for time_s, p in clip.strikes if abs(time_s - clip.strike_s) < 0.001]
        heard = f"A strike is heard {clip.strike_s:.3f} s into it" + (f" ({say_percent(sure[0])} sure)" if sure else "")
    others = [(t, p) for t, p in clip.strikes if clip.strike_s is None or abs(t - clip.strike_s) >= 0.001]
    rivals = [f"{t:.3f} s ({say_percent(p)})" for t, p in sorted(others, key=lambda s: -s[1])[:3] if p >= 0.01]
    or_at = f"; it could also be the sound at {', '.join(rivals)}" if rivals else ""
    named = f"{clip.original_name} ({camera})" if camera else clip.original_name
    return f"{named} {filmed}. {heard}{or_at}."


def _say_struck(evidence: Evidence) -> str:
    return "" if evidence.struck > 0.995 else f" That a ball was struck at all: {say_percent(evidence.struck)}."


def _show_candidates(matched: MatchedLesson, swing: Swing, evidence: Evidence) -> None:
    shots = {s.shot.id: s.shot for s in matched.swings if s.shot is not None}
    alone = "the clocks alone" if swing.pairing_source == "coach" else "the clocks"
    _say(f"What {alone} say:")
    for candidate in evidence.candidates:
        shot = shots.get(candidate.row_id)
        name = "a row set aside" if shot is None else f"row {shot.row_number}"
        late = "later" if candidate.residual_s >= 0 else "earlier"
        apart = f"the clip is {abs(candidate.residual_s):.2f} s {late} than the row"
        _say(f"{say_percent(candidate.probability):>4} {name} ({apart})", "    ")
    rest = max(0.0, 1 - sum(candidate.probability for candidate in evidence.candidates))
    _say(f"{say_percent(rest):>4} {'no row, or another' if evidence.candidates else 'no row'}", "    ")


def _tell_row(shot: Shot) -> str:
    row = f"Row {shot.row_number} of {shot.table}"
    if shot.struck_at is None:
        return f"{row} has no time."
    to = "to the second" if shot.time_resolution_s == 1 else f"known to {shot.time_resolution_s:g} s"
    return f"{row} was struck at {shot.struck_at:%H:%M:%S} by the device's clock ({to})."


def _show_claims(matched: MatchedLesson, swing: Swing, shot: Shot) -> None:
    for other in matched.swings:
        evidence = find_evidence(matched, other)
        if other is swing or evidence is None:
            continue
        for candidate in evidence.candidates:
            if candidate.row_id == shot.id:
                chance = say_percent(candidate.probability)
                _say(f"Swing {other.order} could have row {shot.row_number} too: {chance}.")
