"""A lesson as it happens, whole: looks at folders and table, matches, measures behind, and takes the coach's keys.

One thread calls ``look`` a few times a second and the coach's actions in between; nothing here waits. Everything an
event tells of is in the library, so a run that ends at any moment is gone on with by a new session.
"""

import time
from collections.abc import Callable
from datetime import datetime
from pathlib import Path

from review.errors import BadInputError, MachineError
from review.jobs.live.beginning import may_measure
from review.jobs.live.coach import Coach
from review.jobs.live.desk import Desk
from review.jobs.live.events import LessonBegan, LessonEnded, Measured, Progressed, Tell
from review.jobs.live.following import Following
from review.jobs.live.idle_work import IdleWork
from review.jobs.live.intake import Intake
from review.jobs.live.row_intake import RowIntake
from review.jobs.live.table_watch import TableWatch
from review.jobs.live.watching import FolderWatch
from review.jobs.live.work_queue import Finished, WorkQueue
from review.jobs.live.worker import Order
from review.jobs.records import allows_now, note_missing_consent
from review.lesson import LiveLesson, Purpose, Swing
from review.library import Library
from review.pose import Effort
from review.shots import read_mapping

_IDLE_S = 60.0
"""So long after the last clip thorough measuring begins."""
_RETRY_S = 5.0
_CONSENT_EVERY_S = 2.0
_CONSENT = "With consent: Ctrl-C, then lesson-review live --pupil NAME --consent-by NAME --consent-for keep,measure."


class LiveSession:
    """Follows one lesson; use it from the thread that opened the library.

    Parameters
    ----------
    live : what ``begin_lesson`` gave; ``is_resumed`` whether it goes on from before.
    tell : called with every event.
    queue : where clips are measured; None = not at all.
    is_thorough : whether clips are measured thoroughly too, when there is time.
    """

    def __init__(
        self,
        library: Library,
        live: LiveLesson,
        tell: Tell,
        queue: WorkQueue | None = None,
        is_resumed: bool = False,
        is_thorough: bool = True,
        now: Callable[[], datetime] = datetime.now,
        clock_s: Callable[[], float] = time.monotonic,
    ) -> None:
        self._desk = Desk(library, live, tell, now)
        self._clock_s = clock_s
        self._measuring = queue
        lesson = library.lesson(live.lesson_id)
        watched = live.watched
        self._folders = FolderWatch(
            [Path(folder) for folder, _ in watched.folders], live.began_at, self._is_known, now, clock_s
        )
        self._intake = Intake(self._desk, self._folders)
        self._rows = None
        if watched.table:
            mapping = read_mapping(Path(watched.mapping)) if watched.mapping else None
            table = TableWatch(Path(watched.table), mapping, lesson.held_on, clock_s, library.folder)
            self._rows = RowIntake(self._desk, table)
        self._following = Following(self._desk, self._order)
        self.coach = Coach(self._desk, self._following)
        pupil = library.pupil(lesson.pupil_id)
        tell(LessonBegan(lesson, pupil, is_resumed))
        missing = note_missing_consent(pupil, lesson.held_on)
        self.is_consent_missing = bool(missing)
        for note in missing:
            self._desk.note(note)
        is_allowed = allows_now(pupil, Purpose.MEASURE, lesson.held_on)
        if not is_allowed and queue is not None:
            self._desk.note("So no body numbers are made in this lesson; clips and rows are paired all the same.")
        self._queue = queue if is_allowed else None
        self._ask_consent_at_s = clock_s() + _CONSENT_EVERY_S
        self._quiet_since_s = clock_s()
        self._retry_at_s = 0.0
        self._to_tell: list[Finished] = []
        self._idle_work = IdleWork(library, live.lesson_id, is_thorough)
        self._unmeasured = "" if is_allowed else pupil.name
        if is_resumed:
            self._resume()

    @property
    def is_over(self) -> bool:
        """Whether the coach ended the lesson."""
        return self._desk.live.ended_at is not None

    @property
    def is_settled(self) -> bool:
        """Whether nothing waits: every file is taken in, everything is measured."""
        is_told = not self._to_tell
        return is_told and not self._folders.n_waiting and not self._desk.to_match and not self.n_to_measure

    @property
    def n_arriving(self) -> int:
        """Files that are there and not taken in yet."""
        return self._folders.n_waiting

    @property
    def files_left(self) -> tuple[str, ...]:
        """Names of the files that could not be taken in so far."""
        return self._folders.names_left

    @property
    def n_to_measure(self) -> int:
        """Clips that wait to be measured or are being measured."""
        return 0 if self._queue is None or self._queue.is_paused else len(self._queue)

    @property
    def clips_to_measure(self) -> tuple[frozenset[str], frozenset[str]]:
        """Ids of the clips that are being measured, and of those that wait for it."""
        return (frozenset(), frozenset()) if self._queue is None or self._queue.is_paused else self._queue.clips

    def look(self) -> None:
        """Look once at everything: files, table, what has to be matched, what was measured."""
        self._try(self._intake.look)
        if self._rows is not None:
            self._try(self._rows.look)
        if self._clock_s() >= self._retry_at_s:
            self._try(self._match)
        if self._measuring is not None and self._clock_s() >= self._ask_consent_at_s:
            self._ask_consent_at_s = self._clock_s() + _CONSENT_EVERY_S
            self._try(self._heed_consent)
        if self._queue is not None:
            self._collect(self._queue)
        if self._clock_s() >= self._retry_at_s:
            self._try(self._tell_and_order)

    def end(self) -> None:
        """End the lesson: what is not clear yet is asked, and thorough measuring begins."""
        self.coach.end()
        swings = self._desk.library.swings(self._desk.live.lesson_id)
        self._desk.tell(LessonEnded(self._desk.live.lesson_id, len(swings)))

    def toggle_measuring(self) -> bool:
        """Stop measuring, or go on with it; return whether it goes on."""
        if self._queue is None:
            return False
        if self._queue.is_paused:
            self._queue.go_on()
        else:
            self._queue.pause()
        return not self._queue.is_paused

    def _resume(self) -> None:
        """Match what a run that was stopped had taken in but not matched, and measure what it had not measured."""
        desk = self._desk
        for live in desk.lessons_of_the_day():
            in_swings = {clip.id for swing in desk.library.swings(live.lesson_id) for clip in swing.clips}
            desk.new_clips.update({clip.id for clip in desk.library.clips(live.lesson_id)} - in_swings)
        desk.to_match.add(desk.live.lesson_id)
        self._try(self._match)
        self._order_unmeasured()

    def _order_unmeasured(self) -> None:
        library, lesson_id = self._desk.library, self._desk.live.lesson_id
        measured = library.measures(lesson_id)
        for swing in library.swings(lesson_id):
            if swing.id not in measured:
                self._order(lesson_id, swing)

    def _heed_consent(self) -> None:
        """Begin to measure once the pupil agrees to it, and stop where that is withdrawn."""
        is_allowed = may_measure(self._desk.library, self._desk.live.lesson_id)
        if is_allowed and self._queue is None:
            self._queue, self._unmeasured = self._measuring, ""
            self._desk.note("Consent to be measured is on record now: the swings so far are measured too.")
            self._order_unmeasured()
        elif not is_allowed and self._queue is not None:
            self._queue = None
            self._desk.note("Consent to be measured is not on record any longer: no more body numbers are made.")

    def _is_known(self, path: Path, size: int, changed_ns: int) -> bool:
        arrival = self._desk.library.find_arrival(str(path))
        return arrival is not None and (arrival.size, arrival.changed_ns) == (size, changed_ns)

    def _try(self, step: Callable[[], None]) -> None:
        """Do a step; where the machine fails, tell so and do it again later."""
        try:
            step()
        except MachineError as error:
            self._retry_at_s = self._clock_s() + _RETRY_S
            self._desk.note_failure(error)
        except BadInputError as error:  # the lesson was forgotten meanwhile
            self._retry_at_s = self._clock_s() + _RETRY_S
            self._desk.note_once(str(error))

    def _match(self) -> None:
        for lesson_id in tuple(self._desk.to_match):
            try:
                self._following.match(lesson_id)
            except BadInputError:
                self._desk.to_match.discard(lesson_id)
                raise

    def _order(self, lesson_id: str, swing: Swing) -> None:
        if self._unmeasured and swing.clips and self._measuring is not None:
            name, self._unmeasured = self._unmeasured, ""
            self._desk.note(f"No body numbers: {name} has not consented to being measured. {_CONSENT}")
        if self._queue is None:
            return
        self._quiet_since_s = self._clock_s()
        for clip in swing.clips:
            self._queue.add(Order(self._desk.library.folder, lesson_id, clip.id, Effort.QUICK))

    def _collect(self, queue: WorkQueue) -> None:
        reports, finished = queue.look()
        for order, report in ((report.order, report) for report in reports if not report.order.is_copy):
            self._desk.tell(Progressed(order.lesson_id, order.clip_id, order.effort, report.done, report.total))
        self._to_tell += finished

    def _tell_and_order(self) -> None:
        while self._to_tell:
            self._tell_measured(self._to_tell[0])
            del self._to_tell[0]
        queue = self._queue
        is_idle = self.is_over or self._clock_s() >= self._quiet_since_s + _IDLE_S
        if queue is not None and is_idle and not len(queue) and not queue.is_paused:
            self._idle_work.put_next(queue, self.is_over)

    def _tell_measured(self, finished: Finished) -> None:
        order, outcome = finished.order, finished.outcome
        if order.is_copy:
            self._idle_work.note_done(order)
            if outcome.problem:
                self._desk.note_once(outcome.problem)
            return
        library = self._desk.library
        swing = next((s for s in library.swings(order.lesson_id) if s.id == outcome.swing_id), None)
        measures = () if swing is None else library.measures(order.lesson_id).get(swing.id, ())
        # told from here on: what the library is asked comes before, so that nothing is told twice
        self._idle_work.note_done(order)
        if outcome.problem:
            self._desk.note_once(f"Not measured: {outcome.problem}")
        elif not order.clip_id:
            self._desk.note("All swings are measured from the views that they have in common.")
        for note in outcome.notes:
            self._desk.note_once(note)
        if swing is not None:
            self._desk.tell(Measured(order.lesson_id, swing, measures, order.effort))
