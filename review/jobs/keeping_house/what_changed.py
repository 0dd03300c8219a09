"""What a newer method changed, measure by measure, before it is accepted."""

import math
from dataclasses import dataclass, field
from statistics import median

from review.lesson import Measure
from review.library import Library


@dataclass(frozen=True)
class Change:
    """One measure at one key frame, over all swings that wait.

    ``typical`` and ``largest`` are differences, new less old, in the measure's unit and sign (the median, and the one
    farthest from 0; NaN where no swing has both); ``n_outside`` counts swings whose new value lies outside the old
    one's interval; ``n_gained`` and ``n_lost`` those that have a value only now, or no longer.
    """

    name: str
    key_frame: str
    n_swings: int
    typical: float
    largest: float
    n_outside: int
    n_gained: int
    n_lost: int


@dataclass
class _Pairs:
    differences: list[float] = field(default_factory=list)
    n_outside: int = 0
    n_gained: int = 0
    n_lost: int = 0


def list_changes(library: Library) -> tuple[int, int, tuple[Change, ...]]:
    """Compare what waits with the numbers in use.

    Returns
    -------
    how many swings wait with new numbers, how many could not be measured again, and the changes by measure.
    """
    pairs: dict[tuple[str, str], _Pairs] = {}
    n_waiting = n_trouble = 0
    for lesson in library.lessons():
        waiting = library.waiting(lesson.id)
        if not waiting:
            continue
        n_trouble += sum(bool(one.trouble) for one in waiting.values())
        in_use, made_by = library.measures(lesson.id), library.method_of_measures(lesson.id)
        for one in (one for one in waiting.values() if not one.trouble):
            n_waiting += 1
            old = {
                (m.name, m.key_frame): m
                for m in in_use.get(one.swing_id, ())
                if made_by[one.swing_id, m.name, m.key_frame].startswith("body ")
            }
            new = {(m.name, m.key_frame): m for m in one.measures}
            for key in old | new:
                _compare(pairs.setdefault(key, _Pairs()), old.get(key), new.get(key))
    return n_waiting, n_trouble, tuple(_sum_up(*key, found) for key, found in pairs.items())


def _compare(pairs: _Pairs, old: Measure | None, new: Measure | None) -> None:
    had, has = _value(old), _value(new)
    if math.isnan(had) or math.isnan(has):
        pairs.n_gained += math.isnan(had) and not math.isnan(has)
        pairs.n_lost += math.isnan(has) and not math.isnan(had)
        return
    pairs.differences.append(has - had)
    if old is not None:
        pairs.n_outside += has < old.low or has > old.high


def _value(measure: Measure | None) -> float:
    return math.nan if measure is None or measure.why_missing else measure.value


def _sum_up(name: str, key_frame: str, pairs: _Pairs) -> Change:
    found = pairs.differences
    typical, largest = (median(found), max(found, key=abs)) if found else (math.nan, math.nan)
    return Change(name, key_frame, len(found), typical, largest, pairs.n_outside, pairs.n_gained, pairs.n_lost)
