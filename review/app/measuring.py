"""Measuring a lesson from the window: it goes on when the lesson is left, and is told wherever the coach is by then."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PyQt5.QtWidgets import QStackedWidget

from review.app.language import say_day, tr
from review.app.sentences import say_sentences
from review.app.state import ReviewState
from review.app.worker import Task
from review.progress import Progress

if TYPE_CHECKING:  # loaded in the other thread
    from review.jobs.measuring.whole_lesson import LessonMeasured


def measure_lesson(state: ReviewState, pages: QStackedWidget) -> None:
    """Measure the clips of the open lesson, quickly, beside the window; the lesson then shows the numbers."""
    shown = state.lesson
    if shown is None:
        return
    folder, lesson_id, asked_on = state.library, shown.lesson.id, pages.currentWidget()

    def work(progress: Progress) -> LessonMeasured:
        from review.jobs.measuring.apart import measure_apart

        return measure_apart(folder, lesson_id, progress=progress)

    def done(measured: LessonMeasured) -> None:
        said = [f"{tr('Swing {n}', n=n)}: {say_sentences(why)}" for n, why in measured.problems.items()]
        said += [say_sentences(note) for note in measured.notes]
        if state.lesson is None or state.lesson.lesson.id != lesson_id:
            name, day = shown.pupil.name, say_day(shown.lesson.held_on)
            said.insert(0, tr("{name}, {day}: the lesson is measured.", name=name, day=day))
        elif pages.currentWidget() is asked_on:
            state.open_lesson(lesson_id)
        else:  # the coach went on with it meanwhile
            state.renew_from_library(lesson_id)
        is_trouble = measured.problems or measured.has_refused_setup
        if said:
            (state.trouble_came if is_trouble else state.step_told).emit(" ".join(said))

    state.long_line.add(Task(tr("Measuring the lesson"), work, done, state.trouble_came.emit, owner=pages))
