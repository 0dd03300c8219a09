"""Points of the body as a C3D file (c3d.org: the format's own guide), through ezc3d."""

from pathlib import Path
from typing import Any

import numpy as np

from review import __version__
from review.takehome.exports.points import PointsOfClip, make_even

HONESTY = (
    "Estimated from the picture of one camera: X and Z are what it saw, brought to mm by the player's height or the "
    "camera set-up as if all lay at the player's distance. Y is the detector's guess, not measured."
)
_AXES = {
    "X": "to the right in the picture",
    "Y": "away from the camera (guessed)",
    "Z": "up; 0 = ground between the ankles at address",
}


def write_c3d(points: PointsOfClip, path: Path) -> None:
    """Write the points with confidence as analogue channels and key frames as events.

    A point that was not found has the residual -1, as the format asks; else 0: one camera has no residual of its own.
    """
    import ezc3d

    even, rate_hz, is_laid_anew = make_even(points)
    n, p = even.xyz_mm.shape[:2]
    is_seen = np.asarray(np.isfinite(even.xyz_mm).all(axis=2))
    c3d = ezc3d.c3d()
    c3d["parameters"]["POINT"]["RATE"]["value"] = [rate_hz]
    c3d["parameters"]["POINT"]["LABELS"]["value"] = list(even.labels)
    c3d["parameters"]["POINT"]["DESCRIPTIONS"]["value"] = list(even.descriptions)
    c3d["parameters"]["POINT"]["UNITS"]["value"] = ["mm"]
    c3d.add_parameter("POINT", "X_SCREEN", ["+X"])
    c3d.add_parameter("POINT", "Y_SCREEN", ["+Z"])
    analog = c3d["parameters"]["ANALOG"]
    analog["RATE"]["value"] = [rate_hz]
    analog["LABELS"]["value"] = [f"CONF_{name}" for name in even.labels]
    analog["DESCRIPTIONS"]["value"] = [f"the detector's confidence in {name}" for name in even.labels]
    analog["UNITS"]["value"] = ["0..1"] * p
    analog["SCALE"]["value"] = [1.0] * p
    analog["OFFSET"]["value"] = [0] * p
    xyz = np.where(is_seen[..., None], even.xyz_mm, np.nan)
    data = np.ones((4, p, n))
    data[:3] = xyz.transpose(2, 1, 0)
    c3d["data"]["points"] = data
    residuals = np.where(is_seen, 0.0, -1.0).T[None]
    c3d["data"]["meta_points"] = {"residuals": residuals, "camera_masks": np.zeros((7, p, n), dtype=bool)}
    c3d["data"]["analogs"] = np.where(is_seen, even.confidence, 0.0).T[None]
    _add_events(c3d, even)
    _add_origin(c3d, even, is_laid_anew)
    c3d.write(str(path))


def _add_events(c3d: Any, points: PointsOfClip) -> None:
    """The EVENT group; times are minutes and seconds after the first picture."""
    after_s = [at_s - float(points.time_s[0]) for _, at_s, _ in points.events]
    c3d.add_parameter("EVENT", "USED", [len(after_s)])
    if not after_s:
        return
    c3d.add_parameter("EVENT", "CONTEXTS", ["General"] * len(after_s))
    c3d.add_parameter("EVENT", "LABELS", [name for name, _, _ in points.events])
    c3d.add_parameter("EVENT", "DESCRIPTIONS", [f"found in: {source}" for _, _, source in points.events])
    c3d.add_parameter("EVENT", "TIMES", np.array([np.floor_divide(after_s, 60.0), np.mod(after_s, 60.0)]))


def _add_origin(c3d: Any, points: PointsOfClip, is_laid_anew: bool) -> None:
    """Who wrote it, what the axes mean, and how far the numbers can be trusted."""
    c3d.add_parameter("MANUFACTURER", "SOFTWARE", ["lesson-review"])
    c3d.add_parameter("MANUFACTURER", "VERSION_LABEL", [__version__])
    for axis, meaning in _AXES.items():
        c3d.add_parameter("AXES", axis, [meaning])
    c3d.add_parameter("AXES", "TARGET", [points.toward_target])
    c3d.add_parameter("VIDEO", "HOW", [HONESTY])
    c3d.add_parameter("VIDEO", "VIEW", [points.view])
    c3d.add_parameter("VIDEO", "MODEL", [points.model])
    c3d.add_parameter("VIDEO", "SCALE_REL_SD", [float(points.scale_relative_sd)])
    c3d.add_parameter("VIDEO", "RESAMPLED", [int(is_laid_anew)])
