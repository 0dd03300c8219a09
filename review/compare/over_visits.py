"""One measure over all visits of a pupil: what each came with and left with, and what of a change held since."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import takewhile

from review.compare.batches import closed, repeatability_of, warn_of_visit
from review.compare.comparing import compare_samples
from review.compare.comparison import Comparison
from review.compare.conditions import Conditions, Difference, conditions_of, find_differences
from review.compare.cues import CueGiven, fold_cue
from review.compare.judging import judge_together
from review.compare.keys import keys_in_order
from review.compare.samples import MeasureKey, Sample, counted, make_sample, measures_of_swing
from review.compare.several import Point, make_point
from review.compare.verdict import Verdict
from review.compare.visits import Held, Kept, judge_kept
from review.lesson import Batch, Handedness, Lesson, Measure, Swing

_SHARE_OF_LARGEST = 0.5


@dataclass(frozen=True)
class BatchOfVisit:
    """A batch that holds shots: ``sample`` are its values of the measure, ``point`` their mean with its interval.

    The interval is of the scatter alone: what two camera set-ups add is in the differences between visits.
    """

    batch: Batch
    sample: Sample
    conditions: Conditions
    point: Point


@dataclass(frozen=True)
class Visit:
    """A lesson's batches in order, and what was found of its change and of those before.

    ``change`` is its first batch against its last as the lesson's own comparison has it, None with fewer than two
    batches. ``kept`` is what is left, at this visit's first batch, of the change of ``kept_of``: the latest clear one
    before that was at least half as large as the largest clear one. ``since`` is the first batch against the last one
    of ``since_of``, the visit before. Both None where there is nothing to put it against. ``warnings`` say what was not
    the same.
    """

    lesson: Lesson
    batches: tuple[BatchOfVisit, ...]
    change: Comparison | None = None
    kept: Kept | None = None
    kept_of: Lesson | None = None
    since: Kept | None = None
    since_of: Lesson | None = None
    warnings: tuple[Difference, ...] = ()

    @property
    def has_changed(self) -> bool:
        """Whether the measure moved in this lesson, clearly or likely."""
        return self.change is not None and self.change.verdict in (Verdict.CLEAR, Verdict.LIKELY)


def gather_visits(
    taught: Sequence[tuple[Lesson, Sequence[Swing]]],
    body: Mapping[str, Sequence[Measure]],
    key: MeasureKey,
    handedness: Handedness,
) -> tuple[Visit, ...]:
    """Gather one measure over a pupil's lessons, oldest first, and judge what held.

    Parameters
    ----------
    taught : every lesson with its swings.
    body : measures of the body and of pressure by swing id: those of ``key`` and of the lessons' aims are enough.
    """
    visits: list[Visit] = []
    for lesson, swings in taught:
        visit = _gather(lesson, swings, body, key, handedness)
        if any(one.sample.values for one in visit.batches):
            visits.append(_judge(visit, visits, key[0]))
    return tuple(visits)


def list_given(visits: Sequence[Visit]) -> tuple[tuple[CueGiven, ...], int]:
    """Every time a cue was given with a batch before it, and how often club, target or ball changed with it.

    Those do not count. A feel without a cue stands for itself; a cue that goes on in the next batch was given once, and
    is told by the last batch in a row with it that still has the club, target and ball of the batch before it.
    """
    given, n_mixed = [], 0
    for visit in visits:
        for n, (before, after) in enumerate(zip(visit.batches, visit.batches[1:], strict=False), start=1):
            cue = _find_cue(after)
            if not cue.strip() or fold_cue(cue) == fold_cue(_find_cue(before)):
                continue
            if find_differences(before.conditions, after.conditions):
                n_mixed += 1
                continue
            row = _find_row(before, visit.batches[n:])
            feel = next((one.batch.feel for one in reversed(row) if one.batch.feel.strip()), "")
            last = next((one for one in reversed(row) if one.sample.values), row[-1])
            given.append(CueGiven(cue, feel, visit.lesson.id, before.sample, last.sample))
    return tuple(given), n_mixed


def _find_cue(one: BatchOfVisit) -> str:
    return one.batch.cue or one.batch.feel


def _find_row(before: BatchOfVisit, batches: Sequence[BatchOfVisit]) -> tuple[BatchOfVisit, ...]:
    """The batches in a row with the first one's cue, as long as nothing else changed."""
    cue = fold_cue(_find_cue(batches[0]))
    return tuple(
        takewhile(
            lambda one: fold_cue(_find_cue(one)) == cue and not find_differences(before.conditions, one.conditions),
            batches,
        )
    )


def _gather(
    lesson: Lesson,
    swings: Sequence[Swing],
    body: Mapping[str, Sequence[Measure]],
    key: MeasureKey,
    handedness: Handedness,
) -> Visit:
    """The batches with shots, and first against last: the measures of the aim are judged together."""
    by_batch = [(batch, counted([s for s in swings if s.batch_id == batch.id])) for batch in lesson.batches]
    filled = [(batch, own) for batch, own in by_batch if own]
    if not filled:
        return Visit(lesson, ())
    by_swing = {swing.id: measures_of_swing(swing, body) for _, own in filled for swing in own}

    def sample(own: Sequence[Swing], of: MeasureKey) -> Sample:
        return make_sample([by_swing[s.id].get(of) for s in own], handedness, [s.order for s in own], lesson.id)

    batches = []
    for batch, own in filled:
        values = sample(own, key)
        batches.append(BatchOfVisit(batch, values, conditions_of(own, batch), make_point(values.values)))
    if len(filled) < 2:
        return Visit(lesson, tuple(batches))
    (_, first), (_, last) = filled[0], filled[-1]
    aim = keys_in_order((by_swing[s.id] for s in (*first, *last)), lesson.aim_measures)[0]
    repeatability = repeatability_of([lesson])
    compared = {
        of: compare_samples(
            of[0],
            sample(first, of),
            sample(last, of),
            key_frame=of[1],
            repeatability=repeatability.get(of[0]),
            batches_closed=closed(first, lesson) and closed(last, lesson),
            in_aim=of in aim,
            warnings=find_differences(batches[0].conditions, batches[-1].conditions),
            is_brief=True,
        )
        for of in dict.fromkeys((*aim, key))
    }
    judged = judge_together([compared[of] for of in aim], is_brief=True)
    change = next((c for c in judged if (c.name, c.key_frame) == key), compared[key])
    return Visit(lesson, tuple(batches), change)


def _judge(visit: Visit, before: Sequence[Visit], name: str) -> Visit:
    """Put a visit's first batch against the visits before it."""
    first = visit.batches[0]
    if not before:
        return visit
    latest = before[-1]
    since = judge_kept(latest.batches[0].sample, latest.batches[-1].sample, first.sample, was_change=False)
    warnings = (*find_differences(latest.batches[-1].conditions, first.conditions), *warn_of_visit(name, 2))
    visit = replace(visit, since=since, since_of=latest.lesson, warnings=warnings)
    changed = _find_changed(before)
    if changed is None:
        return visit
    old_first, old_last = changed.batches[0], changed.batches[-1]
    kept = judge_kept(old_first.sample, old_last.sample, first.sample, was_change=True)
    differs = find_differences(old_last.conditions, first.conditions)
    if differs:
        what = " and ".join(difference.what for difference in differs)
        kept = replace(kept, outcome=Held.CANT_TELL, why=f"not the same {what} in both batches")
    return replace(visit, kept=kept, kept_of=changed.lesson)


def _find_changed(before: Sequence[Visit]) -> Visit | None:
    """The latest visit with a clear change of at least half the largest clear one.

    A likely change comes out for one measure in six that did not move, a clear one for one in thirty: over the years
    there are some, and they are small.
    """
    clear = [
        (v, abs(v.change.difference)) for v in before if v.change is not None and v.change.verdict is Verdict.CLEAR
    ]
    largest = max((size for _, size in clear), default=0.0)
    return next((visit for visit, size in reversed(clear) if size >= _SHARE_OF_LARGEST * largest), None)
