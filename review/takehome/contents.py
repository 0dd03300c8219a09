"""What a take-home holds: plain, checked words and numbers; whoever fills them has asked for consent."""

import math
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path

from review.lesson import Drawing, Handedness, KeyFrame
from review.media import Footage
from review.pose import LandmarkTrack
from review.takehome.picture_cover import PictureCover

USUAL_CAUTIONS = (
    "Warm up before you practise.",
    "If something hurts, stop and see a qualified professional.",
    "Nobody within reach of the club.",
    "This is a coaching aid, not medical advice.",
)

BODY_NUMBERS = "Numbers of the body are estimates from the picture; they were checked on rendered people only."

VERDICT_WORDS = (
    "The range after a verdict holds the true change 19 times in 20. Clear: more than chance and more than the "
    "measuring error. Likely: a hint, not yet sure. Can't tell yet: it may be no change at all."
)


@dataclass(frozen=True)
class Pointer:
    """An arrow to a part of the body ("hips", "shoulders", "trail heel") while the clip is held at a key frame."""

    key_frame: str
    body_point: str


@dataclass(frozen=True, eq=False)
class ClipSide:
    """One clip of a pair, with what is said about it.

    ``impact_s`` and the times of ``key_frames`` are presentation times of the clip; true time =
    presentation time x ``time_scale``. ``lines`` are finished words ("hips open 20° at impact").
    ``track`` lets the body lines be drawn, None when the clip was not measured; ``drawings`` are the coach's;
    ``pointers`` the arrows where it is held. ``cover`` hides faces and bystanders on every frame that is shown, None =
    shown as filmed.
    """

    path: Path | Footage
    label: str
    batch_number: int
    impact_s: float
    key_frames: tuple[KeyFrame, ...] = ()
    time_scale: float = 1.0
    handedness: Handedness = Handedness.RIGHT
    lines: tuple[str, ...] = ()
    track: LandmarkTrack | None = None
    drawings: tuple[Drawing, ...] = ()
    pointers: tuple[Pointer, ...] = ()
    cover: PictureCover | None = None

    def __post_init__(self) -> None:
        _check_batch_number(self.batch_number)
        if not math.isfinite(self.impact_s):
            raise ValueError(f"impact_s must be finite, got {self.impact_s}")
        if not (math.isfinite(self.time_scale) and self.time_scale > 0):
            raise ValueError(f"time_scale must be positive, got {self.time_scale}")

    def time_of(self, name: str) -> float | None:
        """Presentation time of a key frame, None when it was not found."""
        return next((k.time_s for k in self.key_frames if k.name == name), None)

    def true_s(self, time_s: float) -> float:
        """True seconds from impact (negative before it) of a presentation time."""
        return (time_s - self.impact_s) * self.time_scale

    def after_impact_s(self, name: str) -> float | None:
        """True seconds from impact to a key frame, None when it was not found."""
        time_s = self.time_of(name)
        return None if time_s is None else self.true_s(time_s)


@dataclass(frozen=True, eq=False)
class Pair:
    """Two clips of one view to be seen side by side, ``first`` on the left."""

    first: ClipSide
    last: ClipSide
    view: str
    title: str

    @property
    def sides(self) -> tuple[ClipSide, ClipSide]:
        """Both clips, left and right."""
        return self.first, self.last


@dataclass(frozen=True, eq=False)
class Alone:
    """One clip to be seen by itself."""

    side: ClipSide
    view: str
    title: str

    @property
    def sides(self) -> tuple[ClipSide]:
        """The clip."""
        return (self.side,)


Shown = Pair | Alone


@dataclass(frozen=True)
class Row:
    """One number, first batch against last, in finished words ("6.0° in-to-out", "4.0° less in-to-out")."""

    label: str
    first_words: str
    last_words: str
    change_words: str = ""
    interval_words: str = ""
    verdict_words: str = ""
    in_aim: bool = False
    is_measured: bool = True


@dataclass(frozen=True)
class BatchWords:
    """One batch: what the coach asked for, what the pupil felt, how many shots ``n``, how many of them do not count."""

    number: int
    cue: str = ""
    feel: str = ""
    n: int = 0
    n_left_out: int = 0

    def __post_init__(self) -> None:
        _check_batch_number(self.number)


@dataclass(frozen=True)
class ChartPoint:
    """One swing of a run chart: ``order`` along the lesson, ``value`` in the chart's unit."""

    order: int
    value: float
    batch_number: int
    left_out: bool = False

    def __post_init__(self) -> None:
        _check_batch_number(self.batch_number)
        if not math.isfinite(self.value):
            raise ValueError(f"a swing without a value has no place in a chart, got {self.value}")


@dataclass(frozen=True)
class Chart:
    """One measure over the lesson. ``up_words`` and ``down_words`` say what higher and lower mean ("in-to-out")."""

    title: str
    unit: str
    points: tuple[ChartPoint, ...]
    up_words: str = ""
    down_words: str = ""


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
    ``strips`` are pictures of every shot of first and last batch, ``pictures`` of what the balls did.
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
    felt_measured: tuple[FeltMeasured, ...] = ()
    practice: tuple[str, ...] = ()
    check_alone: str = ""
    cautions: tuple[str, ...] = USUAL_CAUTIONS
    notes: tuple[str, ...] = ()
    swings_csv: tuple[dict[str, str | float], ...] = field(default=())


def _check_batch_number(number: int) -> None:
    if number < 1:
        raise ValueError(f"batches count from 1, got {number}")
