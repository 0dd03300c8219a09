"""What the body does on one frame, in words, without Qt."""

import math
from collections.abc import Mapping
from dataclasses import dataclass

from review.app.language import tr
from review.app.number_words import say_label, say_measure
from review.body.series import Series
from review.lesson import KINDS, Bound, Handedness, Measure
from review.lettering import capitalise


@dataclass(frozen=True)
class FrameNumber:
    """One number of a frame: what it is, and its value with the 90 % interval in words; '' where there is none."""

    name: str
    label: str
    words: str


def say_frame(curves: Mapping[str, Series], time_s: float, handedness: Handedness) -> tuple[FrameNumber, ...]:
    """Say every curve at a presentation time."""
    return tuple(_say(name, series, series.at(time_s), handedness) for name, series in curves.items())


def _say(name: str, series: Series, i: int, handedness: Handedness) -> FrameNumber:
    label, value = capitalise(say_label(name)), float(series.value[i])
    if KINDS[name].unit == "°":  # against the target line they are other numbers
        label = tr("{measure}, from address", measure=label)
    if math.isnan(value):
        return FrameNumber(name, label, tr("not seen here"))
    measure = Measure(
        name,
        value,
        low=float(series.low[i]),
        high=float(series.high[i]),
        own_sd=float(series.own_sd[i]),
        shared_sd=float(series.shared_sd[i]),
        bound=Bound.AT_LEAST if series.is_bound[i] else Bound.NONE,
    )
    return FrameNumber(name, label, say_measure(measure, handedness))
