"""The pupil and what the pupil agreed to."""

from dataclasses import dataclass, field
from datetime import date
from enum import StrEnum


class Handedness(StrEnum):
    """The side the player swings from: a right-hander's lead side is the left."""

    RIGHT = "right"
    LEFT = "left"


class Purpose(StrEnum):
    """What a consent can cover."""

    KEEP = "keep"
    SHOW = "show"
    SHARE = "share"
    VOICE = "voice"
    MEASURE = "measure"


@dataclass(frozen=True)
class Consent:
    """Who agreed, when, to what and until when (``until``, the last day, None = until withdrawn).

    From the day ``withdrawn_on`` on nothing is covered any longer; the record stays.
    """

    given_by: str
    given_on: date
    purposes: frozenset[Purpose]
    until: date | None = None
    withdrawn_on: date | None = None

    def __post_init__(self) -> None:
        if not self.given_by.strip():
            raise ValueError("consent needs the name of the person who gave it")
        if self.until is not None and self.until < self.given_on:
            raise ValueError(f"consent ends ({self.until}) before it was given ({self.given_on})")
        if self.withdrawn_on is not None and self.withdrawn_on < self.given_on:
            raise ValueError(f"consent is withdrawn ({self.withdrawn_on}) before it was given ({self.given_on})")

    def covers(self, purpose: Purpose, on: date) -> bool:
        """Whether this consent allows ``purpose`` on that day."""
        return self.is_running(on) and purpose in self.purposes

    def is_running(self, on: date) -> bool:
        """Whether it was given by that day, and has neither ended nor been withdrawn."""
        has_ended = self.until is not None and on > self.until
        is_withdrawn = self.withdrawn_on is not None and on >= self.withdrawn_on
        return self.given_on <= on and not has_ended and not is_withdrawn


@dataclass(frozen=True)
class Pupil:
    """A person taught; ``stature_m`` is standing height in metres, None when not asked."""

    id: str
    name: str
    handedness: Handedness
    stature_m: float | None = None
    consent: Consent | None = None
    is_minor: bool = False
    guardian: str | None = None
    private_note: str = field(default="", repr=False)

    def __post_init__(self) -> None:
        if not self.name.strip():
            raise ValueError("a pupil needs a name")
        if self.stature_m is not None and not 0.8 <= self.stature_m <= 2.5:
            raise ValueError(f"stature must lie between 0.8 and 2.5 m, got {self.stature_m}")

    def allows(self, purpose: Purpose, on: date) -> bool:
        """Whether the consent on record covers ``purpose``; a minor's must come from the guardian."""
        if self.consent is None or not self.consent.covers(purpose, on):
            return False
        return not self.is_minor or self.consent.given_by == self.guardian
