"""Key frames and timing of a swing."""

from review.swing.key_frames import find_impacts_by_motion, find_key_frames
from review.swing.time_scale import FoundTimeScale, find_time_scale, scale_of_capture
from review.swing.timing import compute_tempo

__all__ = [
    "FoundTimeScale",
    "compute_tempo",
    "find_impacts_by_motion",
    "find_key_frames",
    "find_time_scale",
    "scale_of_capture",
]
