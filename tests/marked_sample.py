"""A stick on the ground of the sample lesson, seen by its true cameras (sample_clips/truth.json)."""

import json
from pathlib import Path

import numpy as np

_TRUTH = json.loads((Path(__file__).parents[1] / "sample_clips" / "truth.json").read_text(encoding="utf-8"))
LENGTH_M = 1.22


def true_camera(clip_name: str) -> dict:
    """Position, turn and lens of the camera that rendered a clip."""
    return next(clip["camera"] for clip in _TRUTH["clips"] if Path(clip["file"]).name == clip_name)


def true_off_deg(clip_name: str, is_face_on: bool) -> float:
    """How far the target line (x of the world) runs off square in the camera's axes, seen from above."""
    right, _, ahead = np.array(true_camera(clip_name)["world_to_camera_rotation"])[:, 0]
    return float(np.degrees(np.arctan2(ahead, right)) - (0.0 if is_face_on else 90.0))


def stick_px(clip_name: str) -> tuple[tuple[float, float], tuple[float, float]]:
    """Ends of a stick along the target line, outside the toes, away from and toward the target; whole pixels."""
    camera = true_camera(clip_name)
    # y of the world runs away from the face-on camera, so from the toes to the heels
    ends = np.array([[-LENGTH_M / 2, -0.3, 0.0], [LENGTH_M / 2, -0.3, 0.0]]) - camera["position_m"]
    x, y, z = np.array(camera["world_to_camera_rotation"]) @ ends.T
    across = camera["cx"] + camera["focal_px"] * x / z
    down = camera["cy"] + camera["focal_px"] * y / z
    away, toward = np.floor(np.stack([across, down], axis=1)).tolist()
    return (away[0], away[1]), (toward[0], toward[1])
