"""Builds the swings of a lesson: which clips, which row of the table and which trace belong together."""

import uuid
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from review.lesson import Batch, Clip, Shot, Swing, SwingKind, Trace
from review.pressure import PressureRecord, cut_trace
from review.sync import ClipMoment, Matching, RowMoment, group_clips, match_by_clock, match_by_order

_SPACE = uuid.UUID("6f1b1c1e-5d0b-4c3c-9a57-0f6f6b1f7c11")
_EPOCH = datetime(2000, 1, 1)


@dataclass(frozen=True)
class MatchedLesson:
    """The swings of a lesson in order, and how sure the pairing is.

    ``clock_offset_s`` is camera minus device, None when there was nothing to compare.
    """

    swings: tuple[Swing, ...]
    matching: Matching
    clock_offset_s: float | None

    @property
    def questions(self) -> tuple[str, ...]:
        """What the coach has to answer, and how."""
        swing_of = {clip.id: swing for swing in self.swings for clip in swing.clips}
        row_of = {swing.shot.id: swing.shot.row_number for swing in self.swings if swing.shot is not None}
        texts = []
        for question in self.matching.questions:
            swing, row = swing_of[question.clip_ids[0]], row_of.get(question.row_id, 0)
            texts.append(
                f"Do swing {swing.order} ({swing.clips[0].original_name}) and row {row} of the table belong together? "
                f"{question.text} Answer: lesson-review match --pair {swing.order}={row}, or --pair {swing.order}=none."
            )
        return tuple(texts)


def match_lesson(
    clips: Sequence[Clip],
    shots: Sequence[Shot],
    batches: Sequence[Batch],
    records: Sequence[PressureRecord] = (),
    fixed: Mapping[str, str | None] | None = None,
    kinds: Mapping[str, SwingKind] | None = None,
) -> MatchedLesson:
    """Pair clips, rows and traces of one lesson.

    Parameters
    ----------
    clips : with capture time, duration and the strike heard.
    shots : rows of the device's table.
    batches : their start times decide to which batch a swing belongs.
    records : pressure records on the device's clock.
    fixed : the coach's own pairings, clip id to shot id (None = no row); they always win.
    kinds : what the coach said a swing is, by clip id.
    """
    groups = group_clips([_moment(clip) for clip in clips])
    rows = [RowMoment(shot.id, _seconds(shot.struck_at), shot.time_resolution_s, i) for i, shot in enumerate(shots)]
    has_times = any(m.start_clock_s is not None for g in groups for m in g) and any(r.clock_s is not None for r in rows)
    if has_times or not rows or not groups:
        matching = match_by_clock(groups, rows, fixed=fixed or {})
    else:
        matching = match_by_order(groups, rows, fixed=fixed or {})
    clip_by_id = {clip.id: clip for clip in clips}
    shot_by_id = {shot.id: shot for shot in shots}
    row_of = {clip_id: pair for pair in matching.pairs for clip_id in pair.clip_ids}

    drafts: list[_Draft] = []
    for group in groups:
        members = tuple(clip_by_id[m.clip_id] for m in group)
        pair = row_of.get(members[0].id)
        drafts.append(
            _Draft(
                clips=members,
                shot=None if pair is None else shot_by_id[pair.row_id],
                at=_device_time(group, None if pair is None else shot_by_id[pair.row_id], matching.offset_s),
                is_heard=any(m.heard for m in group),
                probability=None if pair is None else pair.probability,
                is_coach=any(m.clip_id in (fixed or {}) for m in group),
            )
        )
    paired = {draft.shot.id for draft in drafts if draft.shot is not None}
    drafts += [_Draft((), shot, shot.struck_at, True, None, False) for shot in shots if shot.id not in paired]
    drafts.sort(key=lambda draft: (draft.at is None, draft.at or _EPOCH, draft.shot.row_number if draft.shot else 0))
    has_sound = any(draft.is_heard for draft in drafts if draft.clips)
    source = "clock" if has_times else "order"
    swings = tuple(
        _as_swing(draft, i, batches, records, source, has_sound, kinds or {}) for i, draft in enumerate(drafts, start=1)
    )
    return MatchedLesson(swings, matching, matching.offset_s)


@dataclass(frozen=True)
class _Draft:
    clips: tuple[Clip, ...]
    shot: Shot | None
    at: datetime | None
    is_heard: bool
    probability: float | None
    is_coach: bool


def _as_swing(
    draft: _Draft,
    order: int,
    batches: Sequence[Batch],
    records: Sequence[PressureRecord],
    source: str,
    has_sound: bool,
    kinds: Mapping[str, SwingKind],
) -> Swing:
    key = draft.clips[0].content if draft.clips else draft.shot.id if draft.shot else str(order)
    said = next((kinds[clip.id] for clip in draft.clips if clip.id in kinds), None)
    is_practice = draft.shot is None and has_sound and not draft.is_heard
    # batch ids carry the lesson: the same clip in another lesson is another swing
    swing_id = uuid.uuid5(_SPACE, f"{batches[0].id if batches else ''} {key}").hex
    return Swing(
        id=swing_id,
        order=order,
        kind=said or (SwingKind.PRACTICE if is_practice else SwingKind.SHOT),
        clips=draft.clips,
        shot=draft.shot,
        trace=None if is_practice else _trace_at(draft.at, records, swing_id),
        batch_id=_batch_at(draft.at, batches),
        pairing_probability=draft.probability,
        pairing_source="coach" if draft.is_coach else "" if draft.probability is None else source,
    )


def _moment(clip: Clip) -> ClipMoment:
    start = _seconds(clip.captured_at)
    return ClipMoment(
        clip_id=clip.id,
        camera=clip.camera,
        strike_clock_s=None if start is None or clip.strike_s is None else start + clip.strike_s * clip.time_scale,
        start_clock_s=None if start is None else start + clip.begin_s * clip.time_scale,
        end_clock_s=None if start is None else start + (clip.begin_s + clip.duration_s) * clip.time_scale,
        resolution_s=clip.captured_resolution_s,
        heard=clip.strike_s is not None,
    )


def _seconds(at: datetime | None) -> float | None:
    return None if at is None else (at - _EPOCH).total_seconds()


def _device_time(group: Sequence[ClipMoment], shot: Shot | None, offset_s: float | None) -> datetime | None:
    """When the swing happened by the device's clock, as well as the clocks tell."""
    if shot is not None and shot.struck_at is not None:
        return shot.struck_at
    for moment in group:
        clock = moment.strike_clock_s
        if clock is None and moment.start_clock_s is not None and moment.end_clock_s is not None:
            clock = (moment.start_clock_s + moment.end_clock_s) / 2
        if clock is not None:
            return _EPOCH + timedelta(seconds=clock - (offset_s or 0.0))
    return None


def _batch_at(at: datetime | None, batches: Sequence[Batch]) -> str | None:
    """The last batch that had begun by then; a lesson without start times has one batch or none."""
    begun = [b for b in batches if b.started_at is not None and at is not None and b.started_at <= at]
    if begun:
        return max(begun, key=lambda b: b.started_at or _EPOCH).id
    return batches[0].id if len(batches) == 1 else None


def _trace_at(at: datetime | None, records: Sequence[PressureRecord], swing_id: str) -> Trace | None:
    if at is None:
        return None
    for record in records:
        trace = cut_trace(record, at, id=f"{swing_id}-trace")
        if trace is not None:
            return trace
    return None
