"""Clips as they are shown to the pupil, one or two, with what is said about them."""

import math
from dataclasses import dataclass
from pathlib import Path

from review.compare import Verdict
from review.lesson import Drawing, Handedness, KeyFrame
from review.media import Footage
from review.pose import LandmarkTrack
from review.takehome.picture_cover import PictureCover


@dataclass(frozen=True)
class Pointer:
    """An arrow to a part of the body ("hips", "shoulders", "trail heel") while the clip is held at a key frame.

    ``words`` say what is to be seen there ("open 25°").
    """

    key_frame: str
    body_point: str
    words: str = ""


@dataclass(frozen=True)
class SwingNumber:
    """A number of one swing in finished words: "Hip turn at impact", "open 25°", "13 to 37", "can't tell yet".

    ``range_words`` is where it may lie, 9 times in 10; ``verdict`` what is to be said of the change from first batch
    to last, None where nothing is.
    """

    name: str
    words: str
    range_words: str = ""
    verdict: Verdict | None = None

    @property
    def verdict_words(self) -> str:
        """The verdict as it is shown; '' where there is none."""
        return "" if self.verdict is None else self.verdict.value

    @property
    def is_firm(self) -> bool:
        """Whether the change of the batches may be shown as one."""
        return is_firm(self.verdict)


def is_firm(verdict: Verdict | None) -> bool:
    """Whether a change with this verdict may be shown as one: clear or likely."""
    return verdict in (Verdict.CLEAR, Verdict.LIKELY)


@dataclass(frozen=True, eq=False)
class ClipSide:
    """One clip of a pair, with what is said about it.

    ``impact_s`` and the times of ``key_frames`` are presentation times of the clip; true time =
    presentation time x ``time_scale``. ``numbers`` are those of this swing.
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
    numbers: tuple[SwingNumber, ...] = ()
    track: LandmarkTrack | None = None
    drawings: tuple[Drawing, ...] = ()
    pointers: tuple[Pointer, ...] = ()
    cover: PictureCover | None = None

    def __post_init__(self) -> None:
        check_batch_number(self.batch_number)
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


def check_batch_number(number: int) -> None:
    """Refuse a number that no batch has."""
    if number < 1:
        raise ValueError(f"batches count from 1, got {number}")
