"""The table that ``match`` prints: what was paired and how sure it is, a line for each swing, 80 columns wide."""

from collections.abc import Sequence

from review.cli.screen import say
from review.cli.wrapping import fill
from review.jobs.pairing.clock_moments import as_datetime
from review.jobs.pairing.match_notes import tell_clocks
from review.jobs.pairing.matching import MatchedLesson
from review.lesson import Batch, Swing, SwingKind
from review.sync import Evidence

_CLIP_WIDTH = 19
_NONE = "-"


def show_matching(matched: MatchedLesson, batches: Sequence[Batch]) -> None:
    """Print the swings in order with what was paired, then clocks, notes and what is open.

    Parameters
    ----------
    batches : those of the lesson, for their numbers.
    """
    numbers = {batch.id: str(batch.number) for batch in batches}
    say(f"swing  batch  row  {'struck at':<14}  {'clip':<{_CLIP_WIDTH}}  how sure")
    for swing in matched.swings:
        row = _NONE if swing.shot is None else str(swing.shot.row_number)
        batch = numbers.get(swing.batch_id or "", _NONE)
        clip = f"{_name_clip(swing):<{_CLIP_WIDTH}}"
        line = f"{swing.order:>5}  {batch:>5}  {row:>3}  {_time(matched, swing):<14}  {clip}"
        say(f"{line}  {_say_shortly(matched, swing)}")
    if any(swing.shot is None and swing.clips for swing in matched.swings):
        say(fill("Row \"-\": the table has none for that swing; its time is the clip's, told by the device's clock."))
    for text in (*tell_clocks(matched.matching, is_exact=False), *matched.notes):
        say(fill(text, "  "))
    for question in matched.questions:
        say(fill(f"Question: {question}", "  "))


def find_evidence(matched: MatchedLesson, swing: Swing) -> Evidence | None:
    """What the clocks say of a swing, None when they say nothing."""
    found = (matched.matching.evidence.get(clip.id) for clip in swing.clips)
    return next((evidence for evidence in found if evidence is not None), None)


def say_percent(probability: float) -> str:
    """'97%'; 100 % is kept for what the coach said."""
    return f"{probability:.0%}" if probability >= 1.0 else f"{min(probability, 0.99):.0%}"


def _say_shortly(matched: MatchedLesson, swing: Swing) -> str:
    said = [] if swing.kind is SwingKind.SHOT else [swing.kind.value]
    return ", ".join((*said, *_reasons(matched, swing)))


def _reasons(matched: MatchedLesson, swing: Swing) -> list[str]:
    if swing.pairing_source == "coach":
        return ["as you said"]
    ids = {clip.id for clip in swing.clips}
    is_asked = any(
        ids & set(question.clip_ids) or (swing.shot is not None and question.row_id == swing.shot.id)
        for question in matched.matching.questions
    )
    if is_asked:
        return ["question below"]
    if not swing.clips:
        return ["no clip"]
    is_heard = any(clip.strike_s is not None for clip in swing.clips)
    if swing.shot is None:
        return ["no row"] if swing.kind is not SwingKind.SHOT else ["struck, no row" if is_heard else "no strike heard"]
    sure = [] if swing.pairing_probability is None else [say_percent(swing.pairing_probability)]
    evidence = find_evidence(matched, swing)
    candidates = () if evidence is None else evidence.candidates
    apart_s = next((abs(c.residual_s) for c in candidates if c.row_id == swing.shot.id), None)
    if not is_heard:
        return [*sure, "no strike heard"]
    return sure if apart_s is None else [*sure, f"{apart_s:.1f} s apart"]


def _time(matched: MatchedLesson, swing: Swing) -> str:
    if swing.shot is not None and swing.shot.struck_at is not None:
        return f"{swing.shot.struck_at:%H:%M:%S}"
    evidence = find_evidence(matched, swing)
    if evidence is None or evidence.clock is None:
        return ""
    return f"about {as_datetime(evidence.clock.to_device(evidence.strike_s)):%H:%M:%S}"


def _name_clip(swing: Swing) -> str:
    if not swing.clips:
        return _NONE
    more = f" +{len(swing.clips) - 1}" if len(swing.clips) > 1 else ""
    name = swing.clips[0].original_name.rpartition(".")[0] or swing.clips[0].original_name
    room = _CLIP_WIDTH - len(more)
    if len(name) > room:
        name = f"{name[: room // 2 - 1]}…{name[len(name) - (room - room // 2) :]}"
    return f"{name}{more}"
