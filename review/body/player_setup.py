"""The player set-up: the response adapted to one player and camera from held positions of the swing.

How far the response reads beside the marks depends on the position: the same hip turn reads otherwise on the way back
than on the way down. So the error is a smooth function of hip and shoulder turn. It is estimated with a strong leaning
toward nothing, and used only when the holds agree with each other. It changes turns from address only: a common error
of all marks cannot enter.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np

from review.body.holds import HoldReading
from review.body.response import Line
from review.lesson import FloatArray

LEAST_HOLDS = 4
LARGEST_SHIFT_DEG = 10.0
_LEAST_SPREAD_DEG = 25.0
# Belief about the error: how large, over how many degrees of turn it reaches; sd of one hold around it (a body beside
# the mark, another posture than in the swing, landmarks). From rendered players.
_ERROR_SD_DEG, _REACH_DEG, _HOLD_SD_DEG = 5.0, 25.0, 13.0
_STUDENT_FREEDOM = 4.0
_LEAST_SLOPE, _MOST_SLOPE = 0.5, 1.7
_MOST_BESIDE_DEG = 20.0
_WITHIN_CHANCE_DEG = 1.0


@dataclass(frozen=True, eq=False)
class LineCorrection:
    """Expected error of one line as a function of the position; without positions it is 0.

    at_deg : (m, 2) hip and shoulder turn as read in the holds. weights : (m,).
    """

    at_deg: FloatArray = field(default_factory=lambda: np.zeros((0, 2)))
    weights: FloatArray = field(default_factory=lambda: np.zeros(0))

    def shift_deg(self, position_deg: FloatArray) -> FloatArray:
        """(n,) read minus true turn at positions (n, 2), degrees; at most ``LARGEST_SHIFT_DEG``."""
        shift = _covariance(position_deg, self.at_deg) @ self.weights
        return np.asarray(np.clip(shift, -LARGEST_SHIFT_DEG, LARGEST_SHIFT_DEG))

    def apply(self, rows: FloatArray, grid_deg: FloatArray, position_deg: FloatArray) -> FloatArray:
        """Return log likelihoods over the true turn from those over the turn as read.

        Parameters
        ----------
        rows : (n, len(grid_deg)) log likelihood of the turn from address.
        grid_deg : turns of the columns, increasing; beyond its ends the end value holds.
        position_deg : (n, 2) hip and shoulder turn as read on the same frames.
        """
        if not len(self.weights):
            return rows
        shifts = self.shift_deg(position_deg)
        return np.stack([np.interp(grid_deg + shift, grid_deg, row) for row, shift in zip(rows, shifts, strict=True)])


@dataclass(frozen=True, eq=False)
class PlayerCorrection:
    """Corrections of both lines for one player, camera and pose model."""

    lines: dict[Line, LineCorrection]

    def apply(self, line: Line, rows: FloatArray, grid_deg: FloatArray, position_deg: FloatArray) -> FloatArray:
        """Correct the rows of a line, see ``LineCorrection.apply``."""
        return self.lines[line].apply(rows, grid_deg, position_deg)


@dataclass(frozen=True, eq=False)
class LineFit:
    """A correction with its reason.

    why_unused : why nothing is corrected, for the coach; '' = the correction is used. left_out_deg : (n_usable,) error
    of every usable hold when it is read with the help of the others. is_contradicted : readings and marks do not go
    together, so the coach has to look at the marks.
    """

    correction: LineCorrection
    why_unused: str
    left_out_deg: FloatArray
    is_contradicted: bool = False


def fit_correction(readings: Sequence[HoldReading]) -> LineFit:
    """Estimate how far one line reads beside its marks, or say why nothing is corrected.

    The error is a Gaussian process over the position, fitted with the weights of a Student distribution, so that one
    bad hold counts little.

    References
    ----------
    Rasmussen and Williams 2006, Gaussian Processes for Machine Learning, eq. 2.25; Lange, Little and Taylor 1989,
    J. Am. Stat. Assoc. 84:881-896.
    """
    usable = [reading for reading in readings if not reading.problem]
    marked = np.array([reading.marked_deg for reading in usable])
    error = np.array([reading.error_deg for reading in usable])
    at = np.array([reading.position_deg for reading in usable]).reshape(-1, 2)
    left_out = np.array([_leave_out(at, error, i) for i in range(len(usable))])
    problem = _find_lack(len(readings), marked)
    contradiction = "" if problem else _find_contradiction(marked, error)
    problem = problem or contradiction
    if not problem and np.abs(left_out).mean() > max(float(np.abs(error).mean()), _WITHIN_CHANCE_DEG):
        problem = "the errors follow no pattern that one hold shares with the others"
    correction = LineCorrection() if problem else LineCorrection(at, _fit(at, error))
    return LineFit(correction, problem, left_out, bool(contradiction))


def _find_lack(n_holds: int, marked: FloatArray) -> str:
    if len(marked) < LEAST_HOLDS:
        return f"at least {LEAST_HOLDS} usable holds are needed, there are {len(marked)}"
    if 3 * len(marked) < 2 * n_holds:
        return "more than a third of the holds cannot be used"
    if np.ptp(marked) < _LEAST_SPREAD_DEG:
        return f"the marks reach over {np.ptp(marked):.0f} degrees only, expected {_LEAST_SPREAD_DEG:.0f} or more"
    return ""


def _find_contradiction(marked: FloatArray, error: FloatArray) -> str:
    slope = 1.0 + float(np.polyfit(marked, error, 1)[0])
    if slope < -_LEAST_SLOPE:
        return "the readings turn the other way than the marks: + is open to the target, - turned away from it"
    if not _LEAST_SLOPE <= slope <= _MOST_SLOPE:
        return "the readings do not follow the marks; is every hold at the times that the file gives?"
    beside = float(np.sqrt(np.mean(error**2)))
    if beside > _MOST_BESIDE_DEG:
        return f"the readings lie {beside:.0f} degrees beside the marks, further than they do on a player set to marks"
    return ""


def _leave_out(at: FloatArray, error: FloatArray, i: int) -> float:
    """Error of one hold after correction by the others."""
    others = np.arange(len(at)) != i
    if not others.any():
        return float(error[i])
    return float(error[i] - LineCorrection(at[others], _fit(at[others], error[others])).shift_deg(at[i : i + 1])[0])


def _fit(at: FloatArray, error: FloatArray) -> FloatArray:
    """(m,) weights of the Gaussian process."""
    covariance = _covariance(at, at)
    noise = np.full(len(at), _HOLD_SD_DEG**2)
    for _ in range(10):
        weights = np.linalg.solve(covariance + np.diag(noise), error)
        off = (error - covariance @ weights) / _HOLD_SD_DEG
        noise = _HOLD_SD_DEG**2 * (_STUDENT_FREEDOM + off**2) / (_STUDENT_FREEDOM + 1.0)
    return np.asarray(np.linalg.solve(covariance + np.diag(noise), error))


def _covariance(first: FloatArray, second: FloatArray) -> FloatArray:
    """(n, m) prior covariance of the error at positions (n, 2) and (m, 2)."""
    apart = ((first[:, None] - second[None]) ** 2).sum(axis=2) / _REACH_DEG**2
    return np.asarray(_ERROR_SD_DEG**2 * np.exp(-0.5 * apart))
