"""Held positions as the coach marks them, step by step; without Qt."""

from dataclasses import dataclass, replace
from enum import Enum

from review.body import Hold
from review.body.player_setup import LEAST_HOLDS
from review.jobs.measuring.player_files import make_hold


class HoldStep(Enum):
    """What is asked for of each hold, in this order."""

    BEGIN = "begin"
    END = "end"
    HIPS = "hips"
    SHOULDERS = "shoulders"


HOLD_STEPS = tuple(HoldStep)
TIMES = (HoldStep.BEGIN, HoldStep.END)
"""Steps that ask for a time of the clip; the others ask for a turn."""
HOLD_S = 2.0
"""How long a position is held, as the coach is asked to."""


@dataclass(frozen=True)
class HoldsDraft:
    """Holds that are marked whole, in order of time, and what is said of the next one; ``at`` counts its steps."""

    holds: tuple[Hold, ...] = ()
    begin_s: float | None = None
    end_s: float | None = None
    hips_deg: float | None = None
    at: int = 0

    @property
    def step(self) -> HoldStep:
        """What is asked for now."""
        return HOLD_STEPS[self.at]

    @property
    def n_missing(self) -> int:
        """How many holds are still needed at least: the address, and those that a correction is fitted to."""
        return max(0, LEAST_HOLDS + 1 - len(self.holds))

    def take_time(self, time_s: float) -> "HoldsDraft":
        """Take a time of the clip for this step and go on.

        Raises
        ------
        ValueError
            The end is not far enough after the begin.
        """
        if self.step is HoldStep.BEGIN:
            return replace(self, begin_s=time_s, at=1)
        assert self.begin_s is not None
        make_hold(self.begin_s, time_s, 0.0, None)
        return replace(self, end_s=time_s, at=2)

    def take_turn(self, turn_deg: float | None) -> "HoldsDraft":
        """Take a turn for this step, None = not set to a mark; after the shoulders the hold is whole.

        Raises
        ------
        ValueError
            When it cannot be, with the reason that a file of the same numbers is refused for.
        """
        assert self.begin_s is not None
        assert self.end_s is not None
        if self.step is HoldStep.HIPS:
            if turn_deg is not None:
                make_hold(self.begin_s, self.end_s, turn_deg, None)
            return replace(self, hips_deg=turn_deg, at=3)
        hold = make_hold(self.begin_s, self.end_s, self.hips_deg, turn_deg)
        return HoldsDraft(tuple(sorted((*self.holds, hold), key=lambda one: one.from_s)))

    def back(self) -> "HoldsDraft":
        """Go a step back; from the begin of a hold to the last of those that are whole, to say its turns anew."""
        if self.at:
            return replace(self, at=self.at - 1)
        if not self.holds:
            return self
        last = self.holds[-1]
        return HoldsDraft(self.holds[:-1], last.from_s, last.to_s, last.hip_turn_deg, len(HOLD_STEPS) - 1)

    def without(self, n: int) -> "HoldsDraft":
        """Take hold number ``n``, from 0, away."""
        return replace(self, holds=self.holds[:n] + self.holds[n + 1 :])
