"""How long the parts of a swing take."""

import math
from collections.abc import Sequence

from review.lesson import KeyFrame, KeyFrameName, Measure

_FRAME_ERROR_S = 0.02

# Address to top over top to impact: 5 and 95 % of the 642 labelled slow-motion swings of GolfDB (McNally et al. 2019,
# CVPRW, arXiv 1903.06528). Professionals: 21:7 to 30:10 pictures (Grober & Cholewicki, arXiv physics/0611291).
PUBLISHED_RATIOS = (2.53, 5.07)
# Half as much again: where address lies moves the ratio by more than players differ.
_FAR_OFF = 1.5


def compute_tempo(key_frames: tuple[KeyFrame, ...], time_scale: float = 1.0) -> tuple[Measure, ...]:
    """Backswing (address to top), downswing (top to impact), both in true seconds, and their ratio.

    All three are missing, with the reason, where a key frame is or where they are not in order (a mark misplaced).
    """
    at = {k.name: k.time_s * time_scale for k in key_frames}
    needed = (KeyFrameName.ADDRESS, KeyFrameName.TOP, KeyFrameName.IMPACT)
    missing = [n.value for n in needed if n.value not in at]
    if missing:
        return _none_because(f"{' and '.join(missing)} not found in the clip")
    back = at[KeyFrameName.TOP] - at[KeyFrameName.ADDRESS]
    down = at[KeyFrameName.IMPACT] - at[KeyFrameName.TOP]
    if back <= 0 or down <= 0:
        early, late = needed[:2] if back <= 0 else needed[1:]
        marked = {k.name for k in key_frames if k.source == "coach"}
        yours = " and ".join(n.value for n in (early, late) if n.value in marked)
        return _none_because(
            f"{late.value} does not come after {early.value}" + (f": look at your mark of {yours}" if yours else "")
        )
    return (
        _timed("backswing_s", back, _FRAME_ERROR_S),
        _timed("downswing_s", down, _FRAME_ERROR_S),
        _timed("tempo_ratio", back / down, back / down * math.hypot(_FRAME_ERROR_S / back, _FRAME_ERROR_S / down)),
    )


def _none_because(why: str) -> tuple[Measure, ...]:
    return tuple(Measure(name, math.nan, why_missing=why) for name in ("backswing_s", "downswing_s", "tempo_ratio"))


def doubt_tempo(tempo: Sequence[Measure]) -> str:
    """Say that address or top may be found wrongly when the ratio is far from published ones; '' when it is not.

    It is a test of plausibility, no truth: drills, half swings and some players are far off by right.
    """
    ratio = next((measure.value for measure in tempo if measure.name == "tempo_ratio"), math.nan)
    low, high = PUBLISHED_RATIOS
    if math.isnan(ratio) or low / _FAR_OFF <= ratio <= high * _FAR_OFF:
        return ""
    return (
        f"Backswing to downswing is {ratio:.1f} to 1, far from {low:.1f} to {high:.1f} as published for nine in ten "
        "swings: look at address and top, and mark them where they are wrong."
    )


def _timed(name: str, value: float, own_sd: float) -> Measure:
    return Measure(name, value, low=value - 1.645 * own_sd, high=value + 1.645 * own_sd, own_sd=own_sd)
