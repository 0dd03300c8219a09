"""A lesson as it happens, a few short lines a ball, readable from where the coach stands."""

import sys
import time
from collections.abc import Callable, Sequence
from pathlib import Path

from review.cli.camera_words import name_cameras
from review.cli.live.batch_so_far import say_batch_so_far
from review.cli.live.body import say_body
from review.cli.screen import say
from review.cli.wrapping import fill, pack
from review.jobs.live import (
    Asked,
    BatchStarted,
    ClipArrived,
    Event,
    Filed,
    LessonBegan,
    LessonEnded,
    Measured,
    Noted,
    Paired,
    Progressed,
    RowArrived,
)
from review.lesson import AimMeasure, Batch, Shot, Swing, SwingKind
from review.lesson.words import count, say_value
from review.library import Library
from review.pose import Effort

_DEVICE = (AimMeasure("club_path_deg"), AimMeasure("face_to_path_deg"), AimMeasure("carry_yd"))
_WAIT_S = 6.0
"""So long one of clip, row and second clip may be missing before it is said: devices and cameras take some seconds."""
_KINDS = {
    SwingKind.SHOT: "a shot",
    SwingKind.PRACTICE: "a practice swing",
    SwingKind.DRILL: "a drill",
    SwingKind.DEMONSTRATION: "the coach's demonstration",
}


class LiveScreen:
    """Prints events; what a lesson is about is looked up when it is told of.

    Lines of one swing after the first begin with blanks in the place of its number.
    """

    def __init__(self, library: Library, clock_s: Callable[[], float] = time.monotonic) -> None:
        self._library = library
        self._clock_s = clock_s
        self._is_progress_open = False
        self._last_told = ""
        self._rows_told: dict[str, str] = {}
        self._standing_told: dict[str, tuple[str, ...]] = {}
        self._body_told: dict[str, tuple[str, ...]] = {}
        self._reasons_told: set[tuple[str, str, str]] = set()
        self._filed: dict[str, tuple[SwingKind, str | None]] = {}
        self._waiting: dict[str, tuple[float, str]] = {}
        self._orders: dict[str, int] = {}
        self._table = ""

    def tell(self, event: Event) -> None:
        """Print one event."""
        if isinstance(event, Progressed):
            self._show_progress(event)
            return
        if self._is_progress_open:
            sys.stderr.write("\r\033[K")
            sys.stderr.flush()
            self._is_progress_open = False
        self._orders.clear()  # numbers change when an earlier clip arrives late
        match event:
            case LessonBegan(lesson, pupil, is_resumed):
                goes = "goes on" if is_resumed else "begins"
                self._say(f"{pupil.name}, lesson of {lesson.held_on} {goes}: {_say_batch(lesson.batches[-1])}.")
                lives = self._library.live_lessons()
                self._table = next((live.watched.table for live in lives if live.lesson_id == lesson.id), "")
                self._filed = {s.id: (s.kind, s.batch_id) for s in self._library.swings(lesson.id)}
            case BatchStarted(_, batch):
                self._say(f"{_say_batch(batch)} begins.")
            case ClipArrived():
                self._tell_clip(event)
            case RowArrived(lesson_id, shot, swing):
                self._tell_row(lesson_id, swing, shot)
                self._waiting.setdefault(swing.id, (self._clock_s(), lesson_id))
            case Paired(lesson_id, swing, shot, True):
                self._tell_row(lesson_id, swing, shot)
            case Paired(lesson_id, swing, shot, False):
                self._waiting.pop(swing.id, None)
                row = f"likely row {shot.row_number} of the table, clearer with more balls"
                self._say_of(swing, [*self._say_row(lesson_id, shot), row])
            case Filed(lesson_id, swing):
                self._tell_filed(lesson_id, swing)
            case Measured():
                self._tell_body(event)
            case Asked(_, swing, shot, text):
                row = f"Does row {shot.row_number} of the table belong to swing {swing.order}? {text}"
                self._say(f"Question: {row} y: yes; n: that swing has no row.")
            case Noted(text):
                self._say(f"Note: {text}")
            case LessonEnded(_, n_swings):
                self._waiting.clear()
                self._table = ""
                self._say(f"The lesson is over: {count(n_swings, 'swing')}.")

    def look(self) -> None:
        """Say of which swings a part is missing for some seconds now; once for each."""
        due = {key: lesson_id for key, (since_s, lesson_id) in self._waiting.items() if self._is_due(since_s)}
        for lesson_id in dict.fromkeys(due.values()):
            swings = self._library.swings(lesson_id)
            cameras = name_cameras(clip for swing in swings for clip in swing.clips)
            for swing in swings:
                missing = self._missing(swing, cameras) if swing.id in due else ()
                if missing:
                    self._say_of(swing, [f"waiting for {' and '.join(missing)}"])
        for key in due:
            del self._waiting[key]

    def _is_due(self, since_s: float) -> bool:
        return self._clock_s() >= since_s + _WAIT_S

    def _missing(self, swing: Swing, cameras: dict[str, str]) -> tuple[str, ...]:
        """What a swing still lacks, in words; practice swings, drills and demonstrations need no row."""
        if not swing.clips:
            return ("the clip",)
        # a device that writes its table after the lesson is not waited for
        is_row_due = swing.shot is None and swing.kind is SwingKind.SHOT and self._table and Path(self._table).exists()
        has = {clip.camera for clip in swing.clips}
        others = tuple(f"the clip of {words}" for camera, words in cameras.items() if camera not in has)
        return (*(("the row",) if is_row_due else ()), *others)

    def _tell_clip(self, event: ClipArrived) -> None:
        swing, clip = event.swing, event.clip
        self._filed.setdefault(swing.id, (swing.kind, swing.batch_id))
        is_second = len(swing.clips) > 1 and swing.clips[0].id != clip.id
        if is_second:
            if swing.id not in self._waiting:  # it was waited for
                clips = self._library.clips(event.lesson_id)
                self._say_of(swing, [f"clip of {name_cameras(clips)[clip.camera]} is in"])
            return
        self._waiting[swing.id] = (self._clock_s(), event.lesson_id)
        heard = [] if clip.strike_s is not None or swing.kind is not SwingKind.SHOT else ["no strike heard"]
        if swing.shot is None or swing.shot.id in self._rows_told:
            self._say_of(swing, [", ".join(["clip is in", *heard])])
        if swing.shot is not None:
            self._tell_row(event.lesson_id, swing, swing.shot)

    def _tell_row(self, lesson_id: str, swing: Swing, shot: Shot) -> None:
        """Say the numbers of the device and how the batch stands with them, unless just that was said."""
        numbers = self._say_row(lesson_id, shot)
        self._filed.setdefault(swing.id, (swing.kind, swing.batch_id))
        if self._rows_told.get(shot.id) != f"{swing.order} {numbers}":
            self._rows_told[shot.id] = f"{swing.order} {numbers}"
            row = f"row {shot.row_number} of the table"
            said = [*numbers[:-1], f"{numbers[-1]} ({row})"] if numbers else [f"{row}, without a number of the aim"]
            self._say_of(swing, said)
        self._tell_standing(lesson_id, swing)

    def _tell_standing(self, lesson_id: str, swing: Swing) -> None:
        lesson = self._library.lesson(lesson_id)
        batch = next((batch for batch in lesson.batches if batch.id == swing.batch_id), None)
        if batch is None:
            return
        hand = self._library.pupil(lesson.pupil_id).handedness
        parts = say_batch_so_far(lesson, batch, self._library.swings(lesson_id), hand)
        if parts and parts != self._standing_told.get(batch.id):
            self._standing_told[batch.id] = parts
            self._say_of(swing, parts)

    def _tell_filed(self, lesson_id: str, swing: Swing) -> None:
        kind, batch_id = self._filed.get(swing.id, (None, None))
        self._filed[swing.id] = (swing.kind, swing.batch_id)
        said = [] if kind is swing.kind else [f"is {_KINDS[swing.kind]} now"]
        batches = {batch.id: batch.number for batch in self._library.lesson(lesson_id).batches}
        if batch_id != swing.batch_id or not said:
            said.append(f"belongs to batch {batches.get(swing.batch_id or '', '-')} now")
        self._say(f"Swing {swing.order} {' and '.join(said)}.")
        self._tell_standing(lesson_id, swing)

    def _tell_body(self, event: Measured) -> None:
        lesson = self._library.lesson(event.lesson_id)
        hand = self._library.pupil(lesson.pupil_id).handedness
        parts = say_body(lesson, event.measures, event.effort, hand, self._reasons_told)
        # every view and the thorough run measure anew; what comes out the same is not said again
        if parts and parts != self._body_told.get(event.swing.id):
            is_new = event.swing.id not in self._body_told
            self._body_told[event.swing.id] = parts
            self._say_of(event.swing, parts if is_new else [f"now {parts[0]}", *parts[1:]])

    def _show_progress(self, event: Progressed) -> None:
        if not sys.stderr.isatty():
            return
        if event.clip_id and event.clip_id not in self._orders:
            swings = self._library.swings(event.lesson_id)
            self._orders |= {clip.id: swing.order for swing in swings for clip in swing.clips}
        order = self._orders.get(event.clip_id)
        what = "all swings" if order is None else f"swing {order}"
        how = "" if event.effort is Effort.QUICK else " thoroughly"
        sys.stderr.write(f"\r\033[Kmeasuring {what}{how}: picture {event.done} of {event.total}")
        sys.stderr.flush()
        self._is_progress_open = True

    def _say(self, text: str) -> None:
        self._last_told = ""
        say(fill(text, "  "))

    def _say_of(self, swing: Swing, parts: Sequence[str]) -> None:
        """Say something of a swing, its number only where the line before was of another."""
        kind = "" if swing.kind is SwingKind.SHOT else f", {swing.kind.value}"
        name = f"Swing {swing.order}{kind}"
        say(pack(parts, f"{'' if name == self._last_told else name:<7}  "))
        self._last_told = name

    def _say_row(self, lesson_id: str, shot: Shot) -> list[str]:
        lesson = self._library.lesson(lesson_id)
        hand = self._library.pupil(lesson.pupil_id).handedness
        aims = [aim for aim in lesson.aim_measures if aim.name in shot.values] or list(_DEVICE)
        return [say_value(aim.name, shot.values[aim.name], hand) for aim in aims if aim.name in shot.values]


def _say_batch(batch: Batch) -> str:
    return f"Batch {batch.number}, {batch.cue}" if batch.cue else f"Batch {batch.number}"
