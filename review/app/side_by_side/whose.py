"""Whose lines are whose where one swing is seen through the other, without Qt: one side solid, the other dashed."""

from collections.abc import Iterable
from dataclasses import dataclass, replace

from review.app.language import tr
from review.app.side_by_side.words import say_side
from review.app.swing_view.body_lines import LINE_COLOUR, BodyLine
from review.jobs.showing.pair import SideShown
from review.palette import look_of

_NARROWER = 0.8
"""Two bodies lie on each other."""


@dataclass(frozen=True)
class Whose:
    """How everything of one swing is drawn, its ``place`` ('first') and what it is called."""

    place: str
    words: str
    colour: str
    is_dashed: bool


def tell_whose(first: SideShown, last: SideShown) -> tuple[Whose, Whose]:
    """Tell two swings apart: by the stroke, and by the colours of their batches where those differ."""
    colours = [LINE_COLOUR if s.batch is None else look_of(s.batch.number).on_dark for s in (first, last)]
    if colours[0] == colours[1]:
        colours[1] = LINE_COLOUR if colours[0] != LINE_COLOUR else look_of(1).on_dark
    return (
        Whose(tr("first"), say_side(first), colours[0], is_dashed=False),
        Whose(tr("last"), say_side(last), colours[1], is_dashed=True),
    )


def draw_as(lines: Iterable[BodyLine], whose: Whose) -> tuple[BodyLine, ...]:
    """Lines as those of that swing; what is written on the picture says its place."""
    return tuple(
        replace(
            line,
            colour=whose.colour,
            is_dashed=whose.is_dashed,
            width=_NARROWER * line.width,
            words=f"{line.words} ({whose.place})" if line.words else "",
        )
        for line in lines
    )
