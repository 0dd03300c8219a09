"""How long measuring takes after detection, as parts of the time that detection itself takes; run by hand.

    python -m tests.benchmarks.measuring [CLIP]

Prints the time per swing of the response, the smoothing and everything after detection, one view and two, and each as
a ratio to detecting one picture with the quick model in the same run: ratios travel between machines, seconds do not.
"""

import sys
import time
from collections.abc import Callable
from itertools import islice
from pathlib import Path

from review.body import SeenSwing, as_right_hander, assume_direction, measure_body
from review.body.response import read_turns
from review.media import probe_video, read_frames
from review.pose import Effort, MediaPipeEstimator
from review.swing import find_key_frames
from tests.conftest import load_rendered

_SAMPLE = Path(__file__).parents[2] / "sample_clips" / "clips"
_PICTURES = 60


def best_of(repeats: int, run: Callable[[], object]) -> float:
    """Shortest of several runs, seconds."""
    times = []
    for _ in range(repeats):
        begin = time.perf_counter()
        run()
        times.append(time.perf_counter() - begin)
    return min(times)


def see(name: str) -> SeenSwing:
    """A rendered swing as the body room sees it."""
    swing = load_rendered(name)
    track = as_right_hander(swing.track, swing.handedness)
    return SeenSwing(track, swing.view, find_key_frames(track), assume_direction(swing.view))


def main() -> None:
    """Time and print."""
    clip = Path(sys.argv[1]) if len(sys.argv) > 1 else sorted(_SAMPLE.glob("*.mp4"))[0]
    pictures = [(f.time_s, f.rgb.copy()) for f in islice(read_frames(probe_video(clip)), _PICTURES)]
    MediaPipeEstimator(Effort.QUICK).track(pictures[:5])
    picture_s = best_of(2, lambda: MediaPipeEstimator(Effort.QUICK).track(pictures)) / len(pictures)
    face_on, down_the_line = see("face_on_right"), see("down_the_line_right")
    measure_body([face_on, down_the_line], 1.78)  # loads what is loaded once
    rows = {
        "one picture, quick model": picture_s,
        "response of a swing": best_of(5, lambda: read_turns(face_on.track, face_on.still_frames())),
        "all after detection, one view": best_of(5, lambda: measure_body([face_on], 1.78)),
        "all after detection, two views": best_of(5, lambda: measure_body([face_on, down_the_line], 1.78)),
    }
    for name, seconds in rows.items():
        sys.stdout.write(f"{name:32s} {1000 * seconds:7.1f} ms  {seconds / picture_s:6.2f} pictures\n")


if __name__ == "__main__":
    main()
