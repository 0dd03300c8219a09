"""A lesson as it happens, one line an event."""

import sys
from collections.abc import Mapping

from review.cli.screen import say
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
from review.lesson import AimMeasure, Batch, Handedness, KeyFrameName, Lesson, Measure, Shot, Swing, SwingKind
from review.lesson.words import say_measure, say_value
from review.library import Library
from review.pose import Effort

_DEVICE = (AimMeasure("club_path_deg"), AimMeasure("face_to_path_deg"), AimMeasure("carry_yd"))
_BODY = tuple(AimMeasure(name, KeyFrameName.IMPACT.value) for name in ("hip_turn_deg", "shoulder_turn_deg"))


class LiveScreen:
    """Prints events; what a lesson is about is looked up when it is told of."""

    def __init__(self, library: Library) -> None:
        self._library = library
        self._is_progress_open = False

    def tell(self, event: Event) -> None:
        """Print one event."""
        if isinstance(event, Progressed):
            self._show_progress(event)
            return
        if self._is_progress_open:
            sys.stderr.write("\r\033[K")
            self._is_progress_open = False
        say(self._line(event))

    def _line(self, event: Event) -> str:
        match event:
            case LessonBegan(lesson, pupil, is_resumed):
                goes = "goes on" if is_resumed else "begins"
                return f"{pupil.name}, lesson of {lesson.held_on} {goes}: {self._batch(lesson.batches[-1])}."
            case BatchStarted(_, batch):
                return f"{self._batch(batch)} begins."
            case ClipArrived(lesson_id, clip, swing):
                heard = "" if clip.strike_s is not None else ", no strike heard"
                about = f"{clip.duration_s:.1f} s, {clip.camera}{heard}"
                return f"{self._swing(lesson_id, swing)}: {clip.original_name} is in ({about})"
            case RowArrived(lesson_id, shot, swing):
                row = f"row {shot.row_number}, no clip yet"
                return f"{self._swing(lesson_id, swing)}: {row}: {self._row(lesson_id, shot)}"
            case Paired(lesson_id, swing, shot, is_sure):
                row = f"row {shot.row_number}" if is_sure else f"likely row {shot.row_number}, clearer with more balls"
                return f"{self._swing(lesson_id, swing)}: {row}: {self._row(lesson_id, shot)}"
            case Filed(lesson_id, swing):
                return f"{self._swing(lesson_id, swing)} is now {swing.kind.value}, {self._batch_of(lesson_id, swing)}."
            case Measured(lesson_id, swing, measures, effort):
                run = "quick" if effort is Effort.QUICK else "thorough"
                return f"{self._swing(lesson_id, swing)}: body, {run}: {self._body(lesson_id, measures)}"
            case Asked(_, swing, shot, text):
                return (
                    f"Question: does row {shot.row_number} belong to swing {swing.order}? {text} "
                    "y: yes; n: that swing has no row."
                )
            case Noted(text):
                return f"Note: {text}"
            case LessonEnded(_, n_swings):
                return f"The lesson is over: {n_swings} swings."
        return ""

    def _show_progress(self, event: Progressed) -> None:
        if not sys.stderr.isatty():
            return
        sys.stderr.write(f"\r\033[Kmeasuring ({event.effort.value}): {event.done} of {event.total} pictures")
        sys.stderr.flush()
        self._is_progress_open = True

    def _swing(self, lesson_id: str, swing: Swing) -> str:
        kind = "" if swing.kind is SwingKind.SHOT else f", {swing.kind.value}"
        return f"Swing {swing.order} ({self._batch_of(lesson_id, swing)}{kind})"

    def _batch_of(self, lesson_id: str, swing: Swing) -> str:
        batches = self._library.lesson(lesson_id).batches
        number = next((batch.number for batch in batches if batch.id == swing.batch_id), None)
        return "no batch" if number is None else f"batch {number}"

    def _batch(self, batch: Batch) -> str:
        cue = f", {batch.cue}" if batch.cue else ""
        return f"Batch {batch.number}{cue}"

    def _row(self, lesson_id: str, shot: Shot) -> str:
        lesson, hand = self._lesson(lesson_id)
        aims = [aim for aim in lesson.aim_measures if aim.name in shot.values] or list(_DEVICE)
        said = [say_value(aim.name, shot.values[aim.name], hand) for aim in aims if aim.name in shot.values]
        return "; ".join(said) or "no number of the aim in it"

    def _body(self, lesson_id: str, measures: tuple[Measure, ...]) -> str:
        lesson, hand = self._lesson(lesson_id)
        by_name: Mapping[tuple[str, str], Measure] = {(m.name, m.key_frame): m for m in measures}
        aims = [a for a in lesson.aim_measures if (a.name, a.key_frame) in by_name] or list(_BODY)
        said = [
            f"{by_name[aim.name, aim.key_frame].label} {say_measure(by_name[aim.name, aim.key_frame], hand)}"
            for aim in aims
            if (aim.name, aim.key_frame) in by_name
        ]
        return "; ".join(said) or "measured"

    def _lesson(self, lesson_id: str) -> tuple[Lesson, Handedness]:
        lesson = self._library.lesson(lesson_id)
        return lesson, self._library.pupil(lesson.pupil_id).handedness
