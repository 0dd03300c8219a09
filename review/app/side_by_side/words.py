"""What stands beside two swings, without Qt: whose batch, what changed, what was felt and what was measured."""

from collections.abc import Sequence
from dataclasses import dataclass

from review.app.language import tr
from review.app.lesson_chart.first_last import FirstLast, say_first_last
from review.app.number_words import say_change, say_label
from review.compare import Verdict
from review.compare.samples import MeasureKey
from review.jobs.comparing import LessonComparison
from review.jobs.showing.pair import SideShown
from review.lesson import KINDS, Source
from review.lettering import capitalise

MOST_MEASURED = 4
"""Lines beside what was felt: more have no room under a long feel."""


@dataclass(frozen=True)
class Told:
    """One measure first against last, and the last batch's feel beside what the aim's measures did; all may be empty.

    ``instead`` says why there is no ``change``; ``measured`` has a line for each measure.
    """

    label: str
    change: FirstLast | None
    instead: str
    felt: str
    measured: tuple[str, ...]


def say_side(side: SideShown) -> str:
    """Say which swing it is: 'Batch 1 · swing 3 · drill'."""
    batch = tr("no batch") if side.batch is None else tr("batch {n}", n=side.batch.number)
    kind = "" if side.swing.kind == "shot" else tr(side.swing.kind.value)
    return capitalise(" · ".join(part for part in (batch, tr("swing {n}", n=side.swing.order), kind) if part))


def tell(compared: LessonComparison | None, key: MeasureKey | None, why_not: str = "") -> Told:
    """Tell what stands beneath; ``why_not`` is the reason where nothing could be compared."""
    if compared is None:
        return Told("", None, why_not or tr("Comparing first and last …"), "", ())
    change = None if key is None else say_first_last(compared, key)
    name = "" if key is None else capitalise(say_label(*key))
    instead = "" if change is not None else tr("Not measured in both batches.")
    return Told(name, change, instead, compared.last.feel, say_measured(compared)[:MOST_MEASURED])


def say_measured(compared: LessonComparison, has_body: bool = True) -> tuple[str, ...]:
    """Say what the aim's measures did, with how sure that is: 'Club path: 4.0° less in-to-out (clear)'."""
    hand = compared.pupil.handedness
    return tuple(
        f"{capitalise(say_label(c.name, c.key_frame))}: "
        f"{say_change(c.name, c.mean_first, c.mean_last, hand)} ({_say_verdict(c.verdict)})"
        for c in compared.comparisons
        if c.in_aim and min(c.n_first, c.n_last) > 1 and (has_body or not _is_of_body(c.name))
    )


def _say_verdict(verdict: Verdict) -> str:
    return tr("not judged") if verdict is Verdict.NOT_JUDGED else tr(verdict.value)


def pick_numbers(
    compared: LessonComparison, chosen: Sequence[MeasureKey], n: int = 3, has_body: bool = True
) -> tuple[tuple[str, FirstLast], ...]:
    """The numbers a pupil is shown: those up on the chart, then the aim's; only what both batches have.

    Without ``has_body`` those of the body are left out.
    """
    keys = dict.fromkeys((*chosen, *((c.name, c.key_frame) for c in compared.comparisons if c.in_aim)))
    allowed = [key for key in keys if has_body or not _is_of_body(key[0])]
    told = [(capitalise(say_label(*key)), say_first_last(compared, key)) for key in allowed]
    return tuple((name, change) for name, change in told if change is not None)[:n]


def _is_of_body(name: str) -> bool:
    return KINDS[name].source is Source.POSE
