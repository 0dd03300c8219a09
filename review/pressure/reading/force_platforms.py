"""Force platforms in a C3D file as one record, through ezc3d."""

import hashlib
from datetime import datetime
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import numpy as np

from review.errors import BadInputError, MachineError
from review.lesson import FloatArray
from review.pressure.reading.times import NO_CLOCK
from review.pressure.record import PressureRecord

_TO_CM = {"mm": 0.1, "cm": 1.0, "m": 100.0}
_TO_N = {"n": 1.0, "kn": 1000.0, "": 1.0}
_EMPTY_N = 20.0
"""With less on it nobody stands on a platform: its place is noise, which would pull the others'. Common practice, no
source; a recording checked against had 1.5 N and 3.6 Nm on an empty one, 0.7 cm of the place of both."""
_LEAST_APART_CM, _LEAST_BOTH = 15.0, 0.5
"""Two platforms under a foot each: how far they lie apart along the target line, and for which part of the time both
must carry something. Common practice, no source."""
_SIDE_CM = (10.0, 500.0)
"""Sides a platform may have; outside of these the file's unit of length is not what it says."""
_FEWEST_SAMPLES = 2
_EIGHT_CHANNELS = 3
"""The format's type of platform with four sensors, each vertical force apart, shear in pairs."""


def read_force_platforms(
    path: Path, started_at: datetime | None = None, target_deg: float | None = None
) -> PressureRecord:
    """Read the force platforms of a C3D file: total vertical force and the centre of pressure of all together.

    A platform measures the whole force, so that its centre of pressure is where the force meets the floor, shear
    included; a mat's is that of the vertical force alone. Where there are several, theirs are weighed by their vertical
    force. Axes are the file's own, x and y level; the three steps of the calibration turn them. Lengths are
    millimetres, the format's usual unit, where the file names none.

    Parameters
    ----------
    started_at : the clock of the first sample; the format has none.
    target_deg : direction of the target line in the file's axes, from x toward y; with it two platforms that lie along
        it and carry a foot each tell the lead foot's force.

    Raises
    ------
    BadInputError
        The file is no C3D, has no force platform, or no force in it.
    MachineError
        The file may not be read.
    """
    import ezc3d  # takes a moment to load

    try:
        data = path.read_bytes()
    except FileNotFoundError as error:
        raise BadInputError(f"There is no file {path}; expected a C3D file with force platforms.") from error
    except OSError as error:
        raise MachineError(f"{path} may not be read: {error.strerror}.") from error
    try:
        c3d = _mend(ezc3d.c3d(str(path), extract_forceplat_data=True))
        plates = c3d["data"]["platform"]
        rate_hz = float(c3d["parameters"]["ANALOG"]["RATE"]["value"][0])
    except (OSError, RuntimeError, ValueError, KeyError, IndexError) as error:
        raise BadInputError(f"{path.name}: expected a C3D file with force platforms, found: {error}.") from error
    if plates and np.shape(plates[0]["force"])[1] < _FEWEST_SAMPLES:
        raise BadInputError(f"{path.name}: expected a recording, found fewer than {_FEWEST_SAMPLES} samples in it.")
    if not plates or not rate_hz > 0:
        raise BadInputError(f"{path.name}: expected force platforms, found none; save the file with its platforms.")
    forces, places, middles = zip(*(_read_plate(plate, path.name) for plate in plates), strict=True)
    each = np.stack(forces)
    each = each * np.where(each.sum() < 0, -1.0, 1.0)  # files differ in whether they tell the push or its reaction
    each = np.where(each > _EMPTY_N, each, 0.0)
    total = each.sum(axis=0)
    if not (total > 0).any():
        raise BadInputError(f"{path.name}: expected a vertical force, found none on any platform.")
    weighed = np.where(np.isfinite(np.stack(places)), np.stack(places), 0.0) * each[:, None, :]
    xy = np.full((2, len(total)), np.nan)
    np.divide(weighed.sum(axis=0), total, out=xy, where=total > 0)
    notes = ["force platforms: the whole force is measured, the centre of pressure takes shear into account"]
    if started_at is None:
        notes.append(f"a C3D file tells no clock; {NO_CLOCK}")
    lead_n = None if target_deg is None else _find_lead_force(each, np.stack(middles), target_deg)
    if lead_n is not None:
        notes.append("the two platforms are taken to carry a foot each: the share of the lead foot is told")
    return PressureRecord(
        path.name,
        hashlib.sha256(data).hexdigest(),
        started_at,
        np.arange(len(total)) / rate_hz,
        xy.T.copy(),
        total,
        lead_n,
        notes=tuple(notes),
    )


def _find_lead_force(each: FloatArray, middles_cm: FloatArray, target_deg: float) -> FloatArray | None:
    """Force (n,) on the platform nearer to the target; None where not two carry a foot each, or they lie otherwise."""
    if len(each) != 2:
        return None
    target = np.deg2rad(target_deg)
    along = middles_cm @ np.array([np.cos(target), np.sin(target)])
    stands = each.sum(axis=0) > _EMPTY_N
    both = (each > 0).all(axis=0)
    if abs(along[1] - along[0]) < _LEAST_APART_CM or both.sum() < _LEAST_BOTH * stands.sum():
        return None
    lead: FloatArray = each[int(np.argmax(along))]
    return lead


def _mend(c3d: Any) -> Any:
    """The file read again from a copy in which its platforms stand as ezc3d needs them; itself where they do.

    Where no unit of length is named ezc3d takes metres. Where the depth of the sensors counts upward (the format has
    it negative), ezc3d turns the whole origin about, for a platform of eight channels its sensors' distances too: its
    places then lie on the other side of the middle, with the shear's part the wrong way round.
    """
    import ezc3d

    parameters = c3d["parameters"]
    has_unit = bool("".join(parameters["POINT"].get("UNITS", {"value": []})["value"]).strip())
    platforms = parameters["FORCE_PLATFORM"]
    origin = np.array(platforms["ORIGIN"]["value"], dtype=float).reshape(3, -1)
    types = np.asarray(platforms["TYPE"]["value"]).ravel()[: origin.shape[1]]
    is_upward = (types == _EIGHT_CHANNELS) & (origin[2, : len(types)] > 0)
    if has_unit and not is_upward.any():
        return c3d
    origin[2, : len(types)][is_upward] *= -1
    platforms["ORIGIN"]["value"] = origin
    if not has_unit:
        c3d.add_parameter("POINT", "UNITS", ["mm"])
    with TemporaryDirectory() as folder:
        copy = str(Path(folder) / "copy.c3d")
        c3d.write(copy)
        return ezc3d.c3d(copy, extract_forceplat_data=True)


def _read_plate(plate: dict[str, object], file: str) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Vertical force (n,) in newtons, centre of pressure (2, n) and the platform's middle (2,) in centimetres."""
    length, force = str(plate["unit_position"]).strip().lower(), str(plate["unit_force"]).strip().lower()
    if length not in _TO_CM or force not in _TO_N:
        raise BadInputError(f"{file}: expected platforms in mm and N, found {length!r} and {force!r}.")
    corners = np.asarray(plate["corners"], dtype=float) * _TO_CM[length]
    side_cm = np.ptp(corners, axis=1)[:2]
    if not (_SIDE_CM[0] <= side_cm.min() and side_cm.max() <= _SIDE_CM[1]):
        raise BadInputError(
            f"{file}: expected a platform with sides of {_SIDE_CM[0]:g} to {_SIDE_CM[1]:g} cm, found "
            f"{side_cm[0]:g} by {side_cm[1]:g} cm; save the file again with the unit of its lengths (POINT:UNITS)."
        )
    vertical = np.asarray(plate["force"], dtype=float)[2] * _TO_N[force]
    place: FloatArray = np.asarray(plate["center_of_pressure"], dtype=float)[:2] * _TO_CM[length]
    return vertical, place, corners.mean(axis=1)[:2]
