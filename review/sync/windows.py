"""When each swing's ball may have been struck, by what was heard in its clips and by where their camera triggers."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from review.lesson import FloatArray
from review.sync.moments import ClipMoment, Group, RowMoment

SLACK_S = 0.1
"""Every interval is widened by this much at both ends: strikes heard late, devices that stamp late."""
SILENT_BUT_STRUCK = 0.02
"""How often a swing in which no strike was heard struck a ball all the same, before the lesson itself tells."""
_LEAST_WEIGHT = 1e-4
# no detector is surer: a row beside a strike heard elsewhere in the clip is worth a question where many are missed
_MOST_CERTAIN = 0.97
_TRIGGER_CLIPS = 8
_TRIGGER_HOLDS = 0.95
_TRIGGER_LEAST_SD_S = 0.02
# in parts of the clip; strikes anywhere in it give about 0.2
_TRIGGER_MOST_SD = 0.1
# of a normal distribution the shortest interval with half of all values is this many SD long
_HALF_OF_NORMAL_SD = 2.0 * 0.6745

IntArray = NDArray[np.intp]
BoolArray = NDArray[np.bool_]
_Window = tuple[float, float, float]


@dataclass(frozen=True, eq=False)
class Intervals:
    """Where true times lie: one per swing or row, seconds, (n,) each; NaN = no time known."""

    low_s: FloatArray
    high_s: FloatArray

    @property
    def middle_s(self) -> FloatArray:
        return (self.low_s + self.high_s) / 2.0

    @property
    def width_s(self) -> FloatArray:
        return self.high_s - self.low_s

    def only(self, kept: BoolArray) -> "Intervals":
        """The same with all others unknown; ``kept`` (n,) of bool."""
        return Intervals(np.where(kept, self.low_s, np.nan), np.where(kept, self.high_s, np.nan))


@dataclass(frozen=True, eq=False)
class Windows:
    """Where each swing's strike may lie on the camera's clock: some windows per swing, (n_windows,) each.

    ``owner`` is the swing, ascending, of ``n_swings``; ``weight`` the probability that its ball was struck in that
    window. What is missing to 1 is the probability that none was struck.
    """

    owner: IntArray
    low_s: FloatArray
    high_s: FloatArray
    weight: FloatArray
    n_swings: int

    @property
    def struck(self) -> FloatArray:
        """(n_swings,) probability that a ball was struck at all."""
        return np.bincount(self.owner, self.weight, self.n_swings).astype(np.float64)

    def likeliest(self, least_weight: float = 0.0) -> Intervals:
        """Of each swing the likeliest window; NaN where none weighs enough."""
        low, high = np.full(self.n_swings, np.nan), np.full(self.n_swings, np.nan)
        best = np.full(self.n_swings, -1.0)
        for owner, a, b, weight in zip(self.owner, self.low_s, self.high_s, self.weight, strict=True):
            if weight > best[owner] and weight >= least_weight:
                low[owner], high[owner], best[owner] = a, b, weight
        return Intervals(low, high)

    def widest(self) -> Intervals:
        """Of each swing the widest window: the whole clip, where its strike may be unheard."""
        width = self.high_s - self.low_s
        return Windows(self.owner, self.low_s, self.high_s, width, self.n_swings).likeliest()

    def only(self, kept: BoolArray) -> "Windows":
        """The same without the windows of other swings; ``kept`` (n_swings,) of bool."""
        k = kept[self.owner]
        return Windows(self.owner[k], self.low_s[k], self.high_s[k], self.weight[k], self.n_swings)


def build_windows(groups: Sequence[Group], silent_chance: float) -> Windows:
    """Say of every swing where its strike may lie.

    Parameters
    ----------
    groups : clips of one swing each.
    silent_chance : how likely a swing in which no strike was heard struck a ball all the same.

    Notes
    -----
    A sound heard is a window as wide as the clock's rounding; a strike not heard may lie anywhere in the clip. Most
    cameras are triggered by the swing, so the strike lies at about the same place of every clip: where eight clips or
    more show such a place (shortest interval with half of them, narrow beside the clip), sounds elsewhere count for
    less. Windows of two
    cameras are multiplied: what only one allows is out.
    """
    triggers = _find_triggers([moment for group in groups for moment in group])
    found: list[tuple[int, float, float, float]] = []
    for i, group in enumerate(groups):
        parts = [_clip_windows(m, triggers.get(m.camera), silent_chance) for m in group]
        if any(m.strikes for m in group):
            # one microphone may be off: its silence takes nothing back, its clip still says when
            parts = [
                part if m.strikes else (_clip_windows(m, triggers.get(m.camera), 1.0)[0], 1.0)
                for m, part in zip(group, parts, strict=True)
            ]
        found += [(i, *window) for window in _combine([p for p in parts if p[0]])]
    owner, low, high, weight = np.array(found, dtype=float).reshape(-1, 4).T
    return Windows(owner.astype(np.intp), low, high, weight, len(groups))


def build_row_intervals(rows: Sequence[RowMoment]) -> Intervals:
    """Say when each row was struck on the device's clock; one without a time lies between its neighbours' times."""
    low = np.array([np.nan if r.clock_s is None else r.clock_s for r in rows], dtype=float)
    high = low + np.array([r.resolution_s for r in rows])
    timed = np.isfinite(low)
    order = np.argsort([r.order for r in rows], kind="stable")
    known = order[timed[order]]
    if len(known) >= 2 and np.all(np.diff(low[known]) >= 0):
        place = np.searchsorted(np.flatnonzero(timed[order]), np.arange(len(order)))
        for at, row in zip(place.tolist(), order.tolist(), strict=True):
            if not timed[row] and 0 < at < len(known):
                low[row], high[row] = low[known[at - 1]], high[known[at]]
    return Intervals(low - SLACK_S, high + SLACK_S)


def _find_triggers(moments: Sequence[ClipMoment]) -> dict[str, tuple[float, float]]:
    """Per camera: mean and SD of where in its clips the likeliest strike lies, seconds after the start."""
    places: dict[str, list[float]] = {}
    lengths: dict[str, list[float]] = {}
    for m in moments:
        if m.start_clock_s is not None and m.end_clock_s is not None and m.strike_clock_s is not None:
            lengths.setdefault(m.camera, []).append(m.end_clock_s - m.start_clock_s)
            likeliest = max(m.strikes, key=lambda strike: strike[1])
            places.setdefault(m.camera, []).append(likeliest[0] - m.start_clock_s)
    triggers = {}
    for camera, values in places.items():
        if len(values) >= _TRIGGER_CLIPS:
            ordered = np.sort(values)
            half = len(ordered) // 2
            spans = ordered[half:] - ordered[: len(ordered) - half]
            k = int(np.argmin(spans))
            middle = float(ordered[k : k + half + 1].mean())
            sd = max(float(spans[k]) / _HALF_OF_NORMAL_SD, _TRIGGER_LEAST_SD_S)
            if sd <= _TRIGGER_MOST_SD * float(np.median(lengths[camera])):
                triggers[camera] = middle, sd
    return triggers


def _clip_windows(
    moment: ClipMoment, trigger: tuple[float, float] | None, silent_chance: float
) -> tuple[list[_Window], float]:
    """Windows of one clip, and the weight of no strike."""
    late = moment.resolution_s + SLACK_S
    strikes = list(moment.strikes)
    most = min(1.0, _MOST_CERTAIN / max(sum(p for _, p in strikes), 1e-9))
    strikes = [(t, p * most) for t, p in strikes]
    unheard = 1.0 - sum(p for _, p in strikes)
    start, end = moment.start_clock_s, moment.end_clock_s
    if start is None or end is None:
        return [(t - SLACK_S, t + late, p) for t, p in strikes], unheard
    spans = [(start - SLACK_S, end + late, 1.0)]
    if trigger is not None and end > start:
        middle, sd = trigger
        strikes = [(t, p * _compare_with_trigger(t - start, middle, sd, end - start)) for t, p in strikes]
        low, high = start + middle - 3 * sd, start + middle + 3 * sd
        if high - low < (end - start) / 2:
            spans = [
                (low - SLACK_S, high + late, _TRIGGER_HOLDS),
                (start - SLACK_S, end + late, 1.0 - _TRIGGER_HOLDS),
            ]
    total = sum(p for _, p in strikes) + unheard
    windows = [(t - SLACK_S, t + late, p / total) for t, p in strikes]
    windows += [(a, b, p * silent_chance * unheard / total) for a, b, p in spans]
    return [window for window in windows if window[2] > 0], unheard * (1.0 - silent_chance) / total


def _compare_with_trigger(place: float, middle: float, sd: float, length: float) -> float:
    """Likelihood of a place in the clip for the own strike, against any place alike."""
    density = math.exp(-0.5 * ((place - middle) / sd) ** 2) / (sd * math.sqrt(2.0 * math.pi))
    return 1.0 - _TRIGGER_HOLDS + _TRIGGER_HOLDS * density * length


def _combine(parts: Sequence[tuple[list[_Window], float]]) -> list[_Window]:
    """Multiply what the clips of one swing allow; where they exclude each other, whatever lies between them."""
    if not parts:
        return []
    windows, nothing = parts[0]
    for others, no_other in parts[1:]:
        span = max(w[1] for w in [*windows, *others]) - min(w[0] for w in [*windows, *others])
        both = []
        for a_low, a_high, a in windows:
            for b_low, b_high, b in others:
                low, high = max(a_low, b_low), min(a_high, b_high)
                if high > low:
                    both.append((low, high, a * b * span * (high - low) / ((a_high - a_low) * (b_high - b_low))))
        if not both:
            first, second = max(windows, key=lambda w: w[2]), max(others, key=lambda w: w[2])
            low, high = sorted((max(first[0], second[0]), min(first[1], second[1])))
            both = [(low, high, first[2] * second[2])]
        nothing = nothing * no_other
        total = sum(w[2] for w in both) + nothing
        windows = [(low, high, p / total) for low, high, p in both]
        nothing /= total
    return [w for w in windows if w[2] >= _LEAST_WEIGHT] or windows[:1]
