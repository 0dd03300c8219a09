"""Builds the swings of a lesson: which clips, which row of the table and which trace belong together."""

import uuid
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from review.errors import BadInputError
from review.jobs.pairing.clock_moments import as_datetime, as_moment, as_row_moments, as_seconds, split_repeated
from review.jobs.pairing.match_notes import tell_matching
from review.jobs.pairing.shot_pieces import place_pieces
from review.jobs.pairing.trace_fit import find_late, say_misfit, say_other_day, tell_fit
from review.lesson import Batch, Clip, Shot, Swing, SwingKind, Trace
from review.pressure import PressureRecord, cut_trace
from review.sync import (
    ClipMoment,
    Clock,
    Matching,
    RowMoment,
    align_cameras,
    build_row_intervals,
    find_trace_clock,
    group_clips,
    match_rows,
)

_SPACE = uuid.UUID("6f1b1c1e-5d0b-4c3c-9a57-0f6f6b1f7c11")
_LAST = datetime.max


@dataclass(frozen=True)
class MatchedLesson:
    """The swings of a lesson in order, and how sure the pairing is.

    ``clock_offset_s`` is camera minus device, None when there was nothing to compare. ``repeated`` are rows that say
    again what another row says; they hang on no swing. ``notes`` are for the coach. ``refused`` says why recordings of
    the pressure hang on no swing.
    """

    swings: tuple[Swing, ...]
    matching: Matching
    clock_offset_s: float | None
    repeated: tuple[Shot, ...] = ()
    notes: tuple[str, ...] = ()
    refused: tuple[str, ...] = ()

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
    numbers: Mapping[str, int] | None = None,
) -> MatchedLesson:
    """Pair clips, rows and traces of one lesson.

    Parameters
    ----------
    clips : with capture time, duration and the strike heard.
    shots : rows of the device's table.
    batches : their start times decide to which batch a swing belongs.
    records : pressure records, on the device's clock, one of their own, or none but a recording a shot.
    fixed : the coach's own pairings, clip id to shot id (None = no row); they always win.
    kinds : what the coach said a swing is, by clip id.
    numbers : the shot number that the table itself gives a row, by its id.
    """
    fixed = fixed or {}
    used, repeated = split_repeated(shots, {row_id for row_id in fixed.values() if row_id is not None})
    cameras = align_cameras([as_moment(clip) for clip in clips])
    groups = group_clips(cameras.moments)
    rows = as_row_moments(used)
    matching = match_rows(groups, rows, fixed)
    set_aside = {row.row_id for row, _ in matching.doubles}
    clip_by_id = {clip.id: clip for clip in clips}
    shot_by_id = {shot.id: shot for shot in used}
    row_by_id = {row.row_id: row for row in rows}
    pair_of = {clip_id: pair for pair in matching.pairs for clip_id in pair.clip_ids}

    drafts: list[_Draft] = []
    for group in groups:
        members = tuple(clip_by_id[m.clip_id] for m in group)
        pair = pair_of.get(members[0].id)
        drafts.append(
            _Draft(
                clips=members,
                shot=None if pair is None else shot_by_id[pair.row_id],
                at=_device_time(group, None if pair is None else row_by_id[pair.row_id], matching),
                is_heard=any(m.heard for m in group),
                probability=None if pair is None else pair.probability,
                is_coach=any(m.clip_id in fixed for m in group),
            )
        )
    busy = {draft.shot.id for draft in drafts if draft.shot is not None} | set_aside
    drafts += [
        _Draft((), shot, _row_time(row_by_id[shot.id], matching), True, None, False)
        for shot in used
        if shot.id not in busy
    ]
    drafts.sort(key=lambda draft: (draft.at is None, draft.at or _LAST, draft.shot.row_number if draft.shot else 0))
    has_sound = any(draft.is_heard for draft in drafts if draft.clips)
    source = "clock" if matching.evidence else "order"
    moments = [draft.at for draft in drafts if draft.at is not None]
    traces: list[tuple[PressureRecord, Clock | None]] = []
    refused: list[str] = []
    for record in (one for one in records if not one.shots):
        clock = None if say_other_day(record, moments) else _trace_clock(record, rows)
        if why := say_misfit(record, clock, moments):
            refused.append(why)
        else:
            traces.append((record, clock))
    of_row: dict[str, Trace] = {}
    notes = [*cameras.notes, *tell_matching(matching, shots, repeated, [clock for _, clock in traces])]
    first_table = [shot_by_id[row.row_id] for row in rows if row.table == rows[0].table and row.row_id not in set_aside]
    for record in records:
        if record.shots:
            try:
                placed = place_pieces(record, first_table, numbers or {})
            except BadInputError as error:
                refused.append(str(error))
                continue
            of_row.update(placed.traces)
            notes += placed.notes
    swings = tuple(
        _as_swing(draft, i, batches, traces, of_row, source, has_sound, kinds or {})
        for i, draft in enumerate(drafts, start=1)
    )
    struck = [d.at for d, s in zip(drafts, swings, strict=True) if d.at is not None and s.kind is SwingKind.SHOT]
    notes += [note for record, clock in traces for note in tell_fit(record, clock, moments, struck)]
    return MatchedLesson(swings, matching, matching.offset_s, repeated, tuple(notes), tuple(refused))


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
    traces: Sequence[tuple[PressureRecord, Clock | None]],
    of_row: Mapping[str, Trace],
    source: str,
    has_sound: bool,
    kinds: Mapping[str, SwingKind],
) -> Swing:
    key = draft.clips[0].content if draft.clips else draft.shot.id if draft.shot else str(order)
    said = next((kinds[clip.id] for clip in draft.clips if clip.id in kinds), None)
    is_practice = draft.shot is None and has_sound and not draft.is_heard
    # batch ids carry the lesson: the same clip in another lesson is another swing
    swing_id = uuid.uuid5(_SPACE, f"{batches[0].id if batches else ''} {key}").hex
    trace = _trace_at(draft.at, traces, swing_id)
    if draft.shot is not None and draft.shot.id in of_row:
        trace = replace(of_row[draft.shot.id], id=f"{swing_id}-trace")
    return Swing(
        id=swing_id,
        order=order,
        kind=said or (SwingKind.PRACTICE if is_practice else SwingKind.SHOT),
        clips=draft.clips,
        shot=draft.shot,
        trace=None if is_practice else trace,
        batch_id=_batch_at(draft.at, batches),
        pairing_probability=draft.probability,
        pairing_source="coach" if draft.is_coach else "" if draft.probability is None else source,
    )


def _device_time(group: Sequence[ClipMoment], row: RowMoment | None, matching: Matching) -> datetime | None:
    """When the swing happened by the first device's clock, as well as the clocks tell."""
    at = None if row is None else _row_time(row, matching)
    if at is not None:
        return at
    for moment in group:
        clock = moment.strike_clock_s
        if clock is None and moment.start_clock_s is not None and moment.end_clock_s is not None:
            clock = (moment.start_clock_s + moment.end_clock_s) / 2
        if clock is not None:
            return as_datetime(matching.find_device_time(group[0].clip_id, clock))
    return None


def _row_time(row: RowMoment, matching: Matching) -> datetime | None:
    """When a row was struck by the first device's clock."""
    if row.clock_s is None:
        return None
    bridge = matching.table_clocks.get(row.table)
    return as_datetime(row.clock_s if bridge is None else bridge.to_camera(row.clock_s))


def _batch_at(at: datetime | None, batches: Sequence[Batch]) -> str | None:
    """The last batch that had begun by then; a lesson without start times has one batch or none."""
    begun = [b for b in batches if b.started_at is not None and at is not None and b.started_at <= at]
    if begun:
        return max(begun, key=lambda b: b.started_at or datetime.min).id
    return batches[0].id if len(batches) == 1 else None


def _trace_clock(record: PressureRecord, rows: Sequence[RowMoment]) -> Clock | None:
    if record.started_at is None or not rows:
        return None
    first = [row for row in rows if row.table == rows[0].table]
    return find_trace_clock(record, as_seconds(record.started_at), build_row_intervals(first))


def _trace_at(
    at: datetime | None, traces: Sequence[tuple[PressureRecord, Clock | None]], swing_id: str
) -> Trace | None:
    """Cut the trace around a moment of the device's clock; the trace kept is on the device's clock."""
    if at is None:
        return None
    for record, clock in traces:
        late = find_late(clock, at)
        trace = cut_trace(record, at + late, id=f"{swing_id}-trace")
        if trace is not None:
            return replace(trace, started_at=trace.started_at - late)
    return None
