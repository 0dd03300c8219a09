"""Which instants of clips shown together are shown: real speed once, then top to just after impact at quarter speed."""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from review.errors import BadInputError
from review.lesson import FloatArray
from review.media import VideoInfo
from review.takehome.clip_sides import ClipSide, Shown

SLOW = 0.25
_MARGIN_S = 0.3
_FURTHER_S = 1.0
"""An address (finish) earlier (later) than the other clip's by more than this does not drag the pair along."""
_MOST_BEFORE_S, _MOST_AFTER_S = 3.5, 2.5
_BEFORE_S, _AFTER_S = 1.6, 0.9
"""Where address or finish were not found: about a full swing before impact and its follow-through after."""
_TOP_BEFORE_S, _TOP_LEAD_S, _SLOW_AFTER_S = 0.4, 0.05, 0.15
FREEZE_AT = ("top", "impact")
"""Where a clip is held unless the coach says otherwise."""
_HELD_S = 1.6
_SMOOTH_FROM_HZ = 45.0
_BRIEF_S, _SAME_S = 0.1, 0.003
"""A drawing on for less true time would not be seen; holds nearer to each other show the same picture."""


@dataclass(frozen=True)
class Passage:
    """True seconds from impact (negative before) between which the pair is shown, and how fast."""

    start_s: float
    stop_s: float
    speed: float


def plan_passages(shown: Shown, infos: tuple[VideoInfo, ...]) -> tuple[Passage, ...]:
    """Return the passages of clips shown together.

    Raises
    ------
    BadInputError
        The impact of a clip lies outside it.
    """
    begins, ends = zip(*(_reach(side, info) for side, info in zip(shown.sides, infos, strict=True)), strict=True)
    starts = [_or(side.after_impact_s("address"), -_BEFORE_S) for side in shown.sides]
    finishes = [_or(side.after_impact_s("finish"), _AFTER_S) for side in shown.sides]
    start = max(min(starts) - _MARGIN_S, max(starts) - _FURTHER_S, -_MOST_BEFORE_S, *begins)
    stop = min(max(finishes) + _MARGIN_S, min(finishes) + _FURTHER_S, _MOST_AFTER_S, *ends)
    tops = [_or(side.after_impact_s("top"), -_TOP_BEFORE_S) for side in shown.sides]
    slow_start = max(min(tops) - _TOP_LEAD_S, start)
    return Passage(start, stop, 1.0), Passage(slow_start, min(_SLOW_AFTER_S, stop), SLOW)


def _reach(side: ClipSide, info: VideoInfo) -> tuple[float, float]:
    begin = float(info.time_s[0] - side.impact_s) * side.time_scale
    end = float(info.time_s[-1] - side.impact_s) * side.time_scale
    if begin > 0 or end < 0:
        raise BadInputError(
            f"Expected the impact inside '{side.path.name}' ({info.time_s[0]:.2f} to {info.time_s[-1]:.2f} s), "
            f"but it is given at {side.impact_s:.2f} s. Mark the impact of this clip again."
        )
    return begin, end


def _or(value: float | None, otherwise: float) -> float:
    return otherwise if value is None else value


def choose_rate_hz(shown: Shown, infos: tuple[VideoInfo, ...]) -> int:
    """Return 60 pictures per second when a clip has that many in true time, else 30."""
    true_rates = [info.frame_rate_hz / side.time_scale for side, info in zip(shown.sides, infos, strict=True)]
    return 60 if max(true_rates) >= _SMOOTH_FROM_HZ else 30


def list_instants(passage: Passage, rate_hz: float) -> FloatArray:
    """Return the instants (true seconds from impact) of a passage's pictures; impact is one of them."""
    step = passage.speed / rate_hz
    first, last = math.ceil(passage.start_s / step - 1e-6), math.floor(passage.stop_s / step + 1e-6)
    instants: FloatArray = np.arange(first, max(first, last) + 1, dtype=np.float64) * step
    return instants


@dataclass(frozen=True)
class Hold:
    """Where the picture stands still: ``times_s`` (presentation) of each clip's own picture, None = as it runs."""

    name: str
    at_s: float
    times_s: tuple[float | None, ...]


def plan_holds(shown: Shown, passages: tuple[Passage, ...], freeze_at: tuple[str, ...]) -> tuple[tuple[Hold, ...], ...]:
    """Return the holds of every passage: at key frames once all clips have reached theirs, and at brief drawings."""
    holds: list[Hold] = []
    for name in freeze_at:
        times = [side.impact_s if name == "impact" else side.time_of(name) for side in shown.sides]
        at = [side.true_s(t) for side, t in zip(shown.sides, times, strict=True) if t is not None]
        if at:
            holds.append(Hold(name, max(at), tuple(times)))
    for i, side in enumerate(shown.sides):
        for drawing in side.drawings:
            if (drawing.end_s - drawing.start_s) * side.time_scale < _BRIEF_S:
                own = tuple(drawing.start_s if n == i else None for n in range(len(shown.sides)))
                holds.append(Hold("", side.true_s(drawing.start_s), own))
    chosen: list[list[Hold]] = [[] for _ in passages]
    for hold in holds:
        inside = [n for n, passage in enumerate(passages) if passage.start_s <= hold.at_s <= passage.stop_s]
        is_told = any(_shows(other, hold, shown) for kept in chosen for other in kept)
        if inside and not is_told:
            chosen[inside[-1]].append(hold)  # in slow motion where that passes it
    return tuple(tuple(sorted(kept, key=lambda hold: hold.at_s)) for kept in chosen)


def _shows(hold: Hold, other: Hold, shown: Shown) -> bool:
    """Whether what is held shows the other hold's pictures as well."""
    return all(
        theirs is None or (mine is not None and abs(mine - theirs) * side.time_scale < _SAME_S)
        for mine, theirs, side in zip(hold.times_s, other.times_s, shown.sides, strict=True)
    )


def count_held(rate_hz: float) -> int:
    """Return for how many pictures a hold lasts."""
    return round(_HELD_S * rate_hz)


def nearest_frames(side: ClipSide, info: VideoInfo, instants_s: FloatArray) -> NDArray[np.int64]:
    """Return for each instant the clip's frame nearest in presentation time x time scale."""
    wanted = side.impact_s + instants_s / side.time_scale
    after = np.clip(np.searchsorted(info.time_s, wanted), 1, max(1, info.n_frames - 1))
    if info.n_frames == 1:
        return np.zeros(len(instants_s), dtype=np.int64)
    is_before_nearer = wanted - info.time_s[after - 1] <= info.time_s[after] - wanted
    return np.where(is_before_nearer, after - 1, after).astype(np.int64)
