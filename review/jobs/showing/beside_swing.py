"""Where a swing's pressure trace stands against its clips."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from review.charts import place_feet
from review.jobs.pressure.impact_in_trace import BY_FORCE, PlacedInTime
from review.jobs.pressure.impact_in_trace import MOVE_WITHIN_S as WITHIN_S
from review.jobs.pressure.mats import Mat
from review.jobs.pressure.measuring import lay_trace
from review.lesson import FloatArray, Handedness, Measure, Trace

__all__ = ["WITHIN_S", "PressureShown", "show_pressure"]


@dataclass(frozen=True, eq=False)
class PressureShown:
    """The centre of pressure over true seconds after impact: ``moments_s`` (n,), ``xy_cm`` (n, 2).

    Where the mat is known, as seen from above from where a face-on camera stands: the target on its side, the toes
    toward the reader (down, -y), with the outlines of lead and trail foot where stance and place of the feet are
    known; else in the mat's own axes. ``within_s`` is how exactly it is placed in time. ``phases_s`` are top and
    impact, where known; ``foot`` what the pictures say of the trail foot. ``is_placed``: how the mat lies is known.
    ``position_pct`` (n,) is the place between the feet, 0 trail, 100 lead, None where that is not known; it is
    ``is_about`` where the feet were not seen, or impact is told by the fastest move only (``has_impact`` false).
    """

    moments_s: FloatArray
    xy_cm: FloatArray
    within_s: float = WITHIN_S
    feet_cm: tuple[FloatArray, ...] = ()
    phases_s: tuple[float, float] | None = None
    foot: tuple[Measure, ...] = ()
    handedness: Handedness = Handedness.RIGHT
    is_placed: bool = False
    position_pct: FloatArray | None = None
    is_about: bool = False
    has_impact: bool = True

    def is_in(self, phase: str) -> NDArray[np.bool_]:
        """Which samples (n,) are of the phase 'back', 'down' or 'after', ends included; all are 'down' if not known."""
        top_s, impact_s = self.phases_s or (-np.inf, np.inf)
        low, high = {"back": (-np.inf, top_s), "down": (top_s, impact_s), "after": (impact_s, np.inf)}[phase]
        inside: NDArray[np.bool_] = (self.moments_s >= low) & (self.moments_s <= high)
        return inside

    def place_at(self, moment_s: float) -> tuple[float, float] | None:
        """Where it is at a moment; None outside the trace, or where a sample is missing."""
        x, y = (self._read(self.xy_cm[:, axis], moment_s) for axis in (0, 1))
        return (x, y) if np.isfinite([x, y]).all() else None

    def position_at(self, moment_s: float) -> float | None:
        """The place between the feet at a moment, in percent; None where it is not known."""
        position = np.nan if self.position_pct is None else self._read(self.position_pct, moment_s)
        return position if np.isfinite(position) else None

    def _read(self, values: FloatArray, moment_s: float) -> float:
        if not len(self.moments_s) or not self.moments_s[0] <= moment_s <= self.moments_s[-1]:
            return np.nan
        return float(np.interp(moment_s, self.moments_s, values))


def show_pressure(
    trace: Trace,
    placed: PlacedInTime | None,
    address_s: float | None,
    mat: Mat | None = None,
    handedness: Handedness = Handedness.RIGHT,
    stature_m: float | None = None,
    phases_s: tuple[float, float] | None = None,
    foot: tuple[Measure, ...] = (),
) -> PressureShown | None:
    """Lay a trace over the clips; None where it could not be placed. ``address_s`` is as in ``lay_trace``."""
    if placed is None:
        return None
    moments_s, has_impact = trace.time_s - placed.impact_s, placed.by == BY_FORCE
    if mat is None or not mat.is_told:
        return PressureShown(
            moments_s, trace.xy_cm, placed.within_s, (), phases_s, foot, handedness, has_impact=has_impact
        )
    placement = lay_trace(trace, placed, mat, address_s).placement
    xy = placement.to_player(trace.xy_cm)
    feet = show_feet(mat, handedness, stature_m) if placement.has_origin else ()
    has_position = placement.has_origin and placement.stance_cm is not None and not mat.doubt
    return PressureShown(
        moments_s,
        xy * _as_seen(handedness),
        placed.within_s,
        feet,
        phases_s,
        foot,
        handedness,
        True,
        placement.to_position_pct(xy[:, 0]) if has_position else None,
        placement.is_approximate or not has_impact,
        has_impact,
    )


def show_feet(mat: Mat, handedness: Handedness, stature_m: float | None) -> tuple[FloatArray, ...]:
    """Outlines of lead and trail foot as seen by a face-on camera from above; none where the stance is not known."""
    if mat.placement.stance_cm is None:
        return ()
    feet = place_feet(mat.placement.stance_cm, mat.lead_flare_deg, mat.trail_flare_deg, stature_m)
    return tuple(foot * _as_seen(handedness) for foot in feet)


def _as_seen(handedness: Handedness) -> FloatArray:
    return np.array([1.0 if handedness is Handedness.RIGHT else -1.0, -1.0])
