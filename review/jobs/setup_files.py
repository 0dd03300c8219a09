"""Reads what the coach marked once per camera position."""

import tomllib
from pathlib import Path
from typing import Any

from review.body import TargetStick
from review.errors import BadInputError

_EXAMPLE = "[target_stick] with length_m, away_from_target_px = [x, y] and toward_target_px = [x, y]"


def read_camera_setup(path: Path) -> TargetStick:
    """Read a camera set-up file.

    Raises
    ------
    BadInputError
        When the file is missing, no TOML, or lacks a value.
    """
    data = read_toml(path)
    stick = data.get("target_stick")
    if not isinstance(stick, dict):
        raise BadInputError(f"{path.name} is no camera set-up: expected {_EXAMPLE}.")
    try:
        return TargetStick(
            float(stick["length_m"]), _point(stick["away_from_target_px"]), _point(stick["toward_target_px"])
        )
    except KeyError as error:
        raise BadInputError(f"{path.name}: {error.args[0]} is missing; expected {_EXAMPLE}.") from error
    except (TypeError, ValueError) as error:
        raise BadInputError(f"{path.name}: {error}; expected {_EXAMPLE}.") from error


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


def _point(value: Any) -> tuple[float, float]:
    if not isinstance(value, list) or len(value) != 2:
        raise ValueError(f"a point needs two numbers [x, y], got {value!r}")
    return float(value[0]), float(value[1])
