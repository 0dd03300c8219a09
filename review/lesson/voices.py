"""What was spoken in place of writing it: a cue by the coach, a feel by the pupil."""

from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum


class VoiceOf(StrEnum):
    """What of a batch was spoken; the coach speaks a cue, the pupil a feel."""

    CUE = "cue"
    FEEL = "feel"

    @property
    def is_pupils(self) -> bool:
        """Whether it is the pupil who speaks: then the pupil's consent to keeping the voice is needed."""
        return self is VoiceOf.FEEL

    @property
    def said_as(self) -> str:
        """``Said.what`` of a batch whose ``value`` is the voice's id, '' = taken off."""
        return f"{self.value} voice"


@dataclass(frozen=True)
class Voice:
    """A voice that was recorded: ``file`` is its path inside the library, ``recorded_at`` naive local time."""

    id: str
    file: str
    duration_s: float
    recorded_at: datetime
    is_pupils: bool
