"""The swing and what hangs on it: clips, key frames, the shot row, the pressure trace."""

from dataclasses import dataclass, field
from datetime import datetime
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]


class View(StrEnum):
    """Where the camera stands: in front of the player, or behind along the target line."""

    FACE_ON = "face-on"
    DOWN_THE_LINE = "down-the-line"


class SwingKind(StrEnum):
    """What the movement was."""

    SHOT = "shot"
    PRACTICE = "practice"
    DRILL = "drill"
    DEMONSTRATION = "coach's demonstration"


class KeyFrameName(StrEnum):
    """The instants of a swing, in order."""

    ADDRESS = "address"
    TAKEAWAY = "takeaway"
    TOP = "top"
    ARM_LEVEL = "arm level"
    IMPACT = "impact"
    FINISH = "finish"


@dataclass(frozen=True)
class KeyFrame:
    """An instant of one clip.

    ``time_s`` is a presentation time of the clip's file, not rounded to a frame; ``frame`` is the nearest frame,
    counted from the clip's first; ``certainty`` runs from 0 to 1; ``source`` is 'pose', 'sound', 'picture' (the ball
    seen leaving) or 'coach'. ``name`` is one of ``KeyFrameName`` or the coach's own word; ``note`` is what the coach
    says of a mark of their own, private as every note.
    """

    name: str
    time_s: float
    frame: int
    certainty: float
    source: str
    note: str = ""

    def __post_init__(self) -> None:
        if self.note and self.source != "coach":
            raise ValueError("only a mark of the coach's has a note")
        if not 0.0 <= self.certainty <= 1.0:
            raise ValueError(f"certainty must lie in 0..1, got {self.certainty}")
        if self.frame < 0:
            raise ValueError(f"frame must not be negative, got {self.frame}")


@dataclass(frozen=True)
class Clip:
    """One camera's video of one swing: a file, or the part of it from ``begin_s`` up to ``end_s``.

    Both are presentation times (0 = from the first frame, None = to the end), as is every time that hangs on the clip;
    ``duration_s`` and ``n_frames`` are the part's own. ``sha256`` names the stored copy (``file`` is its path inside
    the library), ``original_name`` the coach's file. ``captured_at`` is the camera's clock at the file's first frame
    (naive local time, rounded down to ``captured_resolution_s``), None when the file does not say. True time =
    presentation time x ``time_scale`` (1 unless the file is slow motion); ``time_scale_source`` is 'coach' (always
    wins), 'found' (from the swing) or '' (not looked at yet: the camera's note, else 1). ``strike_s`` is the
    presentation time of the strike heard in its sound, None when none was heard; ``strikes`` are all sounds that may be
    it, each with the probability that it is (() = not kept: the strike heard is taken for sure). ``recording`` is the
    sha256 of the long recording that the clip was found in, '' for a clip that the camera cut: the file may be that
    recording or a copy of the part, with the same times.
    """

    id: str
    sha256: str
    file: str
    original_name: str
    camera: str = ""
    view: View | None = None
    captured_at: datetime | None = None
    captured_resolution_s: float = 1.0
    duration_s: float = 0.0
    n_frames: int = 0
    time_scale: float = 1.0
    time_scale_source: str = ""
    strike_s: float | None = None
    begin_s: float = 0.0
    end_s: float | None = None
    recording: str = ""
    strikes: tuple[tuple[float, float], ...] = ()

    def __post_init__(self) -> None:
        if self.time_scale <= 0:
            raise ValueError(f"time_scale must be positive, got {self.time_scale}")
        if self.begin_s < 0 or (self.end_s is not None and self.end_s <= self.begin_s):
            raise ValueError(f"a clip needs 0 <= begin_s < end_s, got {self.begin_s} and {self.end_s}")

    @property
    def content(self) -> str:
        """Names the pictures: two clips with the same one show the same."""
        if not self.begin_s and self.end_s is None:
            return self.sha256
        end = "" if self.end_s is None else f"{self.end_s:.6f}"
        return f"{self.recording or self.sha256}@{self.begin_s:.6f}-{end}"


@dataclass(frozen=True)
class Shot:
    """One row of the device's table.

    ``values`` maps a measure name to its value in the unit that the name carries; ``extra`` keeps
    every column that was not mapped, as text. ``struck_at`` is the device's clock (naive local
    time), rounded to ``time_resolution_s``; ``row_number`` counts data rows from 1 in ``table``.
    """

    id: str
    row_number: int
    table: str
    values: dict[str, float] = field(default_factory=dict)
    extra: dict[str, str] = field(default_factory=dict)
    struck_at: datetime | None = None
    time_resolution_s: float = 1.0
    club: str = ""


@dataclass(frozen=True, eq=False)
class Trace:
    """Path of the centre of pressure around one swing, in the mat's own axes.

    ``time_s`` (n,) seconds after ``started_at`` (the device's clock), increasing; ``xy_cm`` (n, 2)
    centimetres; ``force_n`` (n,) newtons or None where the table has none; ``lead_force_n`` (n,) the part of it
    under the lead foot, None where the feet are not measured apart. ``is_clock_of_shot``: the recording had no clock,
    ``started_at`` was told from its shot and its own fastest move, so that the shot's time does not tell where impact
    is in it.
    """

    id: str
    started_at: datetime
    time_s: FloatArray
    xy_cm: FloatArray
    force_n: FloatArray | None = None
    lead_force_n: FloatArray | None = None
    is_clock_of_shot: bool = False

    def __post_init__(self) -> None:
        n = len(self.time_s)
        if self.time_s.shape != (n,) or self.xy_cm.shape != (n, 2):
            raise ValueError(
                f"a trace needs time_s (n,) and xy_cm (n, 2), got {self.time_s.shape} and {self.xy_cm.shape}"
            )
        for name, force in (("force_n", self.force_n), ("lead_force_n", self.lead_force_n)):
            if force is not None and force.shape != (n,):
                raise ValueError(f"{name} must have shape {(n,)}, got {force.shape}")
        if n and not np.all(np.diff(self.time_s) > 0):
            raise ValueError("the times of a trace must increase")


@dataclass(frozen=True)
class Swing:
    """One movement; everything hangs on it. ``order`` counts swings along the lesson from 1.

    ``pairing_probability`` is how sure the pairing of clips and shot row is; ``pairing_source`` is
    'clock', 'order' or 'coach' (the coach's pairing, or word that there is none, always wins), '' when there is nothing
    to pair.
    """

    id: str
    order: int
    kind: SwingKind = SwingKind.SHOT
    clips: tuple[Clip, ...] = ()
    shot: Shot | None = None
    trace: Trace | None = None
    batch_id: str | None = None
    pairing_probability: float | None = None
    pairing_source: str = ""
    left_out: str = ""

    @property
    def items(self) -> tuple[str, ...]:
        """Ids of its clips and its row: what is said of a swing is said of each."""
        return (*(clip.id for clip in self.clips), *(() if self.shot is None else (self.shot.id,)))
