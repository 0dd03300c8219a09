"""All body measures of one swing over its frames."""

from collections.abc import Sequence
from dataclasses import dataclass, field, replace

import numpy as np

from review.body.foot import (
    NOT_FACE_ON,
    Reading,
    combine_slip,
    compute_trail_foot_slip,
    compute_trail_foot_twist,
    missing,
)
from review.body.heel_off import drop_vague, find_heel_off, find_heel_up
from review.body.linear import compute_hip_shift, compute_trail_heel_lift, fuse
from review.body.seen import SeenSwing
from review.body.series import Series
from review.body.turns import compute_turns
from review.errors import BadInputError
from review.lesson import Bound, KeyFrameName, Measure, View

# Names of series beside those of review.lesson.KINDS
AGAINST_TARGET = "_against_target"
_AT_KEY_FRAMES = {
    "hip_turn_deg": ("top", "arm level", "impact", "finish"),
    "shoulder_turn_deg": ("top", "arm level", "impact", "finish"),
    "trail_heel_lift_cm": ("top", "arm level", "impact"),
    "hip_shift_cm": ("top", "arm level", "impact"),
    "trail_foot_twist_deg": ("arm level", "impact"),
}
NO_FEET = "the feet are not in the picture"
SELDOM_FOUND = "nobody was found on more than a tenth of the frames"
NO_SHIFT_DOWN_THE_LINE = "one down-the-line camera cannot see movement along the target line"


@dataclass(frozen=True, eq=False)
class BodyMeasures:
    """Series by measure name on the first view's frames; what is absent has its reason in ``why_missing``.

    ``readings`` are the numbers that a swing has once: heel-off and slip of the trail foot.
    """

    series: dict[str, Series]
    why_missing: dict[str, str]
    readings: dict[str, Reading] = field(default_factory=dict)


def measure_body(views: Sequence[SeenSwing], stature_m: float | None) -> BodyMeasures:
    """Measure hip turn, shoulder turn, trail-heel lift, hip shift and the trail foot of one swing.

    Parameters
    ----------
    views : one view, or the face-on and the down-the-line view of the same swing, in either order.
    stature_m : standing height in metres, None when not known.

    Raises
    ------
    BadInputError
        When there are more than two views, two of the same kind, or no address or impact.
    """
    if len(views) not in (1, 2):
        raise BadInputError(f"Expected one or two clips of a swing, got {len(views)}.")
    if len(views) == 2 and views[0].view is views[1].view:
        raise BadInputError(
            f"Both clips look {views[0].view.value}; expected one face-on and one down-the-line. "
            "Name the views with --view if they were found wrongly."
        )
    series: dict[str, Series] = {}
    why: dict[str, str] = {}
    for line, (from_address, against) in compute_turns(views).items():
        name = f"{line}_turn_deg"
        series[name] = from_address
        if against is None:
            why[name + AGAINST_TARGET] = "the camera's direction to the target line is not known (no set-up file)"
        else:
            series[name + AGAINST_TARGET] = against

    no_heel = {view.view: _why_no_heel(view) for view in views}
    lifts = {view.view: compute_trail_heel_lift(view, stature_m) for view in views if not no_heel[view.view]}
    laid = [_onto_first(lifts[view.view], view, views[0]) for view in views if view.view in lifts]
    if laid:
        series["trail_heel_lift_cm"] = fuse(*laid) if len(laid) == 2 else laid[0]
    else:
        why["trail_heel_lift_cm"] = no_heel[views[0].view]
    face_on = next((view for view in views if view.view is View.FACE_ON), None)
    heel_off = missing(NOT_FACE_ON)
    if face_on is None:
        why |= {"hip_shift_cm": NO_SHIFT_DOWN_THE_LINE, "trail_foot_twist_deg": NOT_FACE_ON}
    else:
        series["hip_shift_cm"] = _onto_first(compute_hip_shift(face_on, stature_m), face_on, views[0])
        lift = lifts.get(View.FACE_ON)
        heel_off = missing(no_heel[View.FACE_ON]) if lift is None else find_heel_off(lift, face_on)
        twist = (
            no_heel[View.FACE_ON] if lift is None else compute_trail_foot_twist(face_on, find_heel_up(lift, face_on))
        )
        if isinstance(twist, str):
            why["trail_foot_twist_deg"] = twist
        else:
            series["trail_foot_twist_deg"] = _onto_first(twist, face_on, views[0])
    readings = {"heel_off_ms": drop_vague(heel_off)} | _measure_slip(views, stature_m)
    return BodyMeasures(series, why, readings)


def _why_no_heel(view: SeenSwing) -> str:
    """Why a view tells nothing of the heel; '' when it does. Straight lines over missing frames do not lift."""
    if not view.has_feet:
        return NO_FEET
    return SELDOM_FOUND if view.is_seldom_found else ""


def _measure_slip(views: Sequence[SeenSwing], stature_m: float | None) -> dict[str, Reading]:
    """Each view sees the slip across its line of sight; both together its length."""
    seen = {
        view.view: missing(_why_no_heel(view)) if _why_no_heel(view) else compute_trail_foot_slip(view, stature_m)
        for view in views
    }
    along = seen.get(View.FACE_ON, missing(NO_SHIFT_DOWN_THE_LINE))
    to_toes = seen.get(View.DOWN_THE_LINE, missing("one face-on camera cannot see movement toward the toes"))
    return {
        "trail_foot_slip_cm": along,
        "trail_foot_slip_to_toes_cm": to_toes,
        "trail_foot_slip_length_cm": combine_slip(along, to_toes),
    }


def _onto_first(series: Series, seen: SeenSwing, first: SeenSwing) -> Series:
    """Lay a series of another view onto the first view's frames, locked at impact."""
    if seen is first:
        return series
    own_impact, first_impact = seen.true_time_of(KeyFrameName.IMPACT), first.true_time_of(KeyFrameName.IMPACT)
    if own_impact is None or first_impact is None:
        raise BadInputError("Impact was not found in one of the two clips, so they cannot be laid over each other.")
    wanted = first.track.time_s * first.time_scale - first_impact + own_impact
    have = seen.track.time_s * seen.time_scale
    outside = (wanted < have[0]) | (wanted > have[-1])
    value = np.where(outside, np.nan, np.interp(wanted, have, series.value))
    return replace(
        series,
        time_s=first.track.time_s,
        value=value,
        own_sd=np.interp(wanted, have, series.own_sd),
        shared_sd=np.interp(wanted, have, series.shared_sd),
        is_bound=np.zeros(len(value), bool),
    )


def read_off(body: BodyMeasures, seen: SeenSwing, setup: str) -> tuple[Measure, ...]:
    """Read the measures at the key frames off their series; ``setup`` names player and camera set-up."""
    measures = []
    times = {k.name: k.time_s for k in seen.key_frames}
    for name, key_frames in _AT_KEY_FRAMES.items():
        for key_frame in key_frames:
            measures.append(_at_key_frame(body, name, key_frame, times.get(key_frame), setup))
    return (*measures, *(_as_measure(name, reading, setup) for name, reading in body.readings.items()))


def _as_measure(name: str, reading: Reading, setup: str) -> Measure:
    if reading.why_missing:
        return Measure(name, reading.value, setup=setup, why_missing=reading.why_missing)
    low, high = reading.interval
    return Measure(
        name=name,
        value=reading.value,
        low=low,
        high=high,
        own_sd=reading.own_sd,
        shared_sd=reading.shared_sd,
        setup=setup,
        bound=Bound.AT_MOST if reading.is_at_most else Bound.NONE,
    )


def _at_key_frame(body: BodyMeasures, name: str, key_frame: str, time_s: float | None, setup: str) -> Measure:
    nothing = float("nan")
    if name not in body.series:
        return Measure(name, nothing, key_frame, setup=setup, why_missing=body.why_missing[name])
    if time_s is None:
        return Measure(name, nothing, key_frame, setup=setup, why_missing=f"{key_frame} was not found in the clip")
    series = body.series[name]
    i = series.at(time_s)
    if np.isnan(series.value[i]):
        # the hips are seen by the same camera: where it saw them, it is the heel that ended the twist
        is_heel = name == "trail_foot_twist_deg" and np.isfinite(body.series["hip_shift_cm"].value[i])
        reason = f"the trail heel was up by {key_frame}" if is_heel else f"the body was not seen at {key_frame}"
        return Measure(name, nothing, key_frame, setup=setup, why_missing=reason)
    value = series.value_at(time_s)  # at impact the hips turn several degrees from frame to frame
    return Measure(
        name=name,
        value=value,
        key_frame=key_frame,
        low=value - float(series.half_width[i]),
        high=value + float(series.half_width[i]),
        own_sd=float(series.own_sd[i]),
        shared_sd=float(series.shared_sd[i]),
        setup=setup,
        bound=Bound.AT_LEAST if series.is_bound[i] else Bound.NONE,
    )
