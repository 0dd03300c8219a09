"""Every swing of a lesson with its numbers, for a spreadsheet."""

from review.lesson import KNOWN_DOWN_TO, Bound, Handedness, Lesson, Measure, Source
from review.lesson.words import say_measure
from review.library import Library


def list_swings(
    library: Library, lesson: Lesson, measures: dict[str, tuple[Measure, ...]], handedness: Handedness
) -> tuple[dict[str, str | float], ...]:
    """List a lesson's swings, one line each: cells by their heading, which names unit and sign.

    Parameters
    ----------
    measures : by the swing's id, every swing of the lesson.
    """
    numbers = {batch.id: batch.number for batch in lesson.batches}
    lines = []
    for swing in library.swings(lesson.id):
        line: dict[str, str | float] = {
            "swing": float(swing.order),
            "batch": float(numbers[swing.batch_id]) if swing.batch_id in numbers else "",
            "kind": swing.kind.value,
            "row": "" if swing.shot is None else float(swing.shot.row_number),
        }
        for measure in measures[swing.id]:
            line.update(_csv_cells(measure, handedness))
        lines.append(line)
    return tuple(lines)


def _csv_cells(measure: Measure, handedness: Handedness) -> dict[str, str | float]:
    """The number with its unit and sign in the heading, a bound in words, and the 90 % interval where there is one."""
    kind = measure.kind
    signs = f"; + {kind.positive}, - {kind.negative}" if kind.positive else ""
    head = f"{measure.label} [{kind.unit.strip().replace('°', 'deg')}{signs}]"
    if measure.why_missing:
        return {head: ""}
    if measure.bound:
        return {head: say_measure(measure, handedness)}
    cells: dict[str, str | float] = {head: round(measure.value, kind.decimals + 1)}
    if kind.source is not Source.DEVICE:
        cells[f"{measure.label} 90 % low"] = _csv_low(measure, handedness)
        cells[f"{measure.label} 90 % high"] = round(measure.high, kind.decimals + 1)
    return cells


def _csv_low(measure: Measure, handedness: Handedness) -> str | float:
    """Lower end of the interval; beyond what can be told a bound, in words."""
    farthest = KNOWN_DOWN_TO.get(measure.name, measure.low)
    if measure.low < farthest:
        return say_measure(Measure(measure.name, farthest, bound=Bound.AT_LEAST), handedness)
    return round(measure.low, measure.kind.decimals + 1)
