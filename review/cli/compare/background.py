"""What stands behind two batches, for the eye."""

import math
from collections import Counter

from review.cli.screen import say
from review.jobs.comparing.background import Background, Flights
from review.lesson import KINDS, Handedness
from review.lesson.words import count, say_value

_MOST_DOUBTS, _MOST_COMPANIONS = 6, 3
_MANY_ALIKE = 6


def show_background(background: Background, handedness: Handedness) -> None:
    """Print how the balls flew, rows that may be misread, and what moved together with the aim."""
    if any(flights.shapes for flights in background.flights):
        say("\nBall flight")
        for word, flights in zip(("first", "last "), background.flights, strict=True):
            say(f"  {word}  {_say_shapes(flights)}")
            if math.isfinite(flights.carry_yd):
                carry, height = f"carry about {flights.carry_yd:.0f} yd", f"height about {flights.height_yd:.0f} yd"
                say(f"         {carry}, {height}: from the launch, not measured, good to about 10 %")
            if flights.why:
                say(f"         {background.counted_as} {flights.typical}, the most typical: {flights.why}")
    if background.doubts:
        say("\nRows that may be misread (they count; look at them)")
        _show_doubts(background)
        for which, means in background.means:
            words = [say_value(means.name, mean, handedness) for mean in (means.mean, means.mean_without)]
            n_out = count(means.n - means.n_without, "row")
            say(f"  {KINDS[means.name].label}, {which} batch: {words[0]}; without {n_out}: {words[1]}")
    if background.companions:
        say("\nMoved together with the aim over the lesson (together does not mean because of)")
        for companion in background.companions[:_MOST_COMPANIONS]:
            say(f"  {companion.words}")


def _show_doubts(background: Background) -> None:
    """A line each; one for all where they are so many that not the rows but a column must be wrong."""
    (measures, n_alike), *_ = Counter(doubt.measures for _, doubt in background.doubts).most_common(1)
    shown = background.doubts[:_MOST_DOUBTS]
    if n_alike >= max(_MANY_ALIKE, background.n_rows / 2):
        names = " and ".join(KINDS[name].label for name in measures)
        say(f"  {n_alike} rows in the same way: {names} do not fit each other. A unit or a column is probably wrong;")
        say("  look with: lesson-review table FILE. The first of them:")
        shown = shown[:1]
    for order, doubt in shown:
        say(f"  {background.counted_as} {order}: {doubt.reason}")
    if len(background.doubts) > len(shown):
        say(f"  and {len(background.doubts) - len(shown)} more")


def _say_shapes(flights: Flights) -> str:
    return ", ".join(f"{n} {words}" for words, n in flights.shapes) or "not known"
