"""Swings in a long recording: where one may be, whether it is one, whether a ball was struck, and where to cut."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np
from scipy.ndimage import gaussian_filter1d, maximum_filter1d
from scipy.signal import find_peaks

from review.body import compute_stature_px
from review.body.golfer import LEAD_ANKLE, LEAD_WRIST, TRAIL_ANKLE, TRAIL_WRIST
from review.lesson import FloatArray
from review.pose import Landmark, LandmarkTrack
from review.swing.key_frames import STRIKE_WITHIN_S
from review.swing.strike import Strike, choose_strike

# True seconds, and parts of the burst's own height. Common practice, no source; checked on made-up lessons.
_STEP_S = 0.05
_SMOOTHED_S = 0.08
_BACKSWING_S, _STILL_S, _AFTER_S = (-1.0, -0.35), (-3.0, -0.8), (0.4, 1.2)
_LEAST_BACKSWING, _MOST_BACKSWING, _MOST_STILL, _MOST_AFTER = 0.08, 0.9, 0.3, 0.6
_LEAST_BURST_OF_USUAL = 0.2
# A downswing of a player who fills the height of the picture measures about 1100, with the square of the size.
_LEAST_BURST, _LEAST_OVER_QUIET, _QUIET_PERCENTILE = 60.0, 5.0, 20
_SAME_SWING_S = 0.5
_MOVES_AT_STRIKE_S = 0.25

# Lengths in statures.
_LEAST_DROP, _LEAST_RISE, _MOST_APART = 0.20, 0.12, 0.16
_DOWN_S, _UP_S = (0.06, 0.55), (0.06, 0.65)
_LEAST_SEEN = 0.5
_NEEDED = [Landmark.NOSE, LEAD_WRIST, TRAIL_WRIST, LEAD_ANKLE, TRAIL_ANKLE]

_WEAK_DB = 9.0
_HEARD, _SURE = 0.5, 0.8
# An unhurried swing takes 1.45 s from address to impact and half a second more to the finish (see time_scale.py).
_BEFORE_S, _BEHIND_S = 3.0, 2.0


@dataclass(frozen=True)
class FoundSwing:
    """One swing of a recording, presentation times.

    ``impact_s`` is when the hands pass the ball, ``strike_s`` when a ball was heard to be struck (None: it was not, or
    there is no sound). ``doubt`` says in words what is not sure, '' when nothing is.
    """

    begin_s: float
    end_s: float
    impact_s: float
    strike_s: float | None
    doubt: str = ""


def find_bursts(time_s: FloatArray, energy: FloatArray, time_scale: float = 1.0) -> FloatArray:
    """Find instants at which the picture moves as in a downswing: still, then moving, then fast, then quiet again.

    Parameters
    ----------
    time_s, energy : (n,) motion in the picture at presentation times, as ``read_picture_motion`` gives it: changes in
        a fifteenth of a presentation second, so slowed pictures have less.
    time_scale : true time = presentation time x time_scale.

    Returns
    -------
    (m,) presentation times, increasing. Somebody walking or teeing up a ball may be among them.
    """
    true_s = time_s * time_scale
    if len(true_s) < 2 or true_s[-1] - true_s[0] < 1.0:
        return np.zeros(0)
    grid = np.arange(true_s[0], true_s[-1], _STEP_S)
    smooth = gaussian_filter1d(np.interp(grid, true_s, energy / time_scale), _SMOOTHED_S / _STEP_S, mode="nearest")
    least = max(_LEAST_BURST, _LEAST_OVER_QUIET * float(np.percentile(smooth, _QUIET_PERCENTILE)))
    peaks, _ = find_peaks(smooth, height=least, distance=round(_SAME_SWING_S / _STEP_S))

    def around(peak: int, span_s: tuple[float, float]) -> FloatArray:
        begin, end = (peak + round(s / _STEP_S) for s in span_s)
        part: FloatArray = smooth[max(0, begin) : max(1, end)]
        return part if len(part) else np.zeros(1)

    kept = [
        peak
        for peak in peaks.tolist()
        if _LEAST_BACKSWING <= np.median(around(peak, _BACKSWING_S)) / smooth[peak] <= _MOST_BACKSWING
        and np.percentile(around(peak, _STILL_S), 15) <= _MOST_STILL * smooth[peak]
        and around(peak, _AFTER_S).min() <= _MOST_AFTER * smooth[peak]
    ]
    if not kept:
        return np.zeros(0)
    usual = float(np.median(smooth[kept]))
    return np.array([grid[p] / time_scale for p in kept if smooth[p] >= _LEAST_BURST_OF_USUAL * usual])


def choose_candidates(
    bursts_s: FloatArray, strikes: Sequence[Strike], time_s: FloatArray, energy: FloatArray, time_scale: float = 1.0
) -> tuple[float, ...]:
    """Join what was seen and what was heard: presentation times that deserve a closer look, increasing.

    A sound that is more likely a strike than not counts only where the picture moves at least half as fast as in half
    of the bursts seen, or in the fastest tenth of the recording where none was.
    """
    near = max(1, round(2 * _MOVES_AT_STRIKE_S / time_scale / max(1e-6, float(np.median(np.diff(time_s))))))
    fastest = maximum_filter1d(energy, near)
    level = np.median(np.interp(bursts_s, time_s, fastest)) / 2 if len(bursts_s) else np.percentile(energy, 90)
    likely = [s for s in strikes if not s.log_odds < 0]  # NaN = not rated
    heard = [s.time_s for s in likely if np.interp(s.time_s, time_s, fastest) >= max(level, 1e-9)]
    chosen: list[float] = []
    for at_s in sorted([*heard, *bursts_s]):
        if not chosen or (at_s - chosen[-1]) * time_scale > _SAME_SWING_S:
            chosen.append(float(at_s))
    return tuple(chosen)


def find_hands_through(track: LandmarkTrack, time_scale: float = 1.0) -> float | None:
    """Find when both hands, together, come down and go up again as they do in a swing.

    Returns
    -------
    Presentation time of the lowest hands; None when they do not, or nobody is seen.

    Notes
    -----
    Hands that drop by 0.20 statures within 0.55 s and rise by 0.12 within 0.65 s after, the wrists within 0.16 of each
    other: half swings pass, walking, pointing and teeing up do not.
    """
    is_seen = np.isfinite(track.image_px[:, _NEEDED, :2]).all(axis=(1, 2))
    if is_seen.mean() < _LEAST_SEEN:
        return None
    seen = replace(
        track,
        time_s=track.time_s[is_seen],
        image_px=track.image_px[is_seen],
        world_m=track.world_m[is_seen],
        visibility=track.visibility[is_seen],
    )
    true_s = seen.time_s * time_scale
    size = compute_stature_px(seen, slice(0, len(true_s)))
    wrists = seen.image_px[:, [LEAD_WRIST, TRAIL_WRIST], :2]
    grid = np.arange(true_s[0], true_s[-1], 1.0 / 60.0)
    height = np.interp(grid, true_s, -wrists[:, :, 1].mean(axis=1)) / size
    apart = np.interp(grid, true_s, np.linalg.norm(wrists[:, 0] - wrists[:, 1], axis=1)) / size
    best_s, most = None, 0.0
    for i, at_s in enumerate(grid):
        before = (grid >= at_s - _DOWN_S[1]) & (grid <= at_s - _DOWN_S[0])
        after = (grid >= at_s + _UP_S[0]) & (grid <= at_s + _UP_S[1])
        if not before.any() or not after.any() or np.median(apart[before]) > _MOST_APART:
            continue
        drop, rise = float(height[before].max() - height[i]), float(height[after].max() - height[i])
        if drop >= _LEAST_DROP and rise >= _LEAST_RISE and min(drop, rise) > most:
            best_s, most = float(at_s) / time_scale, min(drop, rise)
    return best_s


def cut_swings(
    impacts_s: Sequence[float],
    strikes: Sequence[Strike],
    begin_s: float,
    end_s: float,
    has_sound: bool,
    time_scale: float = 1.0,
) -> tuple[FoundSwing, ...]:
    """Say of every swing where it begins and ends and whether a ball was struck.

    Parameters
    ----------
    impacts_s : presentation times of the lowest hands, in any order; those of one swing may come twice.
    strikes : sharp sounds of the whole recording.
    begin_s, end_s : of the recording.

    Notes
    -----
    A ball was struck when a sound within 0.12 s of the lowest hands is more likely a strike than not. One 9 dB weaker
    than this player's usual ones may be a neighbour's: that is said, as is a certainty below 0.8. A swing reaches from
    3 s before to 2 s after, no further than halfway to the next one.
    """
    single: list[float] = []
    for impact_s in sorted(impacts_s):
        if not single or (impact_s - single[-1]) * time_scale > _SAME_SWING_S:
            single.append(impact_s)
    heard = [
        choose_strike(strikes, impact_s, STRIKE_WITHIN_S, time_scale, least_certainty=_HEARD) for impact_s in single
    ]
    usual_db = float(np.median([s.strength_db for s in heard if s is not None])) if any(heard) else 0.0
    halves = [(a + b) / 2 for a, b in pairwise(single)]
    found = []
    for impact_s, strike, low_s, high_s in zip(single, heard, [begin_s, *halves], [*halves, end_s], strict=True):
        doubt = ""
        if not has_sound:
            doubt = "there is no sound to tell a struck ball from a practice swing"
        elif strike is not None and strike.strength_db < usual_db - _WEAK_DB:
            doubt = "the strike heard is much weaker than the others: it may be a neighbour's"
        elif strike is not None and strike.certainty < _SURE:
            doubt = f"it is not sure ({strike.certainty:.0%}) that the sound heard is a strike"
        found.append(
            FoundSwing(
                begin_s=max(low_s, impact_s - _BEFORE_S / time_scale),
                end_s=min(high_s, impact_s + _BEHIND_S / time_scale),
                impact_s=impact_s,
                strike_s=None if strike is None else strike.time_s,
                doubt=doubt,
            )
        )
    return tuple(found)
