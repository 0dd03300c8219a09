"""What stands above the numbers of the newest swing: which it is, how many balls there were, what it is not."""

from review.app.language import say_count, tr
from review.app.pupils.caution_words import count_balls
from review.jobs.showing.lesson import LessonShown
from review.lesson import Swing, SwingKind


def say_lesson(shown: LessonShown, newest: Swing | None) -> str:
    """Say it in one line: 'Swing 7 · batch 2 · 6-iron · 6 balls · left out'."""
    balls = say_count(count_balls(shown.swings), "1 ball", "{n} balls")
    if newest is None:
        return balls
    batch = next((batch for batch in shown.lesson.batches if batch.id == newest.batch_id), None)
    parts = [
        tr("Swing {n}", n=newest.order),
        "" if batch is None else tr("batch {n}", n=batch.number),
        "" if batch is None else batch.club,
        balls,
        "" if newest.kind is SwingKind.SHOT else tr(newest.kind.value),
        tr("left out") if newest.left_out else "",
    ]
    return " · ".join(part for part in parts if part)
