"""Fills and writes the take-home of a lesson."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from review.compare import Comparison, choose_typical
from review.errors import BadInputError
from review.jobs.comparing import LessonComparison, compare_lesson
from review.jobs.measuring.kept_landmarks import load_landmarks
from review.lesson import (
    KNOWN_DOWN_TO,
    Batch,
    Bound,
    Handedness,
    Lesson,
    Measure,
    Pupil,
    Purpose,
    Source,
    Swing,
    SwingKind,
    View,
    label,
)
from review.lesson.words import say_change, say_change_interval, say_measure, say_value
from review.library import Library
from review.progress import Progress, silent
from review.takehome import (
    BatchWords,
    Chart,
    ChartPoint,
    ClipSide,
    FeltMeasured,
    Pair,
    Row,
    TakeHome,
    write_takehome,
)

_MOST_LINES = 3
_MOST_CHARTS = 3


@dataclass(frozen=True)
class HandedOut:
    """Where the take-home lies and what it lacks."""

    page: Path
    notes: tuple[str, ...]


def hand_out(
    library: Library,
    lesson: Lesson,
    to: Path,
    chosen: Sequence[tuple[int, int]] = (),
    progress: Progress = silent,
) -> HandedOut:
    """Write the take-home of a lesson into the folder ``to``.

    Parameters
    ----------
    chosen : pairs of swings (first, last) by their number in the lesson; by default the most typical of each batch.

    Raises
    ------
    BadInputError
        When consent to share is missing, a chosen swing has no clip, or there are not two batches.
    MachineError
        When the folder cannot be written.
    """
    pupil = library.pupil(lesson.pupil_id)
    if not pupil.allows(Purpose.SHARE, datetime.now().date()):
        who = f"the guardian ({pupil.guardian or 'not named yet'})" if pupil.is_minor else pupil.name
        raise BadInputError(
            f"Nothing is handed out without consent to share: ask {who}, then record it: "
            f"lesson-review add --pupil {pupil.name!r} --consent-by NAME --consent-for keep,show,share,measure."
        )
    compared = compare_lesson(library, lesson)
    pairs, notes = _pairs(library, compared, chosen)
    if pupil.is_minor:
        # faces cannot be covered yet, and a minor's face is not handed out uncovered
        pairs, notes = (), (*notes, "No clips: the pupil is under age and faces cannot be covered yet.")
    contents = TakeHome(
        pupil_name="" if pupil.is_minor else pupil.name,
        held_on=lesson.held_on,
        aim=lesson.aim,
        worked_on="; ".join(batch.cue for batch in lesson.batches[1:] if batch.cue),
        batches=tuple(_batch_words(library, lesson, batch) for batch in lesson.batches),
        pairs=pairs,
        rows=tuple(_row(comparison, pupil) for comparison in compared.comparisons),
        charts=_charts(library, lesson, compared),
        felt_measured=_felt_measured(compared, pupil),
        practice=lesson.practice_plan,
        check_alone=lesson.check_alone,
        notes=notes,
        swings_csv=_swings_csv(library, lesson, compared.measures, pupil.handedness),
    )
    page = write_takehome(contents, to, progress)
    to_whom = pupil.guardian or "the guardian" if pupil.is_minor else pupil.name
    library.note_handout(lesson.id, f"take-home in {to.name}", to_whom, datetime.now().replace(microsecond=0))
    return HandedOut(page, notes)


def _pairs(
    library: Library, compared: LessonComparison, chosen: Sequence[tuple[int, int]]
) -> tuple[tuple[Pair, ...], tuple[str, ...]]:
    couples: list[tuple[Swing, Swing]] = []
    if chosen:
        by_order = {swing.order: swing for swing in library.swings(compared.lesson.id)}
        for first, last in chosen:
            for order in (first, last):
                if order not in by_order or not by_order[order].clips:
                    raise BadInputError(f"Swing {order} has no clip in this lesson; choose another.")
                if by_order[order].batch_id is None:
                    raise BadInputError(f"Swing {order} belongs to no batch; choose another.")
            couples.append((by_order[first], by_order[last]))
    else:
        body = library.measures(compared.lesson.id)
        typical = [
            choose_typical(swings, body, compared.lesson, needs_clip=True)
            for swings in (compared.first_swings, compared.last_swings)
        ]
        if typical[0] is None or typical[1] is None:
            return (), ("No clips side by side: one of the two batches has no swing with a clip.",)
        couples.append((typical[0], typical[1]))
    pairs: list[Pair] = []
    notes: list[str] = []
    for first_swing, last_swing in couples:
        n_before = len(pairs)
        for view in View:
            sides = [_side(library, compared, swing, view) for swing in (first_swing, last_swing)]
            if sides[0] is not None and sides[1] is not None:
                title = f"Swing {first_swing.order} and swing {last_swing.order}"
                pairs.append(Pair(sides[0], sides[1], view.value, title))
        if len(pairs) == n_before:
            notes.append(
                f"Swings {first_swing.order} and {last_swing.order} were not filmed from the same side, "
                "or not measured."
            )
    return tuple(pairs), tuple(notes)


def _side(library: Library, compared: LessonComparison, swing: Swing, view: View) -> ClipSide | None:
    clip = next((c for c in swing.clips if c.view is view), None)
    if clip is None:
        return None
    key_frames = library.key_frames(clip.id)
    impact = next((k.time_s for k in key_frames if k.name == "impact"), None)
    if impact is None:
        return None
    batch = next(b for b in compared.lesson.batches if b.id == swing.batch_id)
    kept = load_landmarks(library, clip, compared.pupil.handedness)
    track = None if kept is None else kept[0]
    return ClipSide(
        path=library.footage_of(clip),
        label=f"Batch {batch.number}, swing {swing.order}",
        batch_number=batch.number,
        impact_s=impact,
        key_frames=key_frames,
        time_scale=clip.time_scale,
        lines=_lines(compared, swing),
        body_time_s=None if track is None else track.time_s,
        body_px=None if track is None else track.image_px[..., :2],
    )


def _lines(compared: LessonComparison, swing: Swing) -> tuple[str, ...]:
    """The aim's numbers of this swing in words."""
    measures = {(m.name, m.key_frame): m for m in compared.measures[swing.id]}
    lines = []
    for aim in compared.lesson.aim_measures:
        measure = measures.get((aim.name, aim.key_frame))
        if measure is not None and not measure.why_missing:
            about = "about " if measure.bound else ""
            or_more = " or more" if measure.bound else ""
            words = about + say_value(measure.name, measure.value, compared.pupil.handedness) + or_more
            lines.append(f"{_capital(label(aim.name, aim.key_frame))}: {words}")
    return tuple(lines[:_MOST_LINES])


def _row(comparison: Comparison, pupil: Pupil) -> Row:
    name = comparison.name
    if not comparison.n_first or not comparison.n_last:
        nothing = "not measured"
        return Row(_capital(comparison.label), nothing, nothing, "", "", comparison.why, comparison.in_aim)
    first, last = comparison.mean_first, comparison.mean_last
    has_interval = comparison.low == comparison.low
    return Row(
        label=_capital(comparison.label),
        first_words=say_value(name, first, pupil.handedness),
        last_words=say_value(name, last, pupil.handedness),
        change_words=say_change(name, first, last, pupil.handedness),
        interval_words=(
            say_change_interval(name, first, last, comparison.low, comparison.high, pupil.handedness)
            if has_interval
            else ""
        ),
        verdict_words=comparison.verdict.value,
        in_aim=comparison.in_aim,
    )


def _batch_words(library: Library, lesson: Lesson, batch: Batch) -> BatchWords:
    n = sum(s.batch_id == batch.id and s.kind is SwingKind.SHOT for s in library.swings(lesson.id))
    return BatchWords(batch.number, batch.cue, batch.feel, n)


def _charts(library: Library, lesson: Lesson, compared: LessonComparison) -> tuple[Chart, ...]:
    numbers = {batch.id: batch.number for batch in lesson.batches}
    charts = []
    for aim in lesson.aim_measures[:_MOST_CHARTS]:
        points = []
        for swing in library.swings(lesson.id):
            value = next(
                (
                    m.value
                    for m in compared.measures[swing.id]
                    if (m.name, m.key_frame) == (aim.name, aim.key_frame) and not m.bound
                ),
                float("nan"),
            )
            if value == value and swing.kind is SwingKind.SHOT and swing.batch_id in numbers:
                points.append(ChartPoint(swing.order, value, numbers[swing.batch_id], bool(swing.left_out)))
        if points:
            kind = next(m.kind for ms in compared.measures.values() for m in ms if m.name == aim.name)
            charts.append(Chart(_capital(label(aim.name, aim.key_frame)), kind.unit.strip(), tuple(points)))
    return tuple(charts)


def _felt_measured(compared: LessonComparison, pupil: Pupil) -> tuple[FeltMeasured, ...]:
    """What the pupil felt in the last batch beside what the aim's numbers did."""
    if not compared.last.feel:
        return ()
    moved = [
        f"{c.label}: {say_change(c.name, c.mean_first, c.mean_last, pupil.handedness)} ({c.verdict.value})"
        for c in compared.comparisons
        if c.in_aim and c.n_first and c.n_last
    ]
    return (FeltMeasured(compared.last.feel, "; ".join(moved)),)


def _swings_csv(
    library: Library, lesson: Lesson, measures: dict[str, tuple[Measure, ...]], handedness: Handedness
) -> tuple[dict[str, str | float], ...]:
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


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
