"""Where a camera stands and looks, from the stick, the player and what is usual: one least-squares fit."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from scipy.optimize import approx_fprime, least_squares

from review.body.geometry import seen_from_above_deg
from review.body.golfer import USUAL_STATURE_M, USUAL_STATURE_SD_M
from review.lesson import FloatArray

# Beliefs before anything is marked; common practice, no source: a phone on a tripod, set level by eye.
USUAL_FOCAL_PER_LONG_SIDE = 1.2
_FOCAL_LOG_SD = 0.4
_PITCH_SD_DEG, _ROLL_SD_DEG = 6.0, 1.0
_HEIGHT_M, _HEIGHT_LOG_SD = 1.1, 0.4
_STICK_FROM_FEET_SD_M = 0.6
_ANKLE_HEIGHT_M = 0.12  # where the detector sees it: the joint at 9 cm, 3 cm higher
_MARK_SD_PX = 1.5
_ANKLE_SD = 0.015

NAMES = (
    "focal", "pitch", "roll", "height", "direction", "stick side", "stick depth", "feet side", "feet depth", "stature",
)  # fmt: skip


@dataclass(frozen=True)
class Marked:
    """What is known in the picture; pixels, x right, y down.

    stick_px : (2, 2) the ends away from the target and toward it; ``stick_m`` its length.
    ankles_px : (2,) middle of the ankles at address; ``stature_px`` standing height in pixels at the player, with its
        relative error; ``stature_m`` the same in metres, None when not known.
    upright_px : (2, 2) top and bottom of something plumb, None when nothing was marked.
    roll_deg : the camera's own level, None when not read; + = turned clockwise seen from behind the camera.
    """

    width_px: int
    height_px: int
    stick_px: FloatArray
    stick_m: float
    ankles_px: FloatArray
    stature_px: float
    stature_px_sd: float = 0.04
    stature_m: float | None = None
    upright_px: FloatArray | None = None
    roll_deg: float | None = None
    roll_sd_deg: float = 0.3


@dataclass(frozen=True, eq=False)
class CameraFit:
    """The camera that explains the marks best; ``covariance`` (10, 10) is that of ``values``.

    ``values``, in the order of ``NAMES``: log focal length per long side, pitch and roll in radians (+ looking down,
    + clockwise from behind), log height in metres, direction in radians as in ``TargetDirection``, places on the ground
    in metres to the right of and in front of the camera, stature in metres. ``surprise`` says by how many standard
    deviations marks and beliefs had to give way. ``cm_per_px`` is the size of a pixel at the player's ankles, with its
    relative error.
    """

    values: FloatArray
    covariance: FloatArray
    surprise: Mapping[str, float]
    focal_px: float
    cm_per_px: float
    cm_per_px_relative_sd: float

    def get(self, name: str) -> float:
        """Return one value by its name."""
        return float(self.values[NAMES.index(name)])

    def sd(self, name: str) -> float:
        """Return the standard deviation of one value."""
        return float(np.sqrt(self.covariance[NAMES.index(name), NAMES.index(name)]))


def fit_camera(marked: Marked) -> CameraFit:
    """Fit the camera to the marks and to what is usual, each weighed by its error.

    Pinhole camera over level ground, errors by linearisation at the solution: the usual way of surveying with a
    camera (bundle adjustment with priors; Triggs et al. 2000, doi 10.1007/3-540-44480-7_21).
    """
    result = least_squares(_residuals, _start(marked), args=(marked,), x_scale="jac", max_nfev=200)
    values = result.x
    jacobian = np.asarray(result.jac)
    covariance = np.linalg.pinv(jacobian.T @ jacobian)
    slope = approx_fprime(values, _log_m_per_px, 1e-6, marked)
    return CameraFit(
        values=values,
        covariance=covariance,
        surprise={name: float(np.max(np.abs(part))) for name, part in _parts(values, marked).items()},
        focal_px=_focal_px(values, marked),
        cm_per_px=100.0 * float(np.exp(_log_m_per_px(values, marked))),
        cm_per_px_relative_sd=float(np.sqrt(slope @ covariance @ slope)),
    )


def _start(marked: Marked) -> FloatArray:
    """Begin with a level camera: a point of the ground at row y below mid-height lies at depth focal x height / y."""
    stature_m = marked.stature_m or USUAL_STATURE_M
    focal_px = USUAL_FOCAL_PER_LONG_SIDE * max(marked.width_px, marked.height_px)
    below = marked.stick_px[:, 1] - marked.height_px / 2
    side = (marked.stick_px[:, 0] - marked.width_px / 2) / below
    ends = np.stack([side, np.ones(2), focal_px / below], axis=1)
    direction = np.radians(seen_from_above_deg(ends[1] - ends[0]))
    away_m = focal_px * stature_m / marked.stature_px
    beliefs = [np.log(USUAL_FOCAL_PER_LONG_SIDE), 0.0, np.radians(marked.roll_deg or 0.0), np.log(_HEIGHT_M)]
    return np.array([*beliefs, direction, 0.0, away_m - 0.3, 0.0, away_m, stature_m])


def _focal_px(values: FloatArray, marked: Marked) -> float:
    return float(np.exp(values[0])) * max(marked.width_px, marked.height_px)


def _ankles(values: FloatArray) -> FloatArray:
    return np.array([values[7], np.exp(values[3]) - _ANKLE_HEIGHT_M, values[8]])


def _log_m_per_px(values: FloatArray, marked: Marked) -> float:
    depth = _to_camera(values, _ankles(values)[None])[0, 2]
    return float(np.log(np.maximum(depth, 0.1) / _focal_px(values, marked)))


def _to_camera(values: FloatArray, points: FloatArray) -> FloatArray:
    """(n, 3) level points (right, down, ahead of the camera) to (n, 3) in the tilted camera's axes."""
    pitch, roll = values[1], values[2]
    right, down, ahead = points.T
    below = down * np.cos(pitch) - ahead * np.sin(pitch)
    depth = ahead * np.cos(pitch) + down * np.sin(pitch)
    across = right * np.cos(roll) + below * np.sin(roll)
    below = below * np.cos(roll) - right * np.sin(roll)
    return np.stack([across, below, depth], axis=1)


def _project(values: FloatArray, points: FloatArray, marked: Marked) -> FloatArray:
    seen = _to_camera(values, points)
    centre = np.array([marked.width_px, marked.height_px]) / 2
    result: FloatArray = centre + _focal_px(values, marked) * seen[:, :2] / np.maximum(seen[:, 2:], 0.1)
    return result


def _residuals(values: FloatArray, marked: Marked) -> FloatArray:
    return np.concatenate([np.atleast_1d(part) for part in _parts(values, marked).values()])


def _parts(values: FloatArray, marked: Marked) -> dict[str, FloatArray]:
    height = np.exp(values[3])
    along = np.array([np.cos(values[4]), 0.0, np.sin(values[4])]) * marked.stick_m / 2
    middle = np.array([values[5], height, values[6]])
    points = _project(values, np.stack([middle - along, middle + along, _ankles(values)]), marked)
    stature, known = values[9], marked.stature_m is not None
    roll_deg, roll_sd_deg = (0.0, _ROLL_SD_DEG) if marked.roll_deg is None else (marked.roll_deg, marked.roll_sd_deg)
    parts: dict[str, FloatArray] = {
        "stick": (points[:2] - marked.stick_px).ravel() / _MARK_SD_PX,
        "feet": (points[2] - marked.ankles_px) / (_ANKLE_SD * marked.stature_px),
        "size": (np.log(stature / marked.stature_px) - _log_m_per_px(values, marked)) / marked.stature_px_sd,
        "stature": (stature - (marked.stature_m or USUAL_STATURE_M)) / (0.01 if known else USUAL_STATURE_SD_M),
        "focal": (values[0] - np.log(USUAL_FOCAL_PER_LONG_SIDE)) / _FOCAL_LOG_SD,
        "pitch": np.degrees(values[1]) / _PITCH_SD_DEG,
        "roll": (np.degrees(values[2]) - roll_deg) / roll_sd_deg,
        "height": (values[3] - np.log(_HEIGHT_M)) / _HEIGHT_LOG_SD,
        "distance": (values[5:7] - values[7:9]) / _STICK_FROM_FEET_SD_M,
    }
    if marked.upright_px is not None:
        parts["upright"] = np.array([_upright_residual(values, marked, marked.upright_px)])
    return parts


def _upright_residual(values: FloatArray, marked: Marked, upright: FloatArray) -> float:
    """Distance of the top mark from the plumb line through the bottom mark, in marking errors.

    Plumb lines meet in the point where the vertical direction pierces the picture.
    """
    vertical = _to_camera(values, np.array([[0.0, 1.0, 0.0]]))[0]
    top, bottom = upright - np.array([marked.width_px, marked.height_px]) / 2
    # direction in the picture of a plumb line through ``bottom``
    line = _focal_px(values, marked) * vertical[:2] - vertical[2] * bottom
    line = line / np.linalg.norm(line)
    off = (top - bottom)[0] * line[1] - (top - bottom)[1] * line[0]
    return float(off / (np.sqrt(2.0) * _MARK_SD_PX))
