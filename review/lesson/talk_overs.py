"""A coach's talk over a clip: what was on the screen at each sample of the voice."""

from dataclasses import dataclass
from datetime import datetime

from review.lesson.drawings import Drawing

WHOLE = (0.0, 0.0, 1.0, 1.0)


@dataclass(frozen=True)
class Moment:
    """What is on the screen from sample ``at`` on.

    ``frame`` counts from the clip's first; ``speed`` is how fast it plays (1 = true speed, 0 = stands still); ``view``
    is what is seen of the picture: left, top, right, bottom as parts of its width and height, before it is turned by
    ``turn_deg`` clockwise about its middle; ``with_body`` says that the body's lines are on, ``ghost`` which frame lies
    faintly over it, None = none; ``note`` is written beneath.
    """

    at: int
    clip_id: str
    frame: int
    speed: float = 0.0
    view: tuple[float, float, float, float] = WHOLE
    drawings: tuple[Drawing, ...] = ()
    note: str = ""
    with_body: bool = False
    ghost: int | None = None
    turn_deg: float = 0.0


@dataclass(frozen=True)
class TalkOver:
    """A talk of ``n_samples`` at ``rate_hz``, told by its moments in order, the first at sample 0.

    The voice's own samples are the clock, so that no other clock can pull picture and voice apart. Without a voice
    (``voice_id`` '') it is the computer's, and notes say what would have been said.
    """

    id: str
    made_at: datetime
    rate_hz: int
    n_samples: int
    moments: tuple[Moment, ...]
    voice_id: str = ""

    def __post_init__(self) -> None:
        if self.rate_hz < 1 or self.n_samples < 1:
            raise ValueError(f"a talk needs samples, got {self.n_samples} at {self.rate_hz} Hz")
        places = [moment.at for moment in self.moments]
        if not places or places[0] != 0 or any(b <= a for a, b in zip(places, places[1:], strict=False)):
            raise ValueError("the moments of a talk begin at sample 0 and come one after another")

    @property
    def duration_s(self) -> float:
        """Length in seconds."""
        return self.n_samples / self.rate_hz
