"""What matching says: pairs, questions, what stayed alone, and the evidence for each."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from review.sync.clock import Clock
from review.sync.moments import Group, RowMoment

SURE = 0.9
"""A pairing less probable than this is a question for the coach."""


@dataclass(frozen=True)
class Pairing:
    """Clips of one swing and the row that belongs to them."""

    clip_ids: tuple[str, ...]
    row_id: str
    probability: float
    why: str


@dataclass(frozen=True)
class Question:
    """A pairing that the coach has to decide; ``probability`` is how likely it is."""

    clip_ids: tuple[str, ...]
    row_id: str
    probability: float
    text: str


@dataclass(frozen=True)
class Candidate:
    """A row that a swing may have: how probable, and how far clip and row lie apart once the clocks are set right."""

    row_id: str
    probability: float
    residual_s: float


@dataclass(frozen=True)
class Evidence:
    """What speaks for and against the rows of one swing, the likeliest first.

    ``strike_s`` and ``strike_width_s`` say where its strike lies on the camera's clock and within how much,
    ``struck`` how likely a ball was struck at all; ``clock`` is what the camera's clock was taken for.
    """

    candidates: tuple[Candidate, ...]
    strike_s: float
    strike_width_s: float
    struck: float
    clock: Clock | None


@dataclass(frozen=True)
class ClockStretch:
    """A part of the lesson in which the clocks stand to each other in one way.

    ``from_s`` and ``to_s`` are the first and last row of it on the device's clock; ``n_pairs`` bear it out.
    """

    clock: Clock
    from_s: float
    to_s: float
    n_pairs: int
    is_sure: bool


@dataclass(frozen=True)
class Matching:
    """Pairs, questions, and what stayed alone with the reason.

    ``stretches`` say how the clocks of camera and device stand to each other; mostly one, none when nothing is sure.
    ``refused`` says why clips and table do not belong together, '' when they do. ``evidence`` is by the id of a
    swing's first clip. ``doubles`` are rows of further tables that are set aside, with the reason; ``table_clocks``
    give the first table's time of a further table's ("camera" is the first table).
    """

    pairs: tuple[Pairing, ...] = ()
    questions: tuple[Question, ...] = ()
    unmatched_groups: tuple[tuple[Group, str], ...] = ()
    unmatched_rows: tuple[tuple[RowMoment, str], ...] = ()
    stretches: tuple[ClockStretch, ...] = ()
    refused: str = ""
    evidence: Mapping[str, Evidence] = field(default_factory=dict)
    doubles: tuple[tuple[RowMoment, str], ...] = ()
    table_clocks: Mapping[str, Clock] = field(default_factory=dict)

    @property
    def clock(self) -> Clock | None:
        """The clock of most pairs, None when nothing is sure."""
        return max(self.stretches, key=lambda s: s.n_pairs).clock if self.stretches else None

    @property
    def offset_s(self) -> float | None:
        """Camera minus device in the middle of the lesson (of its longest stretch)."""
        return None if self.clock is None else self.clock.offset_s

    @property
    def offset_spread_s(self) -> float | None:
        """SD of ``offset_s``: what clips and rows leave possible."""
        return None if self.clock is None else self.clock.offset_spread_s

    def find_device_time(self, clip_id: str, camera_s: float) -> float:
        """The device's time of a moment of a swing, by the clock taken for that swing; itself where none is known."""
        evidence = self.evidence.get(clip_id)
        clock = (evidence.clock if evidence else None) or self.clock
        return camera_s if clock is None else clock.to_device(camera_s)
