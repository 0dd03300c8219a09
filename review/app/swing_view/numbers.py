"""What the body does on one frame, in words, without Qt."""

import math
from collections.abc import Mapping

from review.app.language import tr
from review.app.number_words import SaidNumber, say_label, say_measure_apart
from review.body.series import Series
from review.lesson import KINDS, Bound, Handedness, Measure
from review.lettering import capitalise


def say_frame(
    curves: Mapping[str, Series], time_s: float, handedness: Handedness, address_s: float | None = None
) -> tuple[SaidNumber, ...]:
    """Say every curve at a presentation time.

    All are counted from address, at ``address_s``: there they are 0 by definition, and so they are said on the frames
    before it where they cannot be told from that.
    """
    return tuple(
        _say(name, series, series.at(time_s), handedness, None if address_s is None else series.at(address_s))
        for name, series in curves.items()
    )


def _say(name: str, series: Series, i: int, handedness: Handedness, address: int | None) -> SaidNumber:
    label, value = capitalise(say_label(name)), float(series.value[i])
    if KINDS[name].unit == "°":  # against the target line they are other numbers
        label = tr("{measure}, from address", measure=label)
    if math.isnan(value):
        return SaidNumber(label, tr("not seen here"))
    if address is not None and (i == address or (i < address and series.low[i] <= 0.0 <= series.high[i])):
        return SaidNumber(label, tr("{zero}, as at address", zero=f"0{KINDS[name].unit}"))
    measure = Measure(
        name,
        value,
        low=float(series.low[i]),
        high=float(series.high[i]),
        own_sd=float(series.own_sd[i]),
        shared_sd=float(series.shared_sd[i]),
        bound=Bound.AT_LEAST if series.is_bound[i] else Bound.NONE,
    )
    return SaidNumber(label, *say_measure_apart(measure, handedness))
