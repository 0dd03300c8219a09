from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import pytest
from hypothesis import settings

from review.lesson import Handedness, View
from review.pose import LandmarkTrack

DATA = Path(__file__).parent / "data"

# how long an example takes says nothing: no test is timed
settings.register_profile("untimed", deadline=None)
settings.load_profile("untimed")


@dataclass(frozen=True, eq=False)
class RenderedSwing:
    """Landmarks of a rendered swing beside its exact truth."""

    track: LandmarkTrack
    handedness: Handedness
    view: View
    stature_m: float
    truth: dict[str, np.ndarray]
    key_frames_s: dict[str, float]

    def from_address(self, name: str) -> np.ndarray:
        at = np.interp(self.key_frames_s["address"], self.track.time_s, self.truth[name])
        return self.truth[name] - at

    def inside(self) -> np.ndarray:
        t = self.track.time_s
        return (t >= self.key_frames_s["address"]) & (t <= self.key_frames_s["finish"])


def load_rendered(name: str) -> RenderedSwing:
    with np.load(DATA / f"rendered_{name}.npz") as data:
        width, height = (int(v) for v in data["size_px"])
        track = LandmarkTrack(
            time_s=data["time_s"],
            image_px=data["image_px"].astype(float),
            world_m=data["world_m"].astype(float),
            visibility=data["visibility"].astype(float),
            width_px=width,
            height_px=height,
            model="full",
            mode="tracked",
        )
        names = ("hip_turn_deg", "shoulder_turn_deg", "trail_heel_lift_cm", "hip_shift_cm")
        return RenderedSwing(
            track=track,
            handedness=Handedness(str(data["handedness"])),
            view=View(str(data["view"])),
            stature_m=float(data["stature_m"]),
            truth={n: data[n].astype(float) for n in names},
            key_frames_s=dict(
                zip(("address", "top", "impact", "finish"), (float(v) for v in data["key_frames"]), strict=True)
            ),
        )


@pytest.fixture(scope="session")
def face_on() -> RenderedSwing:
    return load_rendered("face_on_right")


@pytest.fixture(scope="session")
def down_the_line() -> RenderedSwing:
    return load_rendered("down_the_line_right")


@pytest.fixture(scope="session")
def face_on_left() -> RenderedSwing:
    return load_rendered("face_on_left")


@pytest.fixture
def write_table(tmp_path: Path) -> Callable[..., Path]:
    def write(content: str | bytes, name: str = "table.csv", encoding: str = "utf-8") -> Path:
        path = tmp_path / name
        path.write_bytes(content.encode(encoding) if isinstance(content, str) else content)
        return path

    return write
