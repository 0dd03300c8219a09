"""What the coach writes about held positions, and the player set-up that is kept of them."""

import hashlib
import json
import math
import os
from collections.abc import Sequence
from dataclasses import asdict, dataclass
from importlib import resources
from pathlib import Path
from typing import Any

from review.body import Hold, HoldReading, PlayerCorrection, fit_correction
from review.body.response import LINES, Line
from review.errors import BadInputError, MachineError
from review.jobs.measuring.setup_files import read_toml
from review.lesson import Handedness, View

SCHEMA = 1
LEAST_HOLDS = 3
_SHORTEST_HOLD_S = 0.5
_KIND = "player set-up"
_EXPECTED = "expected a file that 'lesson-review check-accuracy CLIP --save FILE' wrote"
_HOLD_KEYS = {"from_s", "to_s", "hip_turn_deg", "shoulder_turn_deg"}
_EXAMPLE = (
    "blocks of [[hold]] with from_s and to_s (times in the clip) and hip_turn_deg and/or shoulder_turn_deg "
    "(+ open to the target, - turned away); the first at address with hip_turn_deg = 0"
)


@dataclass(frozen=True)
class PlayerSetup:
    """Readings of held positions of one player in front of one camera, by one pose model.

    response : names the response that read them; another one errs otherwise. name : of its file, for the coach.
    """

    model: str
    view: View
    handedness: Handedness
    size_px: tuple[int, int]
    response: str
    readings: dict[Line, tuple[HoldReading, ...]]
    name: str = ""

    def correction(self) -> PlayerCorrection:
        """The correction that follows from the readings."""
        return PlayerCorrection({line: fit_correction(self.readings[line]).correction for line in LINES})


def read_holds_file(path: Path) -> tuple[Hold, ...]:
    """Read the coach's holds, in order of time.

    Raises
    ------
    BadInputError
        When the file is missing, no TOML, lacks a value, or holds overlap, are too short or too few.
    """
    blocks = read_toml(path).get("hold")
    if not isinstance(blocks, list) or not all(isinstance(block, dict) for block in blocks):
        raise BadInputError(f"{path.name} names no holds: expected {_EXAMPLE}.")
    holds = sorted((_hold(block, i, path.name) for i, block in enumerate(blocks, start=1)), key=lambda h: h.from_s)
    if len(holds) < LEAST_HOLDS:
        raise BadInputError(f"{path.name} names {len(holds)} holds; expected at least {LEAST_HOLDS}: {_EXAMPLE}.")
    problem = find_overlap(holds)
    if problem:
        raise BadInputError(f"{path.name}: {problem}.")
    return tuple(holds)


def find_overlap(holds: Sequence[Hold]) -> str:
    """Say which of the holds, in order of time, overlap; '' where none do."""
    for before, after in zip(holds[:-1], holds[1:], strict=True):
        if after.from_s < before.to_s:
            return f"the holds from {before.from_s:g} and from {after.from_s:g} s overlap; correct the times"
    return ""


def make_hold(from_s: float, to_s: float, hip_turn_deg: float | None, shoulder_turn_deg: float | None) -> Hold:
    """Make a hold of what the coach says.

    Raises
    ------
    ValueError
        When it cannot be, or is too short, with the reason.
    """
    hold = Hold(from_s, to_s, hip_turn_deg, shoulder_turn_deg)
    length_s = to_s - from_s
    if length_s < _SHORTEST_HOLD_S - 1e-9:
        raise ValueError(f"{length_s:.2f} s is too short; hold each position for 2 seconds")
    return hold


def _hold(block: dict[str, Any], number: int, name: str) -> Hold:
    where = f"{name}, hold {number}"
    unknown = sorted(block.keys() - _HOLD_KEYS)
    if unknown:
        raise BadInputError(f"{where}: {unknown[0]} is not known; expected {_EXAMPLE}.")
    numbers: dict[str, float] = {}
    for key, value in block.items():
        if isinstance(value, bool) or not isinstance(value, int | float):
            raise BadInputError(f"{where}: {key} must be a number, got {value!r}.")
        numbers[key] = float(value)
    if not {"from_s", "to_s"} <= numbers.keys():
        raise BadInputError(f"{where}: from_s and to_s are needed; expected {_EXAMPLE}.")
    hips, shoulders = (numbers.get(f"{line}_turn_deg") for line in ("hip", "shoulder"))
    try:
        return make_hold(numbers["from_s"], numbers["to_s"], hips, shoulders)
    except ValueError as error:
        raise BadInputError(f"{where}: {error}.") from error


def name_response(model: str) -> str:
    """Short name of the response data in this installation."""
    folder = Path(str(resources.files("review.body"))) / "data"
    try:
        learnt = b"".join((folder / f"{line}_turn_{model}.npz").read_bytes() for line in LINES)
    except OSError as error:
        raise MachineError(f"{error.filename} is missing from this installation; install the program again.") from error
    return hashlib.sha256(learnt).hexdigest()[:12]


def make_player_text(setup: PlayerSetup) -> str:
    """Make the text of a player set-up's file."""
    data = {
        "kind": _KIND,
        "schema": SCHEMA,
        "model": setup.model,
        "view": setup.view.value,
        "handed": setup.handedness.value,
        "size_px": list(setup.size_px),
        "response": setup.response,
        "readings": {line: [_as_data(reading) for reading in setup.readings[line]] for line in LINES},
    }
    return json.dumps(data, indent=1) + "\n"


def write_player_setup(setup: PlayerSetup, path: Path) -> None:
    """Write a player set-up; a stopped run leaves what was there before.

    Raises
    ------
    BadInputError
        When the path is a folder.
    """
    if path.is_dir():
        raise BadInputError(f"{path} is a folder; give the name of a file to write, such as {path / 'player.json'}.")
    aside = path.with_name(f".{path.name}.{os.getpid()}.part")
    try:
        aside.write_text(make_player_text(setup), encoding="utf-8")
        aside.replace(path)
    finally:
        aside.unlink(missing_ok=True)


def read_player_setup(path: Path) -> PlayerSetup:
    """Read what ``write_player_setup`` wrote.

    Raises
    ------
    BadInputError
        When the file is missing, of another kind, or of a later version.
    """
    return parse_player_setup(read_player_setup_text(path), path.name)


def read_player_setup_text(path: Path) -> str:
    """Read a player set-up file as text, to be kept with a lesson.

    Raises
    ------
    BadInputError
        When the file is missing or no text.
    """
    try:
        return path.read_text(encoding="utf-8")
    except FileNotFoundError as error:
        raise BadInputError(f"There is no file {path}; check the name and the folder.") from error
    except (IsADirectoryError, PermissionError) as error:
        raise BadInputError(f"{path} cannot be read as a file ({error.strerror}).") from error
    except ValueError as error:
        raise BadInputError(f"{path.name} is no player set-up: {_EXPECTED}.") from error


def parse_player_setup(text: str, name: str) -> PlayerSetup:
    """Understand the text of a player set-up; ``name`` is that of its file.

    Raises
    ------
    BadInputError
        When it is of another kind, damaged, or of a later version.
    """
    try:
        data = json.loads(text)
    except ValueError as error:
        raise BadInputError(f"{name} is no player set-up: {_EXPECTED}.") from error
    if not isinstance(data, dict) or data.get("kind") != _KIND:
        raise BadInputError(f"{name} is no player set-up: {_EXPECTED}.")
    if data.get("schema") != SCHEMA:
        raise BadInputError(
            f"{name} is a player set-up of version {data.get('schema')}, this program reads {SCHEMA}; "
            "make it again from its clip with check-accuracy."
        )
    try:
        width, height = data["size_px"]
        return PlayerSetup(
            model=str(data["model"]),
            view=View(data["view"]),
            handedness=Handedness(data["handed"]),
            size_px=(int(width), int(height)),
            response=str(data["response"]),
            readings={line: tuple(_reading(entry) for entry in data["readings"][line]) for line in LINES},
            name=name,
        )
    except (KeyError, TypeError, ValueError) as error:
        raise BadInputError(f"{name} is damaged ({error}); {_EXPECTED}.") from error


def _as_data(reading: HoldReading) -> dict[str, Any]:
    """A hold that cannot be used keeps its mark and its problem only: JSON has no NaN."""
    return {"marked_deg": reading.marked_deg, "problem": reading.problem} if reading.problem else asdict(reading)


def _reading(entry: dict[str, Any]) -> HoldReading:
    marked = float(entry["marked_deg"])
    if entry["problem"]:
        return HoldReading(marked, math.nan, math.nan, math.nan, (math.nan, math.nan), str(entry["problem"]))
    read, low, high = (float(entry[f"{name}_deg"]) for name in ("read", "low", "high"))
    hip, shoulder = (float(turn) for turn in entry["position_deg"])
    return HoldReading(marked, read, low, high, (hip, shoulder))
