"""The steps of the pupil view, without Qt, and text made fit for the pupil's eyes."""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from review.app.language import tr
from review.app.lesson_chart.first_last import FirstLast
from review.app.side_by_side.lock import FIRST_FRAMES
from review.app.side_by_side.words import pick_numbers, say_measured
from review.compare.samples import MeasureKey
from review.jobs.comparing import LessonComparison
from review.jobs.showing.pair import ForPupil
from review.lesson import KeyFrameName
from review.lettering import clean

AT = (KeyFrameName.ADDRESS, KeyFrameName.TOP, KeyFrameName.IMPACT, KeyFrameName.FINISH)
_MOST_LETTERS = 240
MOST_NUMBERS = 3


class Shows(StrEnum):
    """What a step shows."""

    CLIPS = "clips"
    NUMBERS = "numbers"
    FELT = "felt"


@dataclass(frozen=True)
class Step:
    """One step; of clips ``at`` is the key frame at which they are locked."""

    shows: Shows
    at: str = ""


@dataclass(frozen=True)
class Content:
    """What there is to show: key frames that both clips share (None = no two clips), numbers, felt and measured."""

    names: tuple[str, ...] | None = None
    numbers: tuple[tuple[str, FirstLast], ...] = ()
    felt: str = ""
    measured: tuple[str, ...] = ()

    @property
    def steps(self) -> tuple[Step, ...]:
        """The steps in order; what there is nothing for is left out."""
        steps = []
        if self.names is not None:
            shared = [str(name) for name in AT if name in self.names]
            steps += [Step(Shows.CLIPS, name) for name in shared or [FIRST_FRAMES]]
        if self.numbers:
            steps.append(Step(Shows.NUMBERS))
        if self.felt:
            steps.append(Step(Shows.FELT))
        return tuple(steps)


def gather(
    shown: ForPupil | None,
    names: tuple[str, ...] | None,
    compared: LessonComparison | None,
    chosen: Sequence[MeasureKey],
) -> Content:
    """Gather what a pupil is shown, of the numbers those ``chosen`` on the chart first; nothing before it was read."""
    if shown is None or compared is None:
        return Content(names)
    has_body = shown.may_measure
    return Content(
        names,
        pick_numbers(compared, chosen, MOST_NUMBERS, has_body),
        hide_names(compared.last.feel, shown.hidden_names),
        say_measured(compared, has_body)[:MOST_NUMBERS],
    )


def hide_names(text: str, names: Sequence[str]) -> str:
    """Put 'another pupil' in the place of other pupils' names in what was typed; a long text is shortened."""
    text = clean(text)
    # the longest first: of 'Sam' and 'Sam Example' the whole name goes
    for name in sorted((clean(name) for name in names), key=len, reverse=True):
        if name:
            text = re.sub(rf"(?<!\w){re.escape(name)}(?!\w)", tr("another pupil"), text, flags=re.IGNORECASE)
    return text if len(text) <= _MOST_LETTERS else text[:_MOST_LETTERS].rstrip() + "…"
