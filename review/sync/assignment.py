"""Every open swing with its rows: probabilities, the evidence for them, and which are sure enough to be pairs."""

from collections.abc import Sequence

import numpy as np

from review.lesson import FloatArray
from review.sync.alignment import compute_pair_chances
from review.sync.chance import compute_density
from review.sync.moments import Group, RowMoment
from review.sync.offset import shift_rows
from review.sync.reasons import explain_pair
from review.sync.results import SURE, Candidate, Evidence, Matching, Pairing, Question
from review.sync.segments import Stretch
from review.sync.windows import BoolArray, IntArray, Intervals, Windows

_UNPAIRED = 0.05
_WORTH_ASKING = 0.1
_HAS_SOME_ROW = 0.5
_MOST_CANDIDATES = 4
_LEAST_SHOWN = 0.005


def assign_rows(
    groups: Sequence[Group],
    rows: Sequence[RowMoment],
    row_times: Intervals,
    windows: Windows,
    stretches: Sequence[Stretch],
    open_swings: BoolArray,
    open_rows: BoolArray,
) -> Matching:
    """Give every open swing its rows with probabilities; pair what is sure, ask what is not.

    Parameters
    ----------
    groups, rows : clips of one swing each, and the table's rows.
    row_times, windows : when they were struck, on their own clocks.
    stretches : how the clocks stand to each other.
    open_swings, open_rows : what the coach has not paired.
    """
    parts = [_compute_likelihood(windows, row_times, s) for s in stretches]
    likelihood = np.sum(parts, axis=0) / (_UNPAIRED * _row_rate(rows))
    by_clocks_alone = likelihood / (1.0 + likelihood.sum(axis=1, keepdims=True))
    likelihood[~open_swings] = 0.0
    likelihood[:, ~open_rows] = 0.0
    best_of_parts = np.array([part.max(axis=1, initial=0.0) for part in parts])
    of_stretch = best_of_parts.argmax(axis=0)
    # a swing that fits a row under either clock belongs to either
    share = best_of_parts.max(axis=0) / np.maximum(best_of_parts.sum(axis=0), 1e-300)
    trust = np.array([s.offset.weight * (1.0 if s.is_sure or len(stretches) == 1 else 0.5) for s in stretches])
    trusted = (trust[of_stretch] * share)[:, None]
    strike = windows.likeliest()
    by_stretch = np.array([s.offset.clock.to_device_s(strike.middle_s) for s in stretches])
    device_s = by_stretch[of_stretch, np.arange(len(groups))]
    chances = trusted * _order_and_compute(likelihood, device_s, strike.width_s, row_times)
    # of what the coach decided, what the clocks would have said is kept as evidence
    shown = np.where(open_swings[:, None], chances, by_clocks_alone * trusted)
    residuals = strike.middle_s[:, None] - _row_middles(row_times, stretches, of_stretch)
    evidence = {}
    for i, group in enumerate(groups):
        best = np.argsort(-shown[i], kind="stable")[:_MOST_CANDIDATES].tolist()
        evidence[group[0].clip_id] = Evidence(
            tuple(
                Candidate(rows[j].row_id, float(shown[i, j]), float(residuals[i, j]))
                for j in best
                if shown[i, j] > _LEAST_SHOWN
            ),
            float(strike.middle_s[i]),
            float(strike.width_s[i]),
            float(windows.struck[i]),
            stretches[int(of_stretch[i])].offset.clock,
        )
    has_some = chances.sum(axis=1) >= _HAS_SOME_ROW * trusted[:, 0]
    pairs, questions = _choose(groups, rows, np.where(has_some[:, None], chances, 0.0), residuals)
    return Matching(pairs=pairs, questions=questions, evidence=evidence)


def _row_middles(rows: Intervals, stretches: Sequence[Stretch], of_stretch: IntArray) -> FloatArray:
    """(n_swings, n_rows) middle of each row on the camera's clock, by the clock taken for each swing."""
    return np.array([shift_rows(rows, s.offset.clock).middle_s for s in stretches])[of_stretch]


def _choose(
    groups: Sequence[Group], rows: Sequence[RowMoment], chances: FloatArray, residuals: FloatArray
) -> tuple[tuple[Pairing, ...], tuple[Question, ...]]:
    """Take the likeliest pair first, each swing and row once."""
    busy_swings, busy_rows = set(), set()
    pairs, questions = [], []
    order = np.argsort(-chances, axis=None, kind="stable")
    for i, j in zip(*(part.tolist() for part in np.unravel_index(order, chances.shape)), strict=True):
        probability = float(chances[i, j])
        if probability < _WORTH_ASKING:
            break
        if i in busy_swings or j in busy_rows:
            continue
        busy_swings.add(i)
        busy_rows.add(j)
        clip_ids = tuple(moment.clip_id for moment in groups[i])
        text = explain_pair(groups[i], float(residuals[i, j]))
        if probability >= SURE:
            pairs.append(Pairing(clip_ids, rows[j].row_id, probability, f"{text}."))
        else:
            text = f"{text[:1].upper()}{text[1:]}, but it is not sure."
            questions.append((i, Question(clip_ids, rows[j].row_id, probability, text)))
    return tuple(pairs), tuple(question for _, question in sorted(questions, key=lambda item: item[0]))


def _compute_likelihood(windows: Windows, rows: Intervals, stretch: Stretch) -> FloatArray:
    """Density (n_swings, n_rows) of every pair, per second; the doubt about the clock widens the rows."""
    clock = stretch.offset.clock
    shifted = shift_rows(rows, clock)
    # a uniform interval of this half width has the clock's SD
    wider = np.sqrt(3.0) * clock.spread_s(rows.middle_s)
    shifted = Intervals(shifted.low_s - wider, shifted.high_s + wider)
    density = compute_density(Intervals(windows.low_s, windows.high_s), shifted, 0.0) * windows.weight[:, None]
    summed = np.zeros((windows.n_swings, len(rows.low_s)))
    np.add.at(summed, windows.owner, density)
    return np.asarray(summed * stretch.swings[:, None] * stretch.rows)


def _order_and_compute(
    likelihood: FloatArray, device_s: FloatArray, width_s: FloatArray, rows: Intervals
) -> FloatArray:
    """Chances of all pairs with both sides put in order; where clocks do not tell the order, it counts for nothing."""
    swing_order = np.argsort(np.where(np.isfinite(device_s), device_s, np.inf), kind="stable")
    row_order = np.argsort(np.where(np.isfinite(rows.low_s), rows.low_s, np.inf), kind="stable")
    ordered = likelihood[np.ix_(swing_order, row_order)]
    within = compute_pair_chances(ordered)
    rivals = ordered.sum(axis=1, keepdims=True) + ordered.sum(axis=0, keepdims=True) - ordered
    freely = ordered / (1.0 + rivals)
    times, widths = device_s[swing_order], width_s[swing_order]
    # with NaN, a swing without a time, the order is not known either
    is_apart = np.diff(times) > np.maximum(widths[1:], widths[:-1]) / 2
    is_told = np.concatenate([[True], is_apart]) & np.concatenate([is_apart, [True]])
    chances = np.zeros_like(likelihood)
    chances[np.ix_(swing_order, row_order)] = np.where(is_told[:, None], within, np.minimum(within, freely))
    return chances


def _row_rate(rows: Sequence[RowMoment]) -> float:
    times = [r.clock_s for r in rows if r.clock_s is not None]
    span = max(times) - min(times) if len(times) > 1 else 60.0
    return len(rows) / max(span, 10.0)
