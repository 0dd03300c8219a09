"""What the response is learnt from: tracked swings and stills with known truth (``learn_response`` says their form)."""

from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np

from review.body.response import LINES
from review.lesson import FloatArray, View
from review.pose import MIRRORED


@dataclass(frozen=True, eq=False)
class Clip:
    """One tracked swing with its truth; arrays over frames. ``number`` is that of the swing."""

    number: int
    view: View
    time_s: FloatArray
    image_px: FloatArray
    world_m: FloatArray
    direction_deg: FloatArray
    heel_lift: FloatArray
    hip_shift: FloatArray
    address_s: float
    share: float = 1.0

    def still_frames(self, address_s: float) -> slice:
        """Frames of the 0.15 s up to address, at least two."""
        last = int(self.time_s.searchsorted(address_s, side="right"))
        return slice(min(int(self.time_s.searchsorted(address_s - 0.15)), max(0, last - 2)), max(last, 2))

    def weights(self) -> FloatArray:
        """A frame counts by the time it stands for and its clip's share."""
        return np.asarray(self.share * np.clip(np.gradient(self.time_s) * 60.0, 0.5, 2.0))

    def in_mirror(self, share: float) -> "Clip":
        """The same for turns, mirrored, and counting that share of it; its movements stay and are not learnt from."""
        image_px, world_m = self.image_px[:, MIRRORED].copy(), self.world_m[:, MIRRORED].copy()
        for points in (image_px, world_m):
            points[..., 0] *= -1
        return replace(
            self,
            image_px=image_px,
            world_m=world_m,
            direction_deg=-self.direction_deg,
            share=share * self.share,
        )


def load_clips(path: Path) -> list[Clip]:
    """Read SWINGS.npz; frames on which nobody was found are left out."""
    with np.load(path) as data:
        arrays = {name: data[name] for name in data.files}
    seen = np.isfinite(arrays["image_px"]).all(axis=(1, 2))
    clips = []
    for number in np.unique(arrays["clip"]):
        rows = (arrays["clip"] == number) & seen
        time_s = arrays["time_s"][rows].astype(float)
        turn = np.stack([arrays[f"{line}_turn_deg"][rows] for line in LINES], axis=1).astype(float)
        address_s = float(arrays["address_s"][number])
        stature_cm = 100.0 * float(arrays["stature_m"][number])
        at_address = max(int(time_s.searchsorted(address_s)) - 1, 0)
        lift, shift = (arrays[name][rows].astype(float) / stature_cm for name in ("heel_lift_cm", "hip_shift_cm"))
        clips.append(
            Clip(
                number=int(arrays["swing"][number]) if "swing" in arrays else int(number),
                view=View(str(arrays["view"][number])),
                time_s=time_s,
                image_px=arrays["image_px"][rows].astype(float),
                world_m=arrays["world_m"][rows].astype(float),
                direction_deg=turn + float(arrays["target_deg"][number]) + arrays["bearing_deg"][rows][:, None],
                heel_lift=lift - lift[at_address],
                hip_shift=shift - shift[at_address],
                address_s=address_s,
                share=float(arrays["share"][number]) if "share" in arrays else 1.0,
            )
        )
    return clips


@dataclass(frozen=True, eq=False)
class Stills:
    """Single pictures: landmarks (n, 33, 3) and the direction of both lines (n, 2)."""

    image_px: FloatArray
    world_m: FloatArray
    direction_deg: FloatArray


def load_stills(stills: Path, landmarks: Path | None) -> Stills:
    """Read STILLS.npz, left-handers mirrored; pictures on which nobody was found are left out."""
    truth = np.load(stills)
    seen = np.load(landmarks) if landmarks else truth
    image, world = seen["lm_image"].astype(float), seen["lm_world"][..., :3].astype(float)
    found = seen["detected"].astype(bool) & np.isfinite(image).all(axis=(1, 2))
    size = truth["image_size"].astype(float)
    image = image[..., :3] * np.stack([size[:, 0], size[:, 1], size[:, 0]], axis=1)[:, None, :]
    angles = np.stack([truth[f"{line}_yaw_cam_deg"] + truth["bearing_deg"] for line in LINES], axis=1).astype(float)
    left = truth["left_handed"].astype(bool)
    for points in (image, world):
        points[left] = points[left][:, MIRRORED]
        points[left, :, 0] *= -1
    angles[left] *= -1
    return Stills(image[found], world[found], angles[found])
