"""Rows, charts and words of the comparison, for the pupil."""

from review.compare import Comparison, Verdict
from review.compare.verdict import say_size
from review.jobs.comparing import LessonComparison
from review.lesson import Lesson, Pupil, SwingKind, label
from review.lesson.changes import say_change, say_change_interval, say_directions
from review.lesson.words import say_value
from review.library import Library
from review.takehome import Chart, ChartPoint, FeltMeasured, Row
from review.takehome.text import capitalise

MOST_CHARTS = 4
_ONE_SWING = "one swing in a batch tells nothing yet"


def make_row(comparison: Comparison, pupil: Pupil) -> Row:
    """Say one measure for the pupil: both batches, change with its interval, verdict, or why there is none."""
    name = comparison.name
    if not comparison.n_first or not comparison.n_last:
        nothing = "not measured"
        return Row(
            capitalise(comparison.label),
            nothing,
            nothing,
            verdict_words=comparison.why,
            in_aim=comparison.in_aim,
            is_measured=False,
        )
    first, last = comparison.mean_first, comparison.mean_last
    first_words, last_words = (say_value(name, mean, pupil.handedness) for mean in (first, last))
    if min(comparison.n_first, comparison.n_last) == 1:
        return Row(
            capitalise(comparison.label),
            first_words,
            last_words,
            verdict_words=_ONE_SWING,
            in_aim=comparison.in_aim,
        )
    why = _say_why(comparison)
    has_interval = comparison.low == comparison.low and not why
    return Row(
        label=capitalise(comparison.label),
        first_words=first_words,
        last_words=last_words,
        change_words=say_change(name, first, last, pupil.handedness),
        interval_words=(
            say_change_interval(name, first, last, comparison.low, comparison.high, pupil.handedness)
            if has_interval
            else ""
        ),
        verdict_words=comparison.verdict.value,
        verdict=comparison.verdict,
        why_words=why,
        in_aim=comparison.in_aim,
    )


def _say_why(c: Comparison) -> str:
    """Why nothing can be told although the swings alone would tell: measuring errs as much.

    The range of such a change is of the swings only and leaves out no change, so it is not shown beside these words.
    """
    is_small = c.smallest_that_counts is not None and abs(c.difference) < c.smallest_that_counts
    if c.verdict is not Verdict.CANT_TELL or not is_small or c.low <= 0 <= c.high:
        return ""
    return f"A change under {say_size(c.name, c.smallest_that_counts or 0.0, 1)} can come from measuring alone."


def make_charts(library: Library, lesson: Lesson, compared: LessonComparison) -> tuple[Chart, ...]:
    """Chart the first measures of the aim, at most ``MOST_CHARTS``: every shot with a number, in the measure's unit.

    Values known only as a bound are not charted; a measure without any value has no chart.
    """
    numbers = {batch.id: batch.number for batch in lesson.batches}
    charts = []
    for aim in lesson.aim_measures[:MOST_CHARTS]:
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
            values = [point.value for point in points]
            words = say_directions(aim.name, min(values), max(values), compared.pupil.handedness)
            title = capitalise(label(aim.name, aim.key_frame))
            charts.append(Chart(title, kind.unit.strip(), tuple(points), *words, kind.decimals))
    return tuple(charts)


def say_felt_and_measured(compared: LessonComparison, pupil: Pupil) -> tuple[FeltMeasured, ...]:
    """What the pupil felt in the last batch beside what the aim's numbers did."""
    if not compared.last.feel:
        return ()
    moved = tuple(
        f"{c.label}: {say_change(c.name, c.mean_first, c.mean_last, pupil.handedness)} ({c.verdict.value})"
        for c in compared.comparisons
        if c.in_aim and min(c.n_first, c.n_last) > 1
    )
    return (FeltMeasured(compared.last.feel, moved),)
