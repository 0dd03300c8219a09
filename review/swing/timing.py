"""How long the parts of a swing take."""

import math

from review.lesson import KeyFrame, KeyFrameName, Measure

_FRAME_ERROR_S = 0.02


def compute_tempo(key_frames: tuple[KeyFrame, ...], time_scale: float = 1.0) -> tuple[Measure, ...]:
    """Backswing (address to top), downswing (top to impact), both in true seconds, and their ratio."""
    at = {k.name: k.time_s * time_scale for k in key_frames}
    missing = [n.value for n in (KeyFrameName.ADDRESS, KeyFrameName.TOP, KeyFrameName.IMPACT) if n.value not in at]
    if missing:
        why = f"{' and '.join(missing)} not found in the clip"
        return tuple(Measure(name, math.nan, why_missing=why) for name in ("backswing_s", "downswing_s", "tempo_ratio"))
    back = at[KeyFrameName.TOP] - at[KeyFrameName.ADDRESS]
    down = at[KeyFrameName.IMPACT] - at[KeyFrameName.TOP]
    return (
        _timed("backswing_s", back, _FRAME_ERROR_S),
        _timed("downswing_s", down, _FRAME_ERROR_S),
        _timed("tempo_ratio", back / down, back / down * math.hypot(_FRAME_ERROR_S / back, _FRAME_ERROR_S / down)),
    )


def _timed(name: str, value: float, own_sd: float) -> Measure:
    return Measure(name, value, low=value - 1.645 * own_sd, high=value + 1.645 * own_sd, own_sd=own_sd)
