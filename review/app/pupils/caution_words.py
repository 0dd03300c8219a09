"""The usual cautions before a lesson and the count of balls, without Qt. Common practice of teaching, no source."""

from collections.abc import Sequence

from review.app.language import say_count, tr
from review.app.look.choice import BALL_STEP, MOST_BALLS
from review.lesson import Swing, SwingKind


def list_cautions() -> tuple[str, ...]:
    """What to see to before the first ball."""
    return (
        tr("Warm up first; the first swings are slow ones."),
        tr("Clear swing space: nobody and nothing within reach of the club."),
        tr("Cameras and stands out of club reach, beside and behind."),
        tr("Cables off the mat and out of the way."),
        tr("Pain: stop, and see a qualified professional."),
        tr("The numbers are aids for coaching; they tell nothing about health."),
    )


def count_balls(swings: Sequence[Swing]) -> int:
    """Balls struck by the pupil: shots; not practice, drills, or what the coach showed."""
    return sum(swing.kind is SwingKind.SHOT for swing in swings)


def say_balls(n: int, many: int) -> str:
    """Say how many balls there were so far, and plainly when they are many."""
    said = say_count(n, "1 ball so far", "{n} balls so far")
    if n < many:
        return said
    return tr("{balls}: that is many ({many} or more). A pause, or the end for today?", balls=said, many=many)


def step_many(many: int, by: int) -> int:
    """The number from which on balls are many, some steps up or down."""
    return min(max(many + by * BALL_STEP, BALL_STEP), MOST_BALLS)
