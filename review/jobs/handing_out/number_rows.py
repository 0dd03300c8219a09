"""Every number of a lesson, a row each, as other programs like it."""

import math
from collections.abc import Sequence

from review.compare import measures_of_shot
from review.lesson import Lesson, Measure, Source, Swing
from review.library import Library
from review.takehome.exports import NumberRow
from review.takehome.exports.dictionary import name_unit

_SPARE_DECIMALS = 2


def gather_measures(
    library: Library, lesson: Lesson, with_body: bool
) -> tuple[tuple[Swing, ...], dict[str, tuple[Measure, ...]]]:
    """Return a lesson's swings and the numbers of each, the device's first; those of the body where allowed."""
    swings = library.swings(lesson.id)
    body = library.measures(lesson.id)
    found = {}
    for swing in swings:
        device = () if swing.shot is None else measures_of_shot(swing.shot)
        own = [m for m in body.get(swing.id, ()) if with_body or m.kind.source is not Source.POSE]
        found[swing.id] = (*device, *own)
    return swings, found


def list_rows(
    library: Library,
    lesson: Lesson,
    swings: Sequence[Swing],
    measures: dict[str, tuple[Measure, ...]],
    pupil_name: str,
) -> tuple[NumberRow, ...]:
    """Return the long table; set-ups are numbered, since their names hold ids of pupil and lesson."""
    batches = {batch.id: batch.number for batch in lesson.batches}
    methods = library.method_of_measures(lesson.id)
    setups: dict[str, int] = {}
    return tuple(
        _row(lesson, swing, batches.get(swing.batch_id or ""), measure, pupil_name, setups, methods)
        for swing in swings
        for measure in measures[swing.id]
    )


def _row(
    lesson: Lesson,
    swing: Swing,
    batch: int | None,
    measure: Measure,
    pupil_name: str,
    setups: dict[str, int],
    methods: dict[tuple[str, str, str], str],
) -> NumberRow:
    is_device = measure.kind.source is Source.DEVICE
    decimals = measure.kind.decimals + _SPARE_DECIMALS

    def number(value: float) -> float | None:
        return round(value, decimals) if math.isfinite(value) else None

    is_missing = bool(measure.why_missing)
    has_error = not is_device and not is_missing
    return NumberRow(
        lesson=lesson.id,
        pupil=pupil_name,
        held_on=lesson.held_on.isoformat(),
        swing=swing.order,
        batch=batch,
        kind=swing.kind.value,
        left_out="yes" if swing.left_out else "no",
        table_row=None if swing.shot is None else swing.shot.row_number,
        measure=measure.name,
        key_frame=measure.key_frame,
        value=None if is_missing else number(measure.value),
        unit=name_unit(measure.name),
        low=number(measure.low) if has_error else None,
        high=number(measure.high) if has_error else None,
        own_sd=number(measure.own_sd) if has_error else None,
        shared_sd=number(measure.shared_sd) if has_error else None,
        setup=setups.setdefault(measure.setup, len(setups) + 1) if measure.setup else None,
        bound=measure.bound.value,
        why_missing=measure.why_missing,
        source=measure.kind.source.value,
        method="" if is_device else methods.get((swing.id, measure.name, measure.key_frame), ""),
    )
