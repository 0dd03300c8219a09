"""What the balls of first and last batch did, drawn for the page."""

from dataclasses import replace

from review.jobs.comparing import LessonComparison
from review.jobs.comparing.background import Flights
from review.jobs.comparing.pictures import draw_balls
from review.takehome import Picture

_TITLES = {"flight": "Flight of the balls", "strike": "Where they were struck"}


def draw_pictures(compared: LessonComparison) -> tuple[Picture, ...]:
    """Draw flight and strike without a name on them: a page may be shown to others, a minor's has none at all."""
    drawings = draw_balls(replace(compared.pictured, under=""))
    words = "; ".join(
        f"batch {batch.number}: {_say_shapes(flights)}"
        for batch, flights in zip((compared.first, compared.last), compared.background.flights, strict=True)
        if flights.shapes
    )
    return tuple(
        Picture(
            _TITLES[name],
            drawing.to_svg(),
            words
            if name == "flight"
            else f"marks of batches {compared.first.number} and {compared.last.number} on the face",
        )
        for name, drawing in drawings.items()
    )


def _say_shapes(flights: Flights) -> str:
    return ", ".join(f"{n} {shape}" for shape, n in flights.shapes)
