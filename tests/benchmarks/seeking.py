"""How often a frame asked for by its number is another one, by OpenCV's own seeking and by ours; run by hand.

    python -m tests.benchmarks.seeking

Over the hard clips of the tests, every frame once, in a wild order; each picture carries its number.
"""

import tempfile
from pathlib import Path

import cv2
import numpy as np

from review.media import FrameSource
from tests.media.media_clips import RECIPES, number_in


def main() -> None:
    with tempfile.TemporaryDirectory() as folder:
        for name, make in RECIPES.items():
            clip = make(Path(folder))
            capture, wrong, ours = cv2.VideoCapture(str(clip.path)), 0, 0
            with FrameSource(clip.path) as source:
                for i in np.random.default_rng(1).permutation(clip.n_frames).tolist():
                    capture.set(cv2.CAP_PROP_POS_FRAMES, i)
                    is_read, bgr = capture.read()
                    wrong += not is_read or number_in(bgr[..., ::-1]) != i
                    ours += number_in(source.frame(i)) != i
            print(f"{name}: of {clip.n_frames} frames wrong by OpenCV {wrong}, by ours {ours}")


if __name__ == "__main__":
    main()
