"""What stands behind two batches, for the eye."""

from review.cli.screen import say
from review.jobs.comparing.background import Background, Flights
from review.lesson import KINDS, Handedness
from review.lesson.words import count, say_value

_MOST_DOUBTS, _MOST_COMPANIONS = 6, 3


def show_background(background: Background, handedness: Handedness) -> None:
    """Print how the balls flew, rows that may be misread, and what moved together with the aim."""
    if any(flights.shapes for flights in background.flights):
        say("\nBall flight")
        for word, flights in zip(("first", "last "), background.flights, strict=True):
            say(f"  {word}  {_say_shapes(flights)}")
            if flights.why:
                say(f"         swing {flights.typical}, the most typical: {flights.why}")
    if background.doubts:
        say("\nRows that may be misread (they count; look at them)")
        for order, doubt in background.doubts[:_MOST_DOUBTS]:
            say(f"  swing {order}: {doubt.reason}")
        if len(background.doubts) > _MOST_DOUBTS:
            say(f"  and {len(background.doubts) - _MOST_DOUBTS} more")
        for which, means in background.means:
            words = [say_value(means.name, mean, handedness) for mean in (means.mean, means.mean_without)]
            n_out = count(means.n - means.n_without, "row")
            say(f"  {KINDS[means.name].label}, {which} batch: {words[0]}; without {n_out}: {words[1]}")
    if background.companions:
        say("\nMoved together with the aim over the lesson (together does not mean because of)")
        for companion in background.companions[:_MOST_COMPANIONS]:
            say(f"  {companion.words}")


def _say_shapes(flights: Flights) -> str:
    return ", ".join(f"{n} {words}" for words, n in flights.shapes) or "not known"
