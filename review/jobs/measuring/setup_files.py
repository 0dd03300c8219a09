"""Reads what the coach marked once per camera position."""

import tomllib
from pathlib import Path
from typing import Any

from review.body import CameraSetup, TargetStick
from review.errors import BadInputError

_EXAMPLE = (
    "[target_stick] with length_m, away_from_target_px = [x, y] and toward_target_px = [x, y]; where known [camera] "
    "with roll_deg (+ = turned clockwise seen from behind) and [upright] with top_px and bottom_px of something plumb"
)


def read_camera_setup(path: Path) -> CameraSetup:
    """Read a camera set-up file.

    Raises
    ------
    BadInputError
        When the file is missing, no TOML, or lacks a value.
    """
    return _parse(read_toml(path), path.name)


def read_camera_setup_text(path: Path) -> str:
    """Read a camera set-up file as text, to be kept with a lesson; errors as in ``read_camera_setup``."""
    read_camera_setup(path)
    return path.read_text(encoding="utf-8")


def parse_camera_setup(text: str, name: str) -> CameraSetup:
    """Understand the text of a camera set-up; ``name`` is said in errors, which are as in ``read_camera_setup``."""
    try:
        return _parse(tomllib.loads(text), name)
    except tomllib.TOMLDecodeError as error:
        raise BadInputError(f"{name} is not valid TOML: {error}.") from error


def write_camera_setup(setup: CameraSetup) -> str:
    """Write a camera set-up as the text of its file; read again it is the same."""
    stick = setup.stick
    lines = [
        "[target_stick]",
        f"length_m = {float(stick.length_m)!r}",
        f"away_from_target_px = {_write_point(stick.away_from_target_px)}",
        f"toward_target_px = {_write_point(stick.toward_target_px)}",
    ]
    if setup.roll_deg is not None:
        lines += ["[camera]", f"roll_deg = {float(setup.roll_deg)!r}"]
    if setup.upright_px is not None:
        top, bottom = setup.upright_px
        lines += ["[upright]", f"top_px = {_write_point(top)}", f"bottom_px = {_write_point(bottom)}"]
    return "\n".join(lines) + "\n"


def _parse(data: dict[str, Any], name: str) -> CameraSetup:
    stick, camera, upright = data.get("target_stick"), data.get("camera", {}), data.get("upright")
    if not isinstance(stick, dict) or not isinstance(camera, dict) or not isinstance(upright, dict | None):
        raise BadInputError(f"{name} is no camera set-up: expected {_EXAMPLE}.")
    try:
        roll = camera.get("roll_deg")
        return CameraSetup(
            stick=TargetStick(
                float(stick["length_m"]), _point(stick["away_from_target_px"]), _point(stick["toward_target_px"])
            ),
            roll_deg=None if roll is None else float(roll),
            upright_px=None if upright is None else (_point(upright["top_px"]), _point(upright["bottom_px"])),
        )
    except KeyError as error:
        raise BadInputError(f"{name}: {error.args[0]} is missing; expected {_EXAMPLE}.") from error
    except (TypeError, ValueError) as error:
        raise BadInputError(f"{name}: {error}; expected {_EXAMPLE}.") from error


def read_toml(path: Path) -> dict[str, Any]:
    """Read a TOML file.

    Raises
    ------
    BadInputError
        When it is missing, not text, or not TOML.
    """
    try:
        with path.open("rb") as file:
            return tomllib.load(file)
    except FileNotFoundError as error:
        raise BadInputError(f"There is no file {path}; check the name and the folder.") from error
    except (IsADirectoryError, PermissionError) as error:
        raise BadInputError(f"{path} cannot be read as a file ({error.strerror}).") from error
    except (tomllib.TOMLDecodeError, UnicodeDecodeError) as error:
        raise BadInputError(f"{path.name} is not a valid TOML file: {error}. Correct that line.") from error


def _write_point(point: tuple[float, float]) -> str:
    return f"[{float(point[0])!r}, {float(point[1])!r}]"


def _point(value: Any) -> tuple[float, float]:
    if not isinstance(value, list) or len(value) != 2:
        raise ValueError(f"a point needs two numbers [x, y], got {value!r}")
    return float(value[0]), float(value[1])
