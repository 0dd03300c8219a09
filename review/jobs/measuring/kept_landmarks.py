"""Landmarks of a lesson's clips, kept in the library so that they need not be found again."""

from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from review.jobs.measuring.landmarks import TrackOrder, track_clip
from review.lesson import Clip, Handedness
from review.library import Library
from review.pose import Effort, LandmarkTrack, MediaPipeEstimator
from review.progress import Progress, silent

_KIND = "landmarks"


def load_landmarks(library: Library, clip: Clip, handedness: Handedness) -> tuple[LandmarkTrack, Effort] | None:
    """Return the best landmarks kept for a clip: thorough before quick, None when it was not measured.

    Those of a player taken for the other hand do not serve: quick ones were made of the mirror image.
    """
    for effort in (Effort.THOROUGH, Effort.QUICK):
        track = _load(library, clip, effort, handedness)
        if track is not None:
            return track, effort
    return None


def list_kept(library: Library, clip: Clip, handedness: Handedness) -> dict[str, Path]:
    """The files of landmarks that may be kept for a clip, there or not, by the text that names every input."""
    keys = [_key(clip, effort, scale, handedness) for effort in Effort for scale in sorted({clip.time_scale, 1.0})]
    return {key: library.derived_file(_KIND, key) for key in keys}


def find_landmarks(
    library: Library, clip: Clip, handedness: Handedness, effort: Effort, progress: Progress = silent
) -> None:
    """Find the landmarks of one clip in this process and keep them, unless they are kept, or better ones.

    Raises
    ------
    BadInputError
        When the clip cannot be read.
    """
    kept = load_landmarks(library, clip, handedness)
    if kept is None or kept[1] not in (effort, Effort.THOROUGH):
        track = track_clip(make_order(library, clip, handedness, effort), progress)
        save_landmarks(library, clip, effort, handedness, track)


def make_order(library: Library, clip: Clip, handedness: Handedness, effort: Effort) -> TrackOrder:
    """What to look at for the landmarks of a clip."""
    return TrackOrder(library.footage_of(clip), effort, clip.time_scale, handedness is Handedness.LEFT)


def _load(library: Library, clip: Clip, effort: Effort, handedness: Handedness) -> LandmarkTrack | None:
    """Return the landmarks that were made with this effort.

    Those of a clip that was taken to play at true speed serve as well once it is known to play slower: more of its
    frames were looked at than needed.
    """
    scales = {clip.time_scale, 1.0} if clip.time_scale < 1.0 else {clip.time_scale}
    for scale in sorted(scales):
        kept = library.load_arrays(_KIND, _key(clip, effort, scale, handedness))
        track = None if kept is None else _as_track(*kept)
        if track is not None:
            return track
    return None


def _as_track(arrays: dict[str, NDArray[Any]], text: dict[str, str]) -> LandmarkTrack | None:
    try:
        width, height = (int(v) for v in arrays["size_px"])
        return LandmarkTrack(
            time_s=arrays["time_s"].astype(float),
            image_px=arrays["image_px"].astype(float),
            world_m=arrays["world_m"].astype(float),
            visibility=arrays["visibility"].astype(float),
            width_px=width,
            height_px=height,
            model=text["model"],
            mode=text["mode"],
            contrast=float(arrays.get("contrast", np.nan)),
        )
    except (KeyError, ValueError):
        return None  # rebuilt like a missing file


def save_landmarks(library: Library, clip: Clip, effort: Effort, handedness: Handedness, track: LandmarkTrack) -> None:
    """Keep the landmarks of a clip."""
    library.save_arrays(
        _KIND,
        _key(clip, effort, clip.time_scale, handedness),
        {
            "time_s": track.time_s,
            "image_px": track.image_px.astype(np.float32),
            "world_m": track.world_m.astype(np.float32),
            "visibility": track.visibility.astype(np.float32),
            "size_px": np.array([track.width_px, track.height_px]),
            "contrast": np.array(track.contrast),
        },
        text={"model": track.model, "mode": track.mode},
        clip_content=clip.content,
    )


def _key(clip: Clip, effort: Effort, time_scale: float, handedness: Handedness) -> str:
    return f"{clip.content} {MediaPipeEstimator(effort, handedness is Handedness.LEFT).key} x{time_scale}"
