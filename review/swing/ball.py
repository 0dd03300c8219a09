"""The ball leaving, seen in the picture: a small bright thing at the player's feet, there before impact, gone after."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import find_objects, label

from review.body import compute_stature_px, middle_px
from review.body.golfer import LEAD_ANKLE, TRAIL_ANKLE
from review.lesson import FloatArray
from review.pose import LandmarkTrack

# The least size the rules allow, 42.67 mm, over a usual stature of 1.74 m.
_BALL_PER_STATURE = 0.0245
# Around the ankles, in statures: to each side (down the line the ball lies in front of the toes), above, below.
_ASIDE, _ABOVE, _BELOW = 0.75, 0.10, 0.32

SEARCH_S, NEAR_S = 0.40, 0.12
_AWAY_S = 0.12
_LEAST_PICTURES = 3
_PICTURES_TO_LEARN = 7
_LEAST_CHANGE = 14.0
_CHANGE_OVER_NOISE = 4.0
_SIZE = (0.45, 2.2)
_FILLED = 0.5
_LEAST_PIXELS = 5
_THERE, _GONE = 0.7, 0.3
_CLEARLY_THERE = 0.8
_LEAST_STEADY = 0.85
_AT_ONCE_S = 0.04
_LEAST_CONTRAST_SHARE = 0.4


@dataclass(frozen=True)
class BallRegion:
    """Where the ball may lie, in pixels of the clip: columns ``left`` to ``right``, rows ``top`` to ``bottom``.

    ``ball_px`` is the diameter to expect.
    """

    left: int
    top: int
    right: int
    bottom: int
    ball_px: float

    @property
    def rows(self) -> slice:
        """Rows of the clip's pictures."""
        return slice(self.top, self.bottom)

    @property
    def columns(self) -> slice:
        """Columns of the clip's pictures."""
        return slice(self.left, self.right)

    @property
    def is_empty(self) -> bool:
        """Whether the feet are so far out of the picture that nothing of it is left."""
        return self.bottom - self.top < self.ball_px or self.right - self.left < self.ball_px


@dataclass(frozen=True)
class BallLeft:
    """The ball was seen leaving between two pictures, at about ``time_s`` (half-way, or where it was half gone).

    ``within_s`` is the most that the spacing of pictures leaves open to each side; ``contrast`` how far it stood out,
    in grey levels.
    """

    time_s: float
    within_s: float
    contrast: float


def find_ball_region(track: LandmarkTrack, still: slice) -> BallRegion:
    """Find where the ball may lie from where the player stands on still frames; for either hand and view."""
    stature = compute_stature_px(track, still)
    x, y = np.median(middle_px(track, LEAD_ANKLE, TRAIL_ANKLE)[still], axis=0)
    columns = np.clip([x - _ASIDE * stature, x + _ASIDE * stature], 0, track.width_px)
    rows = np.clip([y - _ABOVE * stature, y + _BELOW * stature], 0, track.height_px)
    return BallRegion(int(columns[0]), int(rows[0]), int(columns[1]), int(rows[1]), _BALL_PER_STATURE * stature)


def choose_pictures(time_s: FloatArray, around_s: float) -> NDArray[np.intp]:
    """Numbers of the pictures to look at, in order: all near ``around_s``, a few well before and after (true times)."""
    gap_s = time_s - around_s
    near = np.flatnonzero(np.abs(gap_s) <= NEAR_S)
    early = np.flatnonzero((gap_s >= -SEARCH_S) & (gap_s < -_AWAY_S))
    late = np.flatnonzero((gap_s > _AWAY_S) & (gap_s <= SEARCH_S))
    return np.unique(np.concatenate([_spread(early), near, _spread(late)]))


def _spread(numbers: NDArray[np.intp]) -> NDArray[np.intp]:
    """About seven of them, evenly."""
    n = min(len(numbers), _PICTURES_TO_LEARN)
    chosen: NDArray[np.intp] = numbers[np.linspace(0, len(numbers) - 1, n).astype(int)] if n else numbers
    return chosen


def find_ball_leaving(
    grey: NDArray[np.uint8], time_s: FloatArray, around_s: float, ball_px: float, within_s: float = 0.12
) -> BallLeft | None:
    """Find when the ball left its place.

    Parameters
    ----------
    grey : (n, h, w) pictures of the region, 0..255.
    time_s : (n,) their true times, increasing; at least three lie more than 0.12 s before and after ``around_s``.
    around_s : when the body suggests impact.
    ball_px : diameter to expect, pixels.
    within_s : how far from ``around_s`` it may have left.

    Returns
    -------
    None when nothing of a ball's size lay still before and was gone after, or more than one thing did.

    Notes
    -----
    Medians of the pictures well before and well after leave out club and body, which pass. A patch that differs, of a
    ball's size and shape, is followed from picture to picture: its likeness to before against after falls from 1 to 0
    once, within a picture or two.
    """
    before, after = time_s < around_s - _AWAY_S, time_s > around_s + _AWAY_S
    if before.sum() < _LEAST_PICTURES or after.sum() < _LEAST_PICTURES:
        return None
    few = [_spread(np.flatnonzero(part)) for part in (before, after)]
    was, then = (np.median(grey[part], axis=0) for part in few)
    noise = np.maximum(*(np.abs(grey[p] - m).mean(axis=0) for p, m in zip(few, (was, then), strict=True)))
    changed = np.abs(was - then) > np.maximum(_LEAST_CHANGE, _CHANGE_OVER_NOISE * noise)
    seen = []
    for rows, columns in _find_patches(changed, ball_px):
        inside = changed[rows, columns]
        difference = (was - then)[rows, columns] * inside
        likeness = np.tensordot(grey[:, rows, columns] - then[rows, columns], difference, 2) / (difference**2).sum()
        left = _find_step(likeness, time_s, around_s, within_s)
        if left is not None:
            contrast = float(np.abs(difference).sum() / inside.sum())
            seen.append(BallLeft(*left, contrast))
    if not seen:
        return None
    best = max(seen, key=lambda one: one.contrast)
    clear = [one for one in seen if one.contrast >= _LEAST_CONTRAST_SHARE * best.contrast]
    times = [one.time_s for one in clear]
    # a tee or a scrap of turf leaves with the ball: several are well as long as they agree
    return best if np.ptp(times) <= 2.0 * best.within_s else None


def _find_patches(changed: NDArray[np.bool_], ball_px: float) -> list[tuple[slice, slice]]:
    """Rows and columns of the patches that have about the size and the shape of a ball."""
    labels, _ = label(changed)
    patches = []
    for i, (rows, columns) in enumerate(find_objects(labels), start=1):
        height, width = rows.stop - rows.start, columns.stop - columns.start
        n = int((labels[rows, columns] == i).sum())
        if n < _LEAST_PIXELS or n < _FILLED * height * width:
            continue
        if all(_SIZE[0] * ball_px <= side <= _SIZE[1] * ball_px for side in (height, width)):
            patches.append((rows, columns))
    return patches


def _find_step(
    likeness: FloatArray, time_s: FloatArray, around_s: float, within_s: float
) -> tuple[float, float] | None:
    """When the likeness falls from there to gone, at once and for good, and the room to each side; None when not."""
    is_there = likeness >= 0.5
    # at every place of the step: pictures before it without the thing and pictures after it with the thing
    wrong = np.cumsum(np.r_[0, ~is_there])[:-1] + np.cumsum(np.r_[0, is_there[::-1]])[:0:-1]
    near = np.flatnonzero(np.abs(time_s - around_s) <= within_s)
    if len(near) == 0 or near[-1] == 0:
        return None
    near = near[near > 0]
    gone = int(near[np.argmin(wrong[near])])
    spacing = float(time_s[gone] - time_s[gone - 1])
    close = np.abs(time_s - (time_s[gone] + time_s[gone - 1]) / 2) <= max(_AT_ONCE_S, 2.6 * spacing)
    close[gone - 1 : gone + 1] = False  # it may be half gone there
    early, late = np.arange(len(time_s)) < gone, np.arange(len(time_s)) >= gone
    if (likeness[early] > _THERE).mean() < _LEAST_STEADY or (likeness[late] < _GONE).mean() < _LEAST_STEADY:
        return None
    if not (early & close).any() or np.median(likeness[early & close]) < _CLEARLY_THERE:
        return None
    if not (late & close).any() or np.median(likeness[late & close]) > 1.0 - _CLEARLY_THERE:
        return None
    for partly in (gone, gone - 1):
        if _GONE <= likeness[partly] <= _THERE:
            return float(time_s[partly]), spacing / 2
    return float(time_s[gone] + time_s[gone - 1]) / 2, spacing / 2
