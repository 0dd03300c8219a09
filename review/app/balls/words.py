"""What is said above the pictures of the balls."""

from dataclasses import dataclass

from review.app.language import tr
from review.app.sentences import say_sentences
from review.jobs.comparing import LessonComparison


@dataclass(frozen=True)
class FlightSaid:
    """What is said of a batch: shapes from the most frequent on, and why the typical ball flew as it did."""

    batch_number: int
    shapes: str
    why: str


def say_flights(compared: LessonComparison) -> tuple[FlightSaid, ...]:
    """Say how the balls of the first and the last batch flew."""
    said = []
    for batch, flights in zip((compared.first, compared.last), compared.background.flights, strict=True):
        shapes = ", ".join(f"{n} {say_sentences(words)}" for words, n in flights.shapes) or tr("not known")
        why = say_sentences(flights.why)
        why = tr("Swing {n}, the most typical: {why}", n=flights.typical, why=why) if why else ""
        said.append(FlightSaid(batch.number, shapes, why))
    return tuple(said)
