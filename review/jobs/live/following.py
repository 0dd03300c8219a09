"""Matches what arrived, files it into batches, keeps it, and tells what became of it."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from datetime import datetime

from review.jobs.live.arrival_pairs import pair_by_arrival
from review.jobs.live.desk import Desk
from review.jobs.live.events import Asked, ClipArrived, Filed, Paired, RowArrived
from review.jobs.live.filing import find_batches, find_moment, place_clips, place_rows
from review.jobs.matching import MatchedLesson
from review.jobs.rematching import apply_said, join_rows, match_known, said_pairs
from review.lesson import Lesson, Swing
from review.sync import Question

_ASKED_FROM = 6
"""Swings and rows a lesson has before the coach is asked: until then more balls answer most questions."""
_SAME_CLOCK_S = 30.0


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
            matched = match_known(library, lesson, corrections, undone, joins_arrivals=False)
            swings = self._file(lesson, matched)
            library.replace_swings(lesson_id, swings)
        desk.to_match.discard(lesson_id)
        matched = replace(matched, swings=swings)
        if matched.matching.refused:
            desk.note_once(f"The table does not seem to belong to these clips: {matched.matching.refused}")
        # a clip that took another's place hangs on its swing already
        clips_before = {swing.id: {clip.id for clip in swing.clips} - desk.new_clips for swing in before}
        self._tell_changes(lesson_id, before, swings)
        self._tell_questions(lesson_id, matched)
        for swing in swings:
            if swing.clips and {clip.id for clip in swing.clips} != clips_before.get(swing.id):
                self._changed(lesson_id, swing)

    def _file(self, lesson: Lesson, matched: MatchedLesson) -> tuple[Swing, ...]:
        """Number the swings as they happened, and put each into the batch whose key was pressed before it."""
        library = self._desk.library
        clips = place_clips(self._desk.arrived_clips())
        offset_s = matched.clock_offset_s
        ahead = [*(clips.cameras_ahead_s or {}).values()]
        least_ahead_s = None
        if offset_s is not None and ahead and max(ahead) - min(ahead) <= _SAME_CLOCK_S:
            # camera minus computer less camera minus device is device minus computer
            least_ahead_s = min(ahead) - offset_s
        rows = place_rows([*self._desk.arrived_rows()], least_ahead_s)
        moments = {**rows.at, **clips.at}
        swings = matched.swings
        if offset_s is None:
            together = pair_by_arrival(swings, moments, said_pairs(swings))
            known = {one.item for one in together}
            before = [one for one in library.said(lesson.id) if one.what == "row" and one.item not in known]
            library.say(lesson.id, [*together, *(replace(one, value="") for one in before)])
            swings = join_rows(swings, together)
        found = find_batches(swings, moments, lesson.batches, library.said(lesson.id))
        library.say(lesson.id, found)
        said = library.said(lesson.id)
        # as long as the camera's and the device's clocks are not known against each other, this computer's orders them
        ordered = sorted(swings, key=lambda swing: find_moment(swing, moments) or datetime.max)
        return tuple(
            replace(apply_said(swing, said, lesson.batches), order=i) for i, swing in enumerate(ordered, start=1)
        )

    def _tell_changes(self, lesson_id: str, before: Sequence[Swing], swings: Sequence[Swing]) -> None:
        desk = self._desk
        old = {swing.id: swing for swing in before}
        row_of_clip = {clip.id: s.shot.id for s in before if s.shot is not None for clip in s.clips}
        for swing in swings:
            was = old.get(swing.id)
            for clip in swing.clips:
                if clip.id in desk.new_clips:
                    desk.new_clips.discard(clip.id)
                    desk.tell(ClipArrived(lesson_id, clip, swing))
            row_before = next((row_of_clip[clip.id] for clip in swing.clips if clip.id in row_of_clip), None)
            if swing.shot is None:
                if row_before is not None:
                    desk.note(f"Swing {swing.order} is no longer paired with the row it had.")
            elif swing.clips and (swing.shot.id != row_before or swing.shot.id in desk.new_rows):
                desk.tell(Paired(lesson_id, swing, swing.shot))
            elif not swing.clips and swing.shot.id in desk.new_rows:
                desk.tell(RowArrived(lesson_id, swing.shot, swing))
            if was is not None and (was.batch_id, was.kind) != (swing.batch_id, swing.kind):
                desk.tell(Filed(lesson_id, swing))
        desk.new_rows.difference_update(swing.shot.id for swing in swings if swing.shot is not None)

    def _tell_questions(self, lesson_id: str, matched: MatchedLesson) -> None:
        swing_of = {clip.id: swing for swing in matched.swings for clip in swing.clips}
        shots = {swing.shot.id: swing.shot for swing in matched.swings if swing.shot is not None}
        questions = tuple(q for q in matched.matching.questions if swing_of[q.clip_ids[0]].shot is None)
        n_clips = sum(bool(swing.clips) for swing in matched.swings)
        live = self._desk.live
        is_over = lesson_id != live.lesson_id or live.ended_at is not None
        is_asked = is_over or min(n_clips, len(shots)) >= _ASKED_FROM
        if lesson_id == self._desk.live.lesson_id:
            self.open_questions = questions if is_asked else ()
        for question in questions:
            swing, shot = swing_of[question.clip_ids[0]], shots.get(question.row_id)
            if shot is None:
                continue
            if is_asked and (question.clip_ids, question.row_id) not in self._asked:
                self._asked.add((question.clip_ids, question.row_id))
                self._desk.tell(Asked(lesson_id, swing, shot, question.text))
            elif not is_asked and (swing.id, shot.id) not in self._told_likely:
                self._told_likely.add((swing.id, shot.id))
                self._desk.tell(Paired(lesson_id, swing, shot, is_sure=False))
