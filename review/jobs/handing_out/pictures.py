"""What the balls of first and last batch did, drawn for the page."""

from dataclasses import replace

from review.charts import PHONE
from review.jobs.comparing import LessonComparison
from review.jobs.comparing.background import Flights
from review.jobs.comparing.pictures import draw_balls, draw_strip
from review.lesson.changes import say_change
from review.takehome import Picture
from review.takehome.text import capitalise

DARK_PHONE = replace(PHONE, is_dark=True)
_TITLES = {"flight": "Flight of the balls", "strike": "Where they were struck"}


def draw_pictures(compared: LessonComparison) -> tuple[Picture, ...]:
    """Draw flight and strike without a name on them: a page may be shown to others, a minor's has none at all."""
    pictured = replace(compared.pictured, under="")
    drawings, dark = draw_balls(pictured), draw_balls(pictured, DARK_PHONE)
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
            dark[name].to_svg(),
        )
        for name, drawing in drawings.items()
    )


def draw_strips(compared: LessonComparison, most: int) -> tuple[Picture, ...]:
    """Draw every shot of first and last batch for the first of the aim's measures, without a name on it."""
    pictured = replace(compared.pictured, under="")
    shown = [c for c in compared.comparisons if c.in_aim and min(c.n_first, c.n_last) > 1][:most]
    return tuple(
        Picture(
            capitalise(c.label),
            draw_strip(pictured, c, is_bare=True).to_svg(),
            f"every shot of batches {compared.first.number} and {compared.last.number}; "
            f"{say_change(c.name, c.mean_first, c.mean_last, pictured.handedness)}",
            draw_strip(pictured, c, DARK_PHONE, is_bare=True).to_svg(),
        )
        for c in shown
    )


def _say_shapes(flights: Flights) -> str:
    return ", ".join(f"{n} {shape}" for shape, n in flights.shapes)
