"""Positions of the swing held still with hips or shoulders set to marks on the floor: as marked and as read."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from review.body.response import LINES, TURNS_DEG, Line, TurnReading, read_turns
from review.errors import BadInputError
from review.lesson import FloatArray
from review.pose import LandmarkTrack

_FARTHEST_MARK_DEG = 120.0
_LEAST_FRAMES = 4
# A person who tries to hold still sways by a degree or two (common practice, no source).
_MOST_SCATTER_DEG, _MOST_DRIFT_DEG = 6.0, 6.0
_SQUARE_WITHIN_DEG = 10.0
# How many independent pictures a hold is worth: about 9 of 10 rendered holds then lie inside the 90 % interval.
_PICTURES_IN_A_HOLD = 0.65


@dataclass(frozen=True)
class Hold:
    """One position held still: presentation times, seconds, and the marked turns against the target line.

    + open to the target, - turned away; None where that line was not set to a mark.
    """

    from_s: float
    to_s: float
    hip_turn_deg: float | None = None
    shoulder_turn_deg: float | None = None

    def __post_init__(self) -> None:
        if not 0.0 <= self.from_s < self.to_s:
            raise ValueError(f"a hold runs from an earlier to a later time, got {self.from_s:g} to {self.to_s:g} s")
        marks = [turn for turn in (self.hip_turn_deg, self.shoulder_turn_deg) if turn is not None]
        if not marks:
            raise ValueError("a hold needs hip_turn_deg or shoulder_turn_deg")
        for turn in marks:
            if not abs(turn) <= _FARTHEST_MARK_DEG:
                raise ValueError(f"marks lie within {_FARTHEST_MARK_DEG:g} degrees of square, got {turn:g}")

    def marked_deg(self, line: Line) -> float | None:
        """The marked turn of a line."""
        return self.hip_turn_deg if line == "hip" else self.shoulder_turn_deg


@dataclass(frozen=True)
class HoldReading:
    """One line in one hold, marked and read as turn from the address hold, degrees, + open, - turned away.

    low_deg, high_deg : 90 % interval of the reading. position_deg : hip and shoulder turn as the response alone reads
    them. problem : why the hold cannot be used, for the coach; '' = it can.
    """

    marked_deg: float
    read_deg: float
    low_deg: float
    high_deg: float
    position_deg: tuple[float, float]
    problem: str = ""

    @property
    def error_deg(self) -> float:
        """Read minus marked."""
        return self.read_deg - self.marked_deg

    @property
    def is_inside(self) -> bool:
        """Whether the mark lies inside the 90 % interval."""
        return self.low_deg <= self.marked_deg <= self.high_deg


def find_address_hold(holds: Sequence[Hold]) -> int:
    """Number of the hold from which turns are counted: the first with hips marked square.

    Raises
    ------
    BadInputError
        When there is none.
    """
    for i, hold in enumerate(holds):
        if hold.hip_turn_deg is not None and abs(hold.hip_turn_deg) <= _SQUARE_WITHIN_DEG:
            return i
    raise BadInputError(
        "Turns are counted from the address, so one hold must be the address: expected one with hip_turn_deg near 0, "
        "found none."
    )


def read_holds(track: LandmarkTrack, holds: Sequence[Hold]) -> dict[Line, tuple[tuple[Hold, HoldReading], ...]]:
    """Read the marked lines of all holds but the address hold, from which turns are counted.

    Parameters
    ----------
    track : a right-hander's track that covers the holds; time is presentation time.
    holds : at least one of them with the hips marked square.

    Raises
    ------
    BadInputError
        When no hold is the address, or nobody is seen in it.
    """
    address = holds[find_address_hold(holds)]
    still = _frames_of(track, address)
    if still.stop - still.start < _LEAST_FRAMES:
        raise BadInputError("A person was seen on too few pictures of the address hold; hold it for 2 seconds.")
    turns = read_turns(track, still)
    position = find_position(turns)
    result: dict[Line, tuple[tuple[Hold, HoldReading], ...]] = {}
    for line in LINES:
        square = address.marked_deg(line) or 0.0
        read = []
        for hold in holds:
            marked = hold.marked_deg(line)
            if hold is not address and marked is not None:
                at = _frames_of(track, hold)
                read.append((hold, read_hold(turns[line].from_address[at], TURNS_DEG, position[at], marked - square)))
        result[line] = tuple(read)
    return result


def find_position(turns: dict[Line, TurnReading]) -> FloatArray:
    """(n, 2) hip and shoulder turn from address as the response alone reads them, degrees."""
    return np.stack([mean_turns(turns[line].from_address, TURNS_DEG) for line in LINES], axis=1)


def _frames_of(track: LandmarkTrack, hold: Hold) -> slice:
    first, last = track.time_s.searchsorted([hold.from_s - 1e-6, hold.to_s + 1e-6])
    return slice(int(first), int(last))


def read_hold(rows: FloatArray, grid_deg: FloatArray, position_deg: FloatArray, marked_deg: float) -> HoldReading:
    """Read one line of one hold.

    Parameters
    ----------
    rows : (n, len(grid_deg)) log likelihood of the turn from address on the hold's frames.
    grid_deg : turns of the columns, increasing.
    position_deg : (n, 2) hip and shoulder turn on the same frames, see ``mean_turns``.
    marked_deg : the mark, counted from the mark of the address hold.
    """
    if len(rows) < _LEAST_FRAMES:
        nothing = float("nan")
        problem = "a person was seen on too few pictures of it"
        return HoldReading(marked_deg, nothing, nothing, nothing, (nothing, nothing), problem)
    whole = rows.mean(axis=0)[None]
    low, high = _interval(_PICTURES_IN_A_HOLD * whole[0], grid_deg)
    hip, shoulder = np.median(position_deg, axis=0)
    return HoldReading(
        marked_deg=marked_deg,
        read_deg=float(mean_turns(whole, grid_deg)[0]),
        low_deg=low,
        high_deg=high,
        position_deg=(float(hip), float(shoulder)),
        problem=_find_unrest(mean_turns(rows, grid_deg)),
    )


def mean_turns(rows: FloatArray, grid_deg: FloatArray) -> FloatArray:
    """(n,) mean turn of log likelihoods (n, len(grid_deg)), degrees."""
    share = np.exp(rows - rows.max(axis=1, keepdims=True))
    return np.asarray(share @ grid_deg / share.sum(axis=1))


def _interval(row: FloatArray, grid_deg: FloatArray) -> tuple[float, float]:
    """5 % and 95 % points of a log likelihood, degrees."""
    share = np.exp(row - row.max())
    upper_edge = grid_deg + np.gradient(grid_deg) / 2
    low, high = np.interp([0.05, 0.95], np.cumsum(share / share.sum()), upper_edge)
    return float(low), float(high)


def _find_unrest(turn_deg: FloatArray) -> str:
    """Say what is wrong with a hold whose frames read (n,) degrees."""
    third = max(1, len(turn_deg) // 3)
    drift = abs(float(np.median(turn_deg[-third:]) - np.median(turn_deg[:third])))
    if drift > _MOST_DRIFT_DEG:
        return f"the body moved by {drift:.0f} degrees during the hold"
    if turn_deg.std() > _MOST_SCATTER_DEG:
        return f"the reading scatters by {turn_deg.std():.0f} degrees"
    return ""
