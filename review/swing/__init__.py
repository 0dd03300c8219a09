"""Key frames and timing of a swing."""

from review.swing.key_frames import find_key_frames
from review.swing.timing import compute_tempo

__all__ = ["compute_tempo", "find_key_frames"]
