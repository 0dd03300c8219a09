"""A pupil's years as a picture."""

from datetime import date

from review.charts import PHONE, Canvas, Drawing
from review.charts.history_chart import HistoryBatch, HistoryChart, HistoryVisit, draw_history_chart
from review.compare.over_visits import Visit
from review.compare.samples import MeasureKey
from review.compare.visits import Held
from review.errors import BadInputError
from review.jobs.history.phone_clip import PhoneClip
from review.jobs.history.reading import History
from review.jobs.history.speech import ENGLISH, Speech
from review.lesson import KINDS
from review.lettering import capitalise

_MOST_JOINTS = 8
_SAID = {Held.HELD: "held", Held.PARTLY: "partly held", Held.CAME_BACK: "old value back", Held.CANT_TELL: "can't tell"}


def draw_history(history: History, canvas: Canvas = PHONE, speech: Speech = ENGLISH) -> Drawing:
    """Draw a measure over all visits; what was said at the joints is numbered, the latest that there is room for.

    Raises
    ------
    BadInputError
        When there is nothing to draw.
    """
    said = {
        after.batch.id: _say(after.batch.cue, after.batch.feel, speech)
        for visit in history.visits
        for after in visit.batches[1:]
    }
    latest_first = list(dict.fromkeys(filter(None, reversed(said.values()))))
    joints = latest_first[:_MOST_JOINTS][::-1]
    numbers = {words: n for n, words in enumerate(joints, start=1)}
    visits = tuple(
        HistoryVisit(
            _days(visit.lesson.held_on, speech),
            tuple(
                HistoryBatch(
                    one.batch.number,
                    one.sample.values,
                    one.point.mean,
                    one.point.low,
                    one.point.high,
                    numbers.get(said.get(one.batch.id, ""), 0),
                )
                for one in visit.batches
            ),
            _say_held(visit),
            history.long_run[n] if history.long_run else float("nan"),
        )
        for n, visit in enumerate(history.visits)
    )
    shared = "The camera stood anew at each visit: that error lies between visits and is not in the upright lines."
    chart = HistoryChart(
        history.key[0],
        history.pupil.handedness,
        visits,
        history.key[1],
        under=history.pupil.name,
        title="" if speech is ENGLISH else _say_heading(history.key, speech),
        joints=tuple(joints),
        notes=(shared,) if history.keeps_shared_error else (),
    )
    return draw_history_chart(chart, canvas)


def draw_beside(measured: PhoneClip, canvas: Canvas = PHONE, speech: Speech = ENGLISH) -> Drawing:
    """Draw that measure of a phone's clip beside the batch which differs most plainly, else the first.

    Raises
    ------
    BadInputError
        When the clip and the batch have no measure together.
    """
    if not measured.beside:
        raise BadInputError("The clip and the batch have no number together, so there is nothing to draw.")
    # max keeps the aim's order where none lies outside
    one, number = max(measured.beside, key=lambda b: 0.0 if b.could_be else b.outside), measured.batch.number
    day, value = speech.day(measured.lesson.held_on), one.measure.value
    short = speech.tr("batch {n}", n=number)
    batch = HistoryBatch(number, one.values, one.mean, one.low, one.high)
    clip = HistoryBatch(number + 1, (value,), value, one.measure.low, one.measure.high)
    chart = HistoryChart(
        one.key[0],
        measured.pupil.handedness,
        (
            HistoryVisit((speech.tr("batch {n}, {day}", n=number, day=day), short), (batch,)),
            HistoryVisit((speech.tr("the clip"),) * 2, (clip,)),
        ),
        one.key[1],
        under=measured.pupil.name,
        title="" if speech is ENGLISH else _say_heading(one.key, speech),
        marks_note=speech.tr(
            "Upright line of batch {n}: where one more swing of it would read, seen by the phone. Of the clip: where "
            "its number may lie (90%).",
            n=number,
        ),
    )
    return draw_history_chart(chart, canvas)


def _say_heading(key: MeasureKey, speech: Speech) -> str:
    return f"{capitalise(speech.label(*key))} ({KINDS[key[0]].unit.strip()})"


def _say_held(visit: Visit) -> str:
    return "" if visit.kept is None else _SAID.get(visit.kept.outcome, "")


def _days(day: date, speech: Speech) -> tuple[str, ...]:
    return speech.day(day), f"{day.month}/{day.year % 100:02d}", f"’{day.year % 100:02d}"


def _say(cue: str, feel: str, speech: Speech) -> str:
    felt = speech.tr("felt “{feel}”", feel=feel) if feel else ""
    return ", ".join(part for part in (speech.tr("“{feel}”", feel=cue) if cue else "", felt) if part)
