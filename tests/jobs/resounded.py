"""Sample clips with their sound taken out or moved against the pictures, and their landmarks (tests/data)."""

import json
from pathlib import Path

import av
import numpy as np

from review.pose import LandmarkTrack

_ROOT = Path(__file__).parents[2]
CLIPS = {"face_on": "20260314_101900.mp4", "down_the_line": "20260314_101900_cam2.mp4"}
_TRUTH = json.loads((_ROOT / "sample_clips" / "truth.json").read_text(encoding="utf-8"))


def clip_path(view: str) -> Path:
    return _ROOT / "sample_clips" / "clips" / CLIPS[view]


def true_impact_s(view: str) -> float:
    """Presentation time of impact; it is heard at once (sample_clips/truth.json)."""
    clip = next(clip for clip in _TRUTH["clips"] if Path(clip["file"]).name == CLIPS[view])
    return float(clip["impact_in_clip_s"])


def landmarks(view: str) -> LandmarkTrack:
    with np.load(_ROOT / "tests" / "data" / "sample_landmarks.npz") as data:
        time_s, width_height = data[f"{view}_time_s"], data[f"{view}_size"]
        image = np.zeros((len(time_s), 33, 3))
        image[..., :2] = data[f"{view}_px"] / 16.0
    return LandmarkTrack(
        time_s=time_s,
        image_px=image,
        world_m=np.zeros_like(image),
        visibility=np.ones(image.shape[:2]),
        width_px=int(width_height[0]),
        height_px=int(width_height[1]),
        model="full",
        mode="tracked",
    )


def resound(view: str, path: Path, late_s: float | None) -> Path:
    """Write the clip with its sound ``late_s`` later, or without sound (None); nothing is encoded again."""
    with av.open(str(clip_path(view))) as source, av.open(str(path), "w") as out:
        streams = [s for s in source.streams if s.type == "video" or (s.type == "audio" and late_s is not None)]
        copies = {s.index: out.add_stream_from_template(s) for s in streams}
        for packet in source.demux(streams):
            if packet.dts is None or packet.pts is None:
                continue
            if packet.stream.type == "audio" and late_s is not None:
                shift = round(late_s / float(packet.time_base))
                packet.pts, packet.dts = packet.pts + shift, packet.dts + shift
            packet.stream = copies[packet.stream_index]
            out.mux(packet)
    return path
