"""The sample lesson with key frames about the strike that was heard, as if it had been measured."""

from pathlib import Path

from review.lesson import KeyFrame
from review.library import Library
from review.media import probe_video

KEYS_S = {"address": -1.0, "top": -0.3, "impact": 0.0, "finish": 0.5}
"""Seconds after the strike, or after three fifths of a clip in which none was heard."""


def give_key_frames(folder: Path) -> None:
    """Note the key frames of every clip, each at the frame nearest to its time."""
    with Library.open(folder) as library:
        lesson = library.latest_lesson()
        for swing in library.swings(lesson.id):
            for clip in swing.clips:
                times = probe_video(library.footage_of(clip)).time_s
                strike_s = float(times[6 * len(times) // 10]) if clip.strike_s is None else clip.strike_s
                found = []
                for name, after_s in KEYS_S.items():
                    frame = int(abs(times - (strike_s + after_s)).argmin())
                    found.append(KeyFrame(name, float(times[frame]), frame, 0.9, "pose"))
                library.set_key_frames(clip.id, found)
