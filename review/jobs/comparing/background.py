"""What stands behind the numbers of two batches: how the balls flew, rows that may be misread, what moved along."""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from review.compare import Companion, choose_typical, find_companions
from review.compare.samples import counted
from review.lesson import Handedness, Lesson, Measure, Shot, Swing
from review.shots.flight import find_club_kind, find_shape, say_why
from review.shots.plausibility import Doubt, Means, compute_means, find_doubts

_MOST_ROWS_FLOWN = 500
"""A launch takes about 1.5 ms to be flown beside the row's carry; the other checks 0.1 ms."""
_MOST_ROWS = 5000


@dataclass(frozen=True)
class Flights:
    """How the balls of one batch flew: ``shapes`` from the most frequent on, and why the typical one did so."""

    shapes: tuple[tuple[str, int], ...]
    typical: int | None
    why: str


@dataclass(frozen=True)
class Background:
    """What a coach should know beside a comparison.

    ``doubts`` are (number of the swing, doubt). ``means`` are those of the aim's device measures in the first and the
    last batch, with and without doubtful rows, only where that differs. ``companions`` are the body's measures that
    moved together with the aim over the whole lesson.
    """

    flights: tuple[Flights, Flights]
    doubts: tuple[tuple[int, Doubt], ...]
    means: tuple[tuple[str, Means], ...]
    companions: tuple[Companion, ...]


def find_background(
    first_swings: Sequence[Swing],
    last_swings: Sequence[Swing],
    all_swings: Sequence[Swing],
    body: Mapping[str, Sequence[Measure]],
    lesson: Lesson,
    handedness: Handedness,
) -> Background:
    """Find what stands behind two batches; ``all_swings`` are those over which measures may move together.

    Batches of more than 5000 rows together are no lesson: their rows are not looked at one by one.
    """
    if len(first_swings) + len(last_swings) > _MOST_ROWS:
        return Background((Flights((), None, ""), Flights((), None, "")), (), (), ())
    sides = tuple(counted(swings) for swings in (first_swings, last_swings))
    doubts: list[tuple[int, Doubt]] = []
    means: list[tuple[str, Means]] = []
    for which, swings in zip(("first", "last"), sides, strict=True):
        numbers = {swing.shot.id: swing.order for swing in swings if swing.shot is not None}
        found = find_doubts(_shots(swings), handedness, is_carry_checked=len(swings) <= _MOST_ROWS_FLOWN)
        doubts += [(numbers[doubt.shot_id], doubt) for doubt in found]
        for name in dict.fromkeys(aim.name for aim in lesson.aim_measures):
            both = compute_means(name, _shots(swings), found)
            if 0 < both.n_without < both.n:
                means.append((which, both))
    flights = [_flights(swings, body, lesson, handedness) for swings in sides]
    companions = find_companions(all_swings, body, lesson)
    return Background((flights[0], flights[1]), tuple(doubts), tuple(means), companions)


def _shots(swings: Sequence[Swing]) -> list[Shot]:
    return [swing.shot for swing in swings if swing.shot is not None]


def _flights(
    swings: Sequence[Swing], body: Mapping[str, Sequence[Measure]], lesson: Lesson, handedness: Handedness
) -> Flights:
    shapes = [find_shape(shot.values, handedness, find_club_kind(shot.club)) for shot in _shots(swings)]
    counts = Counter(shape.words for shape in shapes if shape.start is not None or shape.curve is not None)
    with_row = [swing for swing in swings if swing.shot is not None]
    typical = choose_typical(with_row, body, lesson, needs_clip=False)
    if typical is None or typical.shot is None:
        return Flights(tuple(counts.most_common()), None, "")
    shot = typical.shot
    return Flights(
        tuple(counts.most_common()), typical.order, say_why(shot.values, handedness, find_club_kind(shot.club))
    )
