"""Where a swing's pressure trace stands against its clips."""

from dataclasses import dataclass

import numpy as np

from review.charts import place_feet
from review.jobs.pressure.mats import Mat
from review.jobs.pressure.placing import MOVE_WITHIN_S as WITHIN_S
from review.jobs.pressure.placing import PlacedInTime
from review.lesson import FloatArray, Handedness, Trace

__all__ = ["WITHIN_S", "PressureShown", "show_pressure"]


@dataclass(frozen=True, eq=False)
class PressureShown:
    """The centre of pressure over true seconds after impact: ``moments_s`` (n,), ``xy_cm`` (n, 2).

    Where the mat is known, as seen from above from where a face-on camera stands: the target on its side, the toes
    toward the reader (down, -y), with the outlines of lead and trail foot where the stance is known; else in the mat's
    own axes. ``within_s`` is how exactly it is placed in time.
    """

    moments_s: FloatArray
    xy_cm: FloatArray
    within_s: float = WITHIN_S
    feet_cm: tuple[FloatArray, ...] = ()

    def place_at(self, moment_s: float) -> tuple[float, float] | None:
        """Where it is at a moment; None outside the trace."""
        if not len(self.moments_s) or not self.moments_s[0] <= moment_s <= self.moments_s[-1]:
            return None
        x, y = (float(np.interp(moment_s, self.moments_s, self.xy_cm[:, axis])) for axis in (0, 1))
        return x, y


def show_pressure(
    trace: Trace,
    placed: PlacedInTime | None,
    mat: Mat | None = None,
    handedness: Handedness = Handedness.RIGHT,
    stature_m: float | None = None,
) -> PressureShown | None:
    """Lay a trace over the clips; None where it could not be placed."""
    if placed is None:
        return None
    moments_s = trace.time_s - placed.impact_s
    if mat is None:
        return PressureShown(moments_s, trace.xy_cm, placed.within_s)
    xy = mat.placement.to_player(trace.xy_cm) * _as_seen(handedness)
    return PressureShown(moments_s, xy, placed.within_s, show_feet(mat, handedness, stature_m))


def show_feet(mat: Mat, handedness: Handedness, stature_m: float | None) -> tuple[FloatArray, ...]:
    """Outlines of lead and trail foot as seen by a face-on camera from above; none where the stance is not known."""
    if mat.placement.stance_cm is None:
        return ()
    feet = place_feet(mat.placement.stance_cm, mat.lead_flare_deg, mat.trail_flare_deg, stature_m)
    return tuple(foot * _as_seen(handedness) for foot in feet)


def _as_seen(handedness: Handedness) -> FloatArray:
    return np.array([1.0 if handedness is Handedness.RIGHT else -1.0, -1.0])
