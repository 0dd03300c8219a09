"""Drawings kept beside the window, each change a step that can be undone."""

from typing import Any

from review.app.language import tr
from review.app.state import ReviewState
from review.app.undoing import Step
from review.app.worker import Task
from review.lesson import Drawing


def change_drawing(state: ReviewState, name: str, clip_id: str, before: Drawing | None, after: Drawing | None) -> None:
    """Put a drawing of a clip in the place of another; None = there is none. Shown at once, kept beside the window."""
    drawing = after or before
    if drawing is None or before == after:
        return
    id = drawing.id

    def put(to: Drawing | None) -> None:
        folder = state.library

        def work(_: Any) -> None:
            from review.jobs.drawing import keep_drawing, remove_drawing

            if to is None:
                remove_drawing(folder, clip_id, id)
            else:
                keep_drawing(folder, clip_id, to)

        state.line.add(Task(tr("Keeping a drawing"), work, lambda _: None, state.trouble_came.emit, keeps=True))
        state.drawing_changed.emit(clip_id, id, to)

    state.do(Step(name, lambda: put(after), lambda: put(before)))
