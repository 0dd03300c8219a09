"""The device's numbers of a swing whose clip cannot be shown, without Qt."""

from collections.abc import Sequence

from review.app.live.three_numbers import say_numbers
from review.app.number_words import SaidNumber
from review.compare import MeasureKey
from review.jobs.showing.lesson import LessonShown
from review.lesson import KINDS, Source, Swing


def say_device(shown: LessonShown, swing: Swing, chosen: Sequence[MeasureKey]) -> tuple[SaidNumber, ...]:
    """Say what the device measured of a swing: measures chosen on the chart first, then those the lesson has."""
    there = shown.measures.get(swing.id, {})
    keys = [k for k in dict.fromkeys((*chosen, *there)) if k in there and KINDS[k[0]].source is Source.DEVICE]
    return say_numbers(shown, swing, keys)
