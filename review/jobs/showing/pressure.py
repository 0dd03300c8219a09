"""Where a swing's pressure trace stands against its clips."""

from dataclasses import dataclass

import numpy as np

from review.jobs.pressure.mats import Mat
from review.jobs.pressure.placing import MOVE_WITHIN_S as WITHIN_S
from review.jobs.pressure.placing import PlacedInTime
from review.lesson import FloatArray, Trace

__all__ = ["WITHIN_S", "PressureShown", "show_pressure"]


@dataclass(frozen=True, eq=False)
class PressureShown:
    """The centre of pressure over true seconds after impact: ``moments_s`` (n,), ``xy_cm`` (n, 2).

    In the player's frame (x toward the target, y toward the toes) where ``mat`` is known, else in the mat's own axes.
    ``within_s`` is how exactly it is placed in time.
    """

    moments_s: FloatArray
    xy_cm: FloatArray
    within_s: float = WITHIN_S
    mat: Mat | None = None

    def place_at(self, moment_s: float) -> tuple[float, float] | None:
        """Where it is at a moment; None outside the trace."""
        if not len(self.moments_s) or not self.moments_s[0] <= moment_s <= self.moments_s[-1]:
            return None
        x, y = (float(np.interp(moment_s, self.moments_s, self.xy_cm[:, axis])) for axis in (0, 1))
        return x, y


def show_pressure(trace: Trace, placed: PlacedInTime | None, mat: Mat | None = None) -> PressureShown | None:
    """Lay a trace over the clips; None where it could not be placed."""
    if placed is None:
        return None
    xy = trace.xy_cm if mat is None else mat.placement.to_player(trace.xy_cm)
    return PressureShown(trace.time_s - placed.impact_s, xy, placed.within_s, mat)
