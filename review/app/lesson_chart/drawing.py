"""What the lesson chart draws of one measure, without Qt: marks, bands, scale and words."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from itertools import groupby

from review.app.language import say_count, tr
from review.app.number_words import say_directions, say_label, say_measure, say_value
from review.app.sentences import say_in_words, say_sentences
from review.charts.axis import choose_ticks, least_span, say_short, say_tick
from review.compare.samples import MeasureKey
from review.jobs.showing.lesson import BatchNumbers, LessonShown, number_batches
from review.lesson import KINDS, Batch, Bound, Swing, SwingKind
from review.lettering import capitalise


class Drawn(StrEnum):
    """How a swing is drawn, from the most usual on."""

    COUNTED = "counted"
    SUSPECT = "suspect"
    BOUND = "bound"
    LEFT_OUT = "left out"
    OTHER = "other"
    ABSENT = "absent"


@dataclass(frozen=True)
class Mark:
    """One swing: ``value`` in the measure's unit and sign (NaN where absent), ``words`` what is said of it.

    ``batch_number`` is None where it is in no batch. ``away`` is 1 or -1 where the true value lies farther up or down.
    """

    swing_id: str
    order: int
    value: float
    batch_number: int | None
    drawn: Drawn
    kind: SwingKind
    words: str
    why: str = ""
    away: int = 0


@dataclass(frozen=True)
class Band:
    """A batch from ``start`` to ``end`` along the swings; ``batch`` None for swings in no batch.

    ``mean`` and ``sd`` are NaN where too few swings count. ``has_words`` is False for the lesser parts of a batch that
    was taken up again: its words stand over the widest.
    """

    start: float
    end: float
    batch: Batch | None
    n: int = 0
    mean: float = math.nan
    sd: float = math.nan
    mean_words: str = ""
    mean_short: str = ""
    spread_words: str = ""
    has_words: bool = True


@dataclass(frozen=True)
class MeasureDrawing:
    """One measure along the lesson; ``ticks`` are (value, words), ``up`` and ``down`` what these directions mean."""

    key: MeasureKey
    heading: str
    up: str
    down: str
    low: float
    high: float
    ticks: tuple[tuple[float, str], ...]
    marks: tuple[Mark, ...]
    bands: tuple[Band, ...]
    notes: tuple[str, ...]

    @property
    def ends(self) -> tuple[float, float]:
        """Where the lesson starts and ends along the swings."""
        return self.bands[0].start, self.bands[-1].end

    def mark_of(self, swing_id: str | None) -> Mark | None:
        """The mark of a swing."""
        return next((mark for mark in self.marks if mark.swing_id == swing_id), None)


def draw_measure(shown: LessonShown, key: MeasureKey, n_steps: int = 4) -> MeasureDrawing | None:
    """Draw a measure of a lesson, its scale in about ``n_steps`` steps; None where it holds neither swing nor batch."""
    marks = tuple(_mark(shown, swing, key) for swing in sorted(shown.swings, key=lambda swing: swing.order))
    bands = _bands(shown, key, {numbers.batch.id: numbers for numbers in number_batches(shown, key)})
    if not bands:
        return None
    values = [mark.value for mark in marks if math.isfinite(mark.value)]
    ticks, decimals = choose_ticks(values or [0.0, 1.0], least_span(key[0]), n_steps)
    up, down = say_directions(key[0], ticks[0], ticks[-1], shown.pupil.handedness)
    return MeasureDrawing(
        key,
        capitalise(say_label(*key)),
        up,
        down,
        ticks[0],
        ticks[-1],
        tuple((tick, say_in_words(say_tick(key[0], tick, decimals))) for tick in ticks),
        marks,
        bands,
        _notes(marks),
    )


def draw_without_numbers(shown: LessonShown) -> MeasureDrawing | None:
    """Draw the swings of a lesson of which no number is known; None where it holds neither swing nor batch."""
    swings = sorted(shown.swings, key=lambda swing: swing.order)
    key: MeasureKey = ("", "")
    numbers = {batch.id: BatchNumbers(batch, 0, math.nan, math.nan) for batch in shown.lesson.batches}
    bands = _bands(shown, key, numbers)
    if not bands:
        return None
    marks = tuple(_bare_mark(shown, swing) for swing in swings)
    note = tr("No number of this lesson yet: no row and no measured clip.")
    ticks = ((0.0, ""), (1.0, ""))
    return MeasureDrawing(key, tr("No number yet"), "", "", 0.0, 1.0, ticks, marks, bands, (note,))


def _bare_mark(shown: LessonShown, swing: Swing) -> Mark:
    number = next((batch.number for batch in shown.lesson.batches if batch.id == swing.batch_id), None)
    what = _say_swing(swing)
    clips = say_count(len(swing.clips), "1 clip", "{n} clips") if swing.clips else tr("there is no clip")
    return Mark(swing.id, swing.order, math.nan, number, Drawn.ABSENT, swing.kind, f"{what}: {clips}")


def _say_swing(swing: Swing) -> str:
    what = tr("Swing {n}", n=swing.order)
    return what if swing.kind is SwingKind.SHOT else f"{what}, {tr(swing.kind.value)}"


def _mark(shown: LessonShown, swing: Swing, key: MeasureKey) -> Mark:
    measure = shown.measures[swing.id].get(key)
    number = next((batch.number for batch in shown.lesson.batches if batch.id == swing.batch_id), None)
    what = _say_swing(swing)
    if measure is None or not math.isfinite(measure.value):
        told = measure.why_missing if measure is not None else ""
        why = say_sentences(told) if told else _why_absent(swing, key)
        words = tr("{swing}: no {measure}, {why}", swing=what, measure=say_label(key[0]), why=why)
        return Mark(swing.id, swing.order, math.nan, number, Drawn.ABSENT, swing.kind, words)
    doubts = shown.doubts.get(swing.id, ()) if KINDS[key[0]].source == "device" else ()
    away = 0
    if measure.bound is not Bound.NONE:
        away = int(math.copysign(1, measure.value)) * (1 if measure.bound is Bound.AT_LEAST else -1)
    if swing.kind is not SwingKind.SHOT:
        drawn, why = Drawn.OTHER, ""
    elif swing.left_out:
        drawn, why = Drawn.LEFT_OUT, tr("left out: {why}", why=swing.left_out)
    elif doubts:
        drawn, why = Drawn.SUSPECT, tr("perhaps misread: {why}", why=" ".join(map(say_sentences, doubts)))
    else:
        drawn, why = (Drawn.BOUND, "") if away else (Drawn.COUNTED, "")
    words = f"{what}: {say_measure(measure, shown.pupil.handedness)}"
    return Mark(swing.id, swing.order, measure.value, number, drawn, swing.kind, words, why, away)


def _why_absent(swing: Swing, key: MeasureKey) -> str:
    if KINDS[key[0]].source != "device":
        return tr("not measured yet") if swing.clips else tr("there is no clip")
    return tr("the device has no row for it") if swing.shot is None else tr("its row does not give it")


def _bands(shown: LessonShown, key: MeasureKey, numbered: dict[str, BatchNumbers]) -> tuple[Band, ...]:
    """Stretches of swings of one batch in order; batches without a swing yet stand at the end."""
    swings = sorted(shown.swings, key=lambda swing: swing.order)
    runs = [(id, [swing.order for swing in run]) for id, run in groupby(swings, key=lambda swing: swing.batch_id)]
    bands, start = [], (runs[0][1][0] - 0.5 if runs else 0.5)
    for n, (batch_id, orders) in enumerate(runs):
        end = (orders[-1] + runs[n + 1][1][0]) / 2 if n + 1 < len(runs) else orders[-1] + 0.5
        bands.append(_band(start, end, numbered.get(batch_id or ""), shown, key))
        start = end
    for numbers in (n for id, n in numbered.items() if id not in {id for id, _ in runs}):
        bands.append(_band(start, start + 2.0, numbers, shown, key))
        start += 2.0
    widest: dict[Batch | None, Band] = {}
    for band in bands:
        if band.batch not in widest or band.end - band.start > widest[band.batch].end - widest[band.batch].start:
            widest[band.batch] = band
    return tuple(replace(band, has_words=widest[band.batch] is band) for band in bands)


def _band(start: float, end: float, numbers: BatchNumbers | None, shown: LessonShown, key: MeasureKey) -> Band:
    if numbers is None:
        return Band(start, end, None)
    if not key[0]:
        return Band(start, end, numbers.batch)
    kind = KINDS[key[0]]
    mean = say_value(key[0], numbers.mean, shown.pupil.handedness) if numbers.n else ""
    spread = ""
    if numbers.n > 1:
        unit = "" if key[0] == "tempo_ratio" else kind.unit
        spread = tr("scatter {size}", size=say_in_words(f"{numbers.sd:.{kind.decimals}f}{unit}"))
    # a number alone leaves its side to the scale, which cannot tell where there are two
    values = [own[key].value for own in shown.measures.values() if key in own]
    has_one_side = not kind.positive or min(values, default=0.0) >= 0 or max(values, default=0.0) <= 0
    short = say_in_words(say_short(key[0], numbers.mean)) if numbers.n and has_one_side else ""
    return Band(start, end, numbers.batch, numbers.n, numbers.mean, numbers.sd, mean, short, spread)


def _notes(marks: Sequence[Mark]) -> tuple[str, ...]:
    """What the less usual marks mean, only where there are such."""
    seen = {mark.drawn for mark in marks} | ({Drawn.BOUND} if any(mark.away for mark in marks) else set())
    meant = {
        Drawn.SUSPECT: tr("? = the device may have misread it"),
        Drawn.LEFT_OUT: tr("hollow = left out, does not count"),
        Drawn.BOUND: tr("arrow = there or farther, does not count"),
        Drawn.OTHER: tr("small and hollow = practice, drill or demonstration, does not count"),
        Drawn.ABSENT: tr("tick at the foot = no number"),
    }
    return tuple(words for drawn, words in meant.items() if drawn in seen)
