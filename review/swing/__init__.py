"""Key frames and timing of a swing."""

from review.swing.key_frames import find_impacts_by_motion, find_key_frames
from review.swing.speed_ramp import RateChange, find_rate_change
from review.swing.time_scale import FoundTimeScale, find_time_scale, scale_of_capture
from review.swing.timing import compute_tempo, doubt_tempo

__all__ = [
    "FoundTimeScale",
    "RateChange",
    "compute_tempo",
    "doubt_tempo",
    "find_impacts_by_motion",
    "find_key_frames",
    "find_rate_change",
    "find_time_scale",
    "scale_of_capture",
]
