"""Matches what arrived, files it into batches, keeps it, and tells what became of it."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from datetime import datetime

from review.jobs.live.arrival_pairs import pair_by_arrival
from review.jobs.live.desk import Desk
from review.jobs.live.events import Asked, ClipArrived, Filed, Paired, RowArrived
from review.jobs.live.filing import find_batches, find_device_ahead, find_moment, place_clips, place_rows
from review.jobs.pairing.matching import MatchedLesson
from review.jobs.pairing.rematching import apply_said, join_rows, match_known, said_pairs
from review.lesson import Lesson, Shot, Swing
from review.sync import Question

_EARLIER = 20
"""So many swings of the lesson before tell the clocks to the next."""
_ASKED_FROM = 6
"""Swings and rows a lesson has before the coach is asked: until then more balls answer most questions."""
_REFUSED_FROM = 10
"""So many of both before a table is said not to belong to the clips: fewer may miss each other by chance."""


class Following:
    """The lesson as last matched, and what was told of it.

    ``changed`` is called with the lesson's id and each swing that has other or new clips, whoever let it be matched.
    """

    def __init__(self, desk: Desk, changed: Callable[[str, Swing], None]) -> None:
        self._desk = desk
        self._changed = changed
        self._told_likely: set[tuple[str, str]] = set()
        self._asked: set[tuple[tuple[str, ...], str]] = set()
        self.open_questions: tuple[Question, ...] = ()

    def match(
        self,
        lesson_id: str,
        corrections: Mapping[str, str | None] | None = None,
        undone: Sequence[str] = (),
    ) -> None:
        """Match a lesson anew, keep it, tell what changed.

        ``corrections`` and ``undone`` are as for ``match_known``.
        """
        desk = self._desk
        library = desk.library
        lesson = library.lesson(lesson_id)
        before = library.swings(lesson_id)
        with library.transaction():
            earlier = self._earlier_swings(lesson_id)
            matched = match_known(library, lesson, corrections, undone, joins_arrivals=False, earlier=earlier)
            swings = self._file(lesson, matched, before)
            library.replace_swings(lesson_id, swings)
        desk.to_match.discard(lesson_id)
        matched = replace(matched, swings=swings)
        if matched.matching.refused and _count_balls(swings) >= _REFUSED_FROM:
            desk.note_once(f"The table does not seem to belong to these clips: {matched.matching.refused}")
        # a clip that took another's place hangs on its swing already
        clips_before = {swing.id: {clip.id for clip in swing.clips} - desk.new_clips for swing in before}
        self._tell_changes(lesson_id, before, matched)
        self._tell_questions(lesson_id, matched)
        for swing in swings:
            if swing.clips and {clip.id for clip in swing.clips} != clips_before.get(swing.id):
                self._changed(lesson_id, swing)

    def _earlier_swings(self, lesson_id: str) -> tuple[Swing, ...]:
        """The latest swings of the lesson before with the same cameras and table."""
        lives = [*self._desk.lessons_of_the_day()]
        own = next((live for live in lives if live.lesson_id == lesson_id), None)
        if own is None:
            return ()
        watched = own.watched
        before = [
            live
            for live in lives
            if live.began_at < own.began_at
            and (live.watched.folders, live.watched.cameras, live.watched.table)
            == (watched.folders, watched.cameras, watched.table)
        ]
        paired = [s for live in before[-1:] for s in self._desk.library.swings(live.lesson_id) if s.shot and s.clips]
        return tuple(paired[-_EARLIER:])

    def _file(self, lesson: Lesson, matched: MatchedLesson, before: Sequence[Swing]) -> tuple[Swing, ...]:
        """Number the swings as they happened, and put each into the batch whose key was pressed before it."""
        library = self._desk.library
        clips = place_clips(self._desk.arrived_clips())
        offset_s = matched.clock_offset_s
        rows = place_rows([*self._desk.arrived_rows()], find_device_ahead(clips, offset_s))
        moments = {**rows.at, **clips.at}
        swings = matched.swings
        if offset_s is None:
            said_rows = [one for one in library.said(lesson.id) if one.what == "row"]
            held = {one.item: one.value for one in said_rows}
            held |= {c.id: s.shot.id for s in before if s.shot and s.pairing_source != "coach" for c in s.clips}
            decided = said_pairs(swings)
            together = pair_by_arrival(swings, moments, decided, held)
            kept = {one.item for one in together} | set(decided)
            library.say(lesson.id, [*together, *(replace(one, value="") for one in said_rows if one.item not in kept)])
            swings = join_rows(swings, together)
        found = find_batches(swings, moments, lesson.batches, library.said(lesson.id))
        library.say(lesson.id, found)
        said = library.said(lesson.id)
        # as long as the camera's and the device's clocks are not known against each other, this computer's orders them
        ordered = sorted(swings, key=lambda swing: find_moment(swing, moments) or datetime.max)
        return tuple(
            replace(apply_said(swing, said, lesson.batches), order=i) for i, swing in enumerate(ordered, start=1)
        )

    def _tell_changes(self, lesson_id: str, before: Sequence[Swing], matched: MatchedLesson) -> None:
        desk, swings = self._desk, matched.swings
        old = {swing.id: swing for swing in before}
        of_clip = {clip.id: s for s in before if s.shot is not None for clip in s.clips}
        for swing in swings:
            was = old.get(swing.id)
            for clip in swing.clips:
                if clip.id in desk.new_clips:
                    desk.new_clips.discard(clip.id)
                    desk.tell(ClipArrived(lesson_id, clip, swing))
            had = next((of_clip[clip.id] for clip in swing.clips if clip.id in of_clip), None)
            row_before = None if had is None or had.shot is None else had.shot
            if had is not None and row_before is not None and (swing.shot is None or swing.shot.id != row_before.id):
                is_by_coach = "coach" in (had.pairing_source, swing.pairing_source)
                desk.note(_tell_other_row(swing, row_before, is_by_coach, matched.clock_offset_s is not None))
            if swing.shot is not None:
                is_new = swing.shot.id in desk.new_rows
                if swing.clips and (is_new or row_before is None or swing.shot.id != row_before.id):
                    desk.tell(Paired(lesson_id, swing, swing.shot))
                elif not swing.clips and is_new:
                    desk.tell(RowArrived(lesson_id, swing.shot, swing))
            if was is not None and (was.batch_id, was.kind) != (swing.batch_id, swing.kind):
                desk.tell(Filed(lesson_id, swing))
        desk.new_rows.difference_update(swing.shot.id for swing in swings if swing.shot is not None)

    def _tell_questions(self, lesson_id: str, matched: MatchedLesson) -> None:
        swing_of = {clip.id: swing for swing in matched.swings for clip in swing.clips}
        # a row that has a clip is offered to no other
        shots = {swing.shot.id: swing.shot for swing in matched.swings if swing.shot is not None and not swing.clips}
        questions = tuple(
            q for q in matched.matching.questions if swing_of[q.clip_ids[0]].shot is None and q.row_id in shots
        )
        live = self._desk.live
        is_over = lesson_id != live.lesson_id or live.ended_at is not None
        is_asked = is_over or _count_balls(matched.swings) >= _ASKED_FROM
        if lesson_id == live.lesson_id:
            self.open_questions = questions if is_asked else ()
        self._tell_settled(matched, questions)
        for question in questions:
            swing, shot = swing_of[question.clip_ids[0]], shots[question.row_id]
            if is_asked and (question.clip_ids, question.row_id) not in self._asked:
                self._asked.add((question.clip_ids, question.row_id))
                self._desk.tell(Asked(lesson_id, swing, shot, question.text))
            elif not is_asked and (swing.id, shot.id) not in self._told_likely:
                self._told_likely.add((swing.id, shot.id))
                self._desk.tell(Paired(lesson_id, swing, shot, is_sure=False))

    def _tell_settled(self, matched: MatchedLesson, questions: Sequence[Question]) -> None:
        """Say which swings of which something was asked are clear now without an answer."""
        swing_of = {clip.id: swing for swing in matched.swings for clip in swing.clips}
        still = {question.clip_ids[0] for question in questions}
        settled: dict[str, str] = {}
        for clip_ids, row_id in tuple(self._asked):
            swing = swing_of.get(clip_ids[0])
            if swing is None or swing.pairing_source == "coach" or clip_ids[0] in still:
                continue
            if swing.shot is not None or matched.clock_offset_s is not None:
                self._asked.discard((clip_ids, row_id))
                name = swing.clips[0].original_name
                settled[swing.id] = f"swing {swing.order} ({name}) has {_say_row(swing.shot)}"
        if settled:
            self._desk.note(f"Settled without an answer: {'; '.join(sorted(settled.values()))}.")


def _count_balls(swings: Sequence[Swing]) -> int:
    """Swings with a clip or rows, whichever are fewer: so much there is to go by."""
    return min(sum(bool(swing.clips) for swing in swings), sum(swing.shot is not None for swing in swings))


def _say_row(shot: Shot | None) -> str:
    return "no row" if shot is None else f"row {shot.row_number}"


def _tell_other_row(swing: Swing, before: Shot, is_by_coach: bool, is_by_clocks: bool) -> str:
    """Say that a clip has another row than it had, or none, and what to do."""
    clip = swing.clips[0].original_name
    text = f"swing {swing.order} ({clip}) has {_say_row(swing.shot)}, no longer {_say_row(before)}."
    if is_by_coach:
        return f"As you said, {text}"
    if is_by_clocks:
        return f"The clocks are clearer now: {text} Nothing need be done."
    again = f"lesson-review match --pair {swing.order}={before.row_number}"
    if swing.shot is None:
        return (
            f"With what came since it is not clear whether row {before.row_number} belongs to swing {swing.order} "
            f"({clip}): more balls tell. If it does, you can say so at the end: {again}."
        )
    return f"{text[0].upper()}{text[1:]} If it was right as it was, say so at the end: {again}."
