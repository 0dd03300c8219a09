"""Force platforms in a C3D file as one record, through ezc3d."""

import hashlib
from datetime import datetime
from pathlib import Path

import numpy as np

from review.errors import BadInputError, MachineError
from review.lesson import FloatArray
from review.pressure.record import PressureRecord

_TO_CM = {"mm": 0.1, "cm": 1.0, "m": 100.0}
_TO_N = {"n": 1.0, "kn": 1000.0, "": 1.0}


def read_force_platforms(path: Path, started_at: datetime | None = None) -> PressureRecord:
    """Read the force platforms of a C3D file: total vertical force and the centre of pressure of all together.

    A platform measures the whole force, so that its centre of pressure is where the force meets the floor, shear
    included; a mat's is that of the vertical force alone. Where there are several, theirs are weighed by their vertical
    force. Axes are the file's own, x and y level; the three steps of the calibration turn them.

    Parameters
    ----------
    started_at : the clock of the first sample; the format has none.

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
        c3d = ezc3d.c3d(str(path), extract_forceplat_data=True)
        plates = c3d["data"]["platform"]
        rate_hz = float(c3d["parameters"]["ANALOG"]["RATE"]["value"][0])
    except (OSError, RuntimeError, ValueError, KeyError, IndexError) as error:
        raise BadInputError(f"{path.name}: expected a C3D file with force platforms, found: {error}.") from error
    if not plates or not rate_hz > 0:
        raise BadInputError(f"{path.name}: expected force platforms, found none; save the file with its platforms.")
    forces, places = zip(*(_read_plate(plate, path.name) for plate in plates), strict=True)
    each = np.abs(np.stack(forces))
    total = each.sum(axis=0)
    if not (total > 0).any():
        raise BadInputError(f"{path.name}: expected a vertical force, found none on any platform.")
    weighed = np.where(np.isfinite(np.stack(places)), np.stack(places), 0.0) * each[:, None, :]
    xy = np.full((2, len(total)), np.nan)
    np.divide(weighed.sum(axis=0), total, out=xy, where=total > 0)
    notes = ["force platforms: the whole force is measured, the centre of pressure takes shear into account"]
    if started_at is None:
        notes.append("a C3D file tells no clock; give the clock of its first sample to place it")
    return PressureRecord(
        path.name,
        hashlib.sha256(data).hexdigest(),
        started_at,
        np.arange(len(total)) / rate_hz,
        xy.T.copy(),
        total,
        notes=tuple(notes),
    )


def _read_plate(plate: dict[str, object], file: str) -> tuple[FloatArray, FloatArray]:
    """Vertical force (n,) in newtons and centre of pressure (2, n) in centimetres."""
    length, force = str(plate["unit_position"]).strip().lower(), str(plate["unit_force"]).strip().lower()
    if length not in _TO_CM or force not in _TO_N:
        raise BadInputError(f"{file}: expected platforms in mm and N, found {length!r} and {force!r}.")
    vertical = np.asarray(plate["force"], dtype=float)[2] * _TO_N[force]
    return vertical, np.asarray(plate["center_of_pressure"], dtype=float)[:2] * _TO_CM[length]
