"""What else must be known of a difference, in sentences, and only where it is notable."""

from review.compare.drift import MANY_SHOTS, Drift, find_drift
from review.compare.mishit import find_carrier
from review.compare.samples import Sample
from review.compare.verdict import say_size


def find_remarks(name: str, first: Sample, last: Sample, counted_as: str = "swing") -> tuple[str, ...]:
    """Tell of one shot that carries the mean, of a drift within a batch, of neighbours that are alike.

    ``counted_as`` is what the samples' numbers count: 'swing', or 'row' of a table.
    """
    if not first.values or not last.values:
        return ()
    said = [_say_carrier(name, first, last, counted_as)]
    difference = float(last.array.mean() - first.array.mean())
    for sample, which in ((first, "first"), (last, "last")):
        drift = find_drift(sample.array)
        said.append(_say_drift(name, drift, which, difference))
        if drift.is_alike and not drift.is_notable:
            said.append(
                f"shots that followed each other were alike in the {which} batch: they say less than as many others"
            )
    return tuple(text for text in said if text)


def _say_carrier(name: str, first: Sample, last: Sample, counted_as: str) -> str:
    carrier = find_carrier(first.array, last.array)
    if carrier is None or not carrier.is_notable:
        return ""
    sample, which = (last, "last") if carrier.is_in_last else (first, "first")
    swing = (
        f"{counted_as} {sample.numbers[carrier.place]}"
        if sample.numbers
        else f"shot {carrier.place + 1} of the {which} batch"
    )
    now, without = say_size(name, carrier.difference), say_size(name, carrier.difference_without)
    if now == without:
        return ""
    # the last digit of a difference of nothing has a sign too
    has_sides = say_size(name, 0.0) not in (now, without)
    other_way = " the other way" if has_sides and carrier.difference * carrier.difference_without < 0 else ""
    return f"without {swing} the difference would be {without}{other_way} instead of {now}"


def _say_drift(name: str, drift: Drift, which: str, difference: float) -> str:
    if not drift.is_notable or difference == 0:
        return ""
    step = f"{say_size(name, drift.slope_per_shot, more_decimals=1)} a shot"
    if drift.n > MANY_SHOTS:  # a step would be next to nothing, and very many shots show a drift of nothing
        whole = say_size(name, drift.slope_per_shot * drift.n)
        if whole == say_size(name, 0.0):
            return ""
        step = f"{whole} from its first shot to its last"
    with_change = drift.slope_per_shot * difference > 0
    if which == "first":
        meaning = (
            "the way of the change: part of it may be warming up"
            if with_change
            else "against the change: it has turned round since"
        )
    else:
        meaning = "further the same way: it had not settled" if with_change else "back again: it may not hold"
    return f"within the {which} batch it drifted, about {step}, {meaning}"
