"""What a take-home holds: plain, checked words and numbers; whoever fills them has asked for consent."""

import math
from dataclasses import dataclass, field
from datetime import date

from review.compare import Verdict
from review.takehome.clip_sides import Pair, check_batch_number

USUAL_CAUTIONS = (
    "Warm up before you practise.",
    "If something hurts, stop and see a qualified professional.",
    "Nobody within reach of the club.",
    "This is a coaching aid, not medical advice.",
)

BODY_NUMBERS = "Numbers of the body are estimates from the picture; they were checked on rendered people only."

VERDICT_WORDS = (
    "The range after a verdict holds the true change 19 times in 20. Clear: more than chance and more than the "
    "measuring error, all numbers of the lesson's aim looked at together. Likely: a hint, not yet sure. Can't tell "
    "yet: it may be no change at all."
)


@dataclass(frozen=True)
class Row:
    """One number, first batch against last, in finished words ("6.0° in-to-out", "4.0° less in-to-out").

    ``why_words`` say why the verdict is no better where the numbers alone do not. ``verdict`` is what ``verdict_words``
    say, None where there is none and they say why.
    """

    label: str
    first_words: str
    last_words: str
    change_words: str = ""
    interval_words: str = ""
    verdict_words: str = ""
    in_aim: bool = False
    is_measured: bool = True
    why_words: str = ""
    verdict: Verdict | None = None


@dataclass(frozen=True)
class BatchWords:
    """One batch: what the coach asked for, what the pupil felt, how many shots ``n``, how many of them do not count."""

    number: int
    cue: str = ""
    feel: str = ""
    n: int = 0
    n_left_out: int = 0

    def __post_init__(self) -> None:
        check_batch_number(self.number)


@dataclass(frozen=True)
class ChartPoint:
    """One swing of a run chart: ``order`` along the lesson, ``value`` in the chart's unit."""

    order: int
    value: float
    batch_number: int
    left_out: bool = False

    def __post_init__(self) -> None:
        check_batch_number(self.batch_number)
        if not math.isfinite(self.value):
            raise ValueError(f"a swing without a value has no place in a chart, got {self.value}")


@dataclass(frozen=True)
class Chart:
    """One measure over the lesson, its values said with ``decimals``.

    ``up_words`` and ``down_words`` say what higher and lower mean ("in-to-out").
    """

    title: str
    unit: str
    points: tuple[ChartPoint, ...]
    up_words: str = ""
    down_words: str = ""
    decimals: int = 1


@dataclass(frozen=True)
class FeltMeasured:
    """What the pupil felt beside what was measured."""

    felt: str
    measured: tuple[str, ...] = ()


@dataclass(frozen=True)
class Picture:
    """A drawn picture for the page: what it shows, the SVG, the same in words, and the SVG on a dark ground."""

    title: str
    svg: bytes
    words: str
    svg_dark: bytes = b""


@dataclass(frozen=True, eq=False)
class Ground:
    """The picture of the pressure under the feet, and the sentences below it."""

    picture: Picture
    lines: tuple[str, ...]


@dataclass(frozen=True, eq=False)
class TalkVideo:
    """A talk of the coach's that was written beside the page.

    ``over`` says which swings ("swing 3"), ``notes`` what was written in it, with its time ("0:12 heel down");
    ``small_mp4`` is a small form for the page.
    """

    file_name: str
    over: str
    small_mp4: bytes
    with_voice: bool
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, eq=False)
class TakeHome:
    """Everything the pupil gets; every text is finished words, an empty one is left away.

    ``pupil_name`` is empty when the name is not to be shown. ``notes`` say what is missing.
    ``strips`` are pictures of every shot of first and last batch, ``pictures`` of what the balls did, ``ground`` of
    where the pressure went under the feet.
    ``swings_csv`` are the lines of measures.csv, their keys the headings with units.
    """

    pupil_name: str
    held_on: date
    aim: str = ""
    worked_on: str = ""
    batches: tuple[BatchWords, ...] = ()
    pairs: tuple[Pair, ...] = ()
    rows: tuple[Row, ...] = ()
    charts: tuple[Chart, ...] = ()
    strips: tuple[Picture, ...] = ()
    pictures: tuple[Picture, ...] = ()
    ground: Ground | None = None
    felt_measured: tuple[FeltMeasured, ...] = ()
    practice: tuple[str, ...] = ()
    check_alone: str = ""
    cautions: tuple[str, ...] = USUAL_CAUTIONS
    notes: tuple[str, ...] = ()
    swings_csv: tuple[dict[str, str | float], ...] = field(default=())
    has_body_numbers: bool = True
