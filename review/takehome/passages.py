"""Which instants of a pair are shown: real speed once, then top to just after impact at quarter speed."""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from review.errors import BadInputError
from review.lesson import FloatArray
from review.media import VideoInfo
from review.takehome.contents import ClipSide, Pair

SLOW = 0.25
_MARGIN_S = 0.3
_FURTHER_S = 1.0
"""An address (finish) earlier (later) than the other clip's by more than this does not drag the pair along."""
_MOST_BEFORE_S, _MOST_AFTER_S = 3.5, 2.5
_BEFORE_S, _AFTER_S = 1.6, 0.9
"""Where address or finish were not found: about a full swing before impact and its follow-through after."""
_TOP_BEFORE_S, _TOP_LEAD_S, _SLOW_AFTER_S = 0.4, 0.05, 0.15
_IMPACT_HELD_S = 0.6
_SMOOTH_FROM_HZ = 45.0


@dataclass(frozen=True)
class Passage:
    """True seconds from impact (negative before) between which the pair is shown, and how fast."""

    start_s: float
    stop_s: float
    speed: float


def plan_passages(pair: Pair, infos: tuple[VideoInfo, VideoInfo]) -> tuple[Passage, ...]:
    """Return the passages of a pair.

    Raises
    ------
    BadInputError
        The impact of a clip lies outside it.
    """
    begins, ends = zip(*(_reach(side, info) for side, info in zip(pair.sides, infos, strict=True)), strict=True)
    starts = [_or(side.after_impact_s("address"), -_BEFORE_S) for side in pair.sides]
    finishes = [_or(side.after_impact_s("finish"), _AFTER_S) for side in pair.sides]
    start = max(min(starts) - _MARGIN_S, max(starts) - _FURTHER_S, -_MOST_BEFORE_S, *begins)
    stop = min(max(finishes) + _MARGIN_S, min(finishes) + _FURTHER_S, _MOST_AFTER_S, *ends)
    tops = [_or(side.after_impact_s("top"), -_TOP_BEFORE_S) for side in pair.sides]
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


def choose_rate_hz(pair: Pair, infos: tuple[VideoInfo, VideoInfo]) -> int:
    """Return 60 pictures per second when a clip has that many in true time, else 30."""
    true_rates = [info.frame_rate_hz / side.time_scale for side, info in zip(pair.sides, infos, strict=True)]
    return 60 if max(true_rates) >= _SMOOTH_FROM_HZ else 30


def list_instants(passage: Passage, rate_hz: float) -> FloatArray:
    """Return the instants (true seconds from impact) of a passage's pictures; impact is one of them.

    In slow motion the impact is held for a moment.
    """
    step = passage.speed / rate_hz
    first, last = math.ceil(passage.start_s / step - 1e-6), math.floor(passage.stop_s / step + 1e-6)
    instants: FloatArray = np.arange(first, max(first, last) + 1, dtype=np.float64) * step
    if passage.speed < 1.0 and first <= 0 <= last:
        held = np.zeros(round(_IMPACT_HELD_S * rate_hz))
        instants = np.concatenate([instants[:-first], held, instants[-first:]])
    return instants


def nearest_frames(side: ClipSide, info: VideoInfo, instants_s: FloatArray) -> NDArray[np.int64]:
    """Return for each instant the clip's frame nearest in presentation time x time scale."""
    wanted = side.impact_s + instants_s / side.time_scale
    after = np.clip(np.searchsorted(info.time_s, wanted), 1, max(1, info.n_frames - 1))
    if info.n_frames == 1:
        return np.zeros(len(instants_s), dtype=np.int64)
    is_before_nearer = wanted - info.time_s[after - 1] <= info.time_s[after] - wanted
    return np.where(is_before_nearer, after - 1, after).astype(np.int64)
