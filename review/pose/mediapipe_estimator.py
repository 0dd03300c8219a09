"""Landmarks by MediaPipe's pose landmarker; the only file that knows that library."""

import os
import sys
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager, nullcontext
from dataclasses import replace
from functools import cache
from importlib import resources
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from review.errors import BadInputError, MachineError
from review.pose.estimator import Effort, Picture
from review.pose.light import measure_contrast
from review.pose.track import N_LANDMARKS, LandmarkTrack, average_tracks, mirror_track

_NOISY_PICTURES = 2  # the library writes its notices while it looks at the first ones
_CONTRAST_EVERY = 15  # pictures: the light of a swing does not change
_BUNDLES = {Effort.QUICK: "full", Effort.THOROUGH: "heavy"}


class MediaPipeEstimator:
    """One person's 33 landmarks, tracked from frame to frame.

    QUICK runs the full model once. THOROUGH runs the heavy model on every picture and on its mirror image and
    averages the two, which removes most of what differs between the person's left and right side. ``in_mirror`` shows
    QUICK the mirror image: for left-handers, so that the model sees every player as a right-hander (its landmarks of a
    player and of his mirror image differ by degrees of turn). The track is that of the clip as filmed all the same.
    """

    def __init__(self, effort: Effort, in_mirror: bool = False) -> None:
        self.effort = effort
        self.in_mirror = in_mirror and effort is Effort.QUICK  # thorough looks at both
        self.model = _BUNDLES[effort]
        self.mode = "tracked, mirrored average" if effort is Effort.THOROUGH else "tracked"

    @property
    def key(self) -> str:
        """Names model and mode."""
        return (
            f"mediapipe-{self.model}-{self.mode.replace(', ', '-').replace(' ', '-')}" + "-in-mirror" * self.in_mirror
        )

    def track(self, pictures: Iterable[Picture]) -> LandmarkTrack:
        """Follow one person through the pictures.

        Raises
        ------
        BadInputError
            When there is no picture at all.
        MachineError
            When the model file or the library is missing.
        """
        times: list[float] = []
        plain: list[_Found] = []
        mirrored: list[_Found] = []
        contrasts: list[float] = []
        size = (0, 0)
        with _landmarker(self.model) as follow, _landmarker(self.model) as follow_mirrored:
            for time_s, rgb in pictures:
                size = (rgb.shape[1], rgb.shape[0])
                times.append(time_s)
                shown = rgb[:, ::-1] if self.in_mirror else rgb
                plain.append(follow(time_s, shown))
                if len(times) % _CONTRAST_EVERY == 1 and plain[-1] is not _NOBODY:
                    contrasts.append(measure_contrast(shown, plain[-1][0][:, :2] * size))
                if self.effort is Effort.THOROUGH:
                    mirrored.append(follow_mirrored(time_s, rgb[:, ::-1]))
        if not times:
            raise BadInputError("The clip holds no pictures to measure; expected at least one frame.")
        seen = [contrast for contrast in contrasts if np.isfinite(contrast)]
        first = _as_track(times, plain, size, self.model, self.mode)
        first = replace(first, contrast=float(np.median(seen)) if seen else np.nan)
        if self.in_mirror:
            return mirror_track(first)
        if not mirrored:
            return first
        second = mirror_track(_as_track(times, mirrored, size, self.model, self.mode))
        return average_tracks(first, second, self.mode)


_Found = tuple[NDArray[np.float64], NDArray[np.float64]]
_NOBODY: _Found = (np.full((N_LANDMARKS, 4), np.nan), np.full((N_LANDMARKS, 3), np.nan))


def _as_track(times: list[float], found: list[_Found], size: tuple[int, int], model: str, mode: str) -> LandmarkTrack:
    image = np.array([f[0] for f in found])
    width, height = size
    return LandmarkTrack(
        time_s=np.array(times),
        image_px=image[..., :3] * np.array([width, height, width]),
        world_m=np.array([f[1] for f in found]),
        visibility=np.nan_to_num(image[..., 3]),
        width_px=width,
        height_px=height,
        model=model,
        mode=mode,
    )


@contextmanager
def _landmarker(model: str) -> Iterator[Any]:
    vision, picture_type, picture_format, base_options = _library()
    options = vision.PoseLandmarkerOptions(
        base_options=base_options(model_asset_path=str(model_path(model))),
        running_mode=vision.RunningMode.VIDEO,
    )
    last_ms = -1
    n_pictures = 0
    with _quiet():
        landmarker = vision.PoseLandmarker.create_from_options(options)
    with landmarker:

        def follow(time_s: float, rgb: NDArray[np.uint8]) -> _Found:
            nonlocal last_ms, n_pictures
            last_ms = max(last_ms + 1, round(time_s * 1000))  # the library wants increasing whole milliseconds
            # a picture whose rows are padded in memory is silently misread
            picture = picture_type(image_format=picture_format.SRGB, data=np.ascontiguousarray(rgb))
            n_pictures += 1
            with _quiet() if n_pictures <= _NOISY_PICTURES else nullcontext():
                got = landmarker.detect_for_video(picture, last_ms)
            if not got.pose_landmarks:
                return _NOBODY
            return (
                np.array([[p.x, p.y, p.z, p.visibility] for p in got.pose_landmarks[0]]),
                np.array([[p.x, p.y, p.z] for p in got.pose_world_landmarks[0]]),
            )

        yield follow


Detect = Callable[[NDArray[np.uint8]], list[tuple[NDArray[np.float64], NDArray[np.float64]]]]
"""Of an RGB picture everybody's landmarks (33, 2) px and how visible (33,) each is."""


@contextmanager
def open_detector(most: int) -> Iterator[Detect]:
    """Give a detector of up to ``most`` people in single pictures.

    Raises
    ------
    MachineError
        When the model file or the library is missing.
    """
    vision, picture_type, picture_format, base_options = _library()
    options = vision.PoseLandmarkerOptions(
        base_options=base_options(model_asset_path=str(model_path(_BUNDLES[Effort.QUICK]))),
        running_mode=vision.RunningMode.IMAGE,
        num_poses=most,
    )
    with _quiet():
        landmarker = vision.PoseLandmarker.create_from_options(options)
    is_silent = False
    with landmarker:

        def detect(rgb: NDArray[np.uint8]) -> list[tuple[NDArray[np.float64], NDArray[np.float64]]]:
            picture = picture_type(image_format=picture_format.SRGB, data=np.ascontiguousarray(rgb))
            nonlocal is_silent
            with nullcontext() if is_silent else _quiet():
                found = landmarker.detect(picture).pose_landmarks
            is_silent = is_silent or bool(found)  # its last notice comes with the first person
            size = (rgb.shape[1], rgb.shape[0])
            return [
                (np.array([[p.x, p.y] for p in points]) * size, np.array([p.visibility for p in points]))
                for points in found
            ]

        yield detect


@contextmanager
def _quiet() -> Iterator[None]:
    """Keep the library's own chatter off the coach's screen: it writes past Python, straight to descriptor 2."""
    try:
        kept = os.dup(2)
    except OSError:  # no standard error, as under a window
        yield
        return
    try:
        with open(os.devnull, "w") as nothing:
            sys.stderr.flush()
            os.dup2(nothing.fileno(), 2)
        yield
    finally:
        os.dup2(kept, 2)
        os.close(kept)


@cache
def _library() -> tuple[Any, Any, Any, Any]:
    os.environ.setdefault("GLOG_minloglevel", "2")
    try:
        import mediapipe
        from mediapipe.tasks.python import BaseOptions, vision
    except (ImportError, OSError) as error:
        raise MachineError(
            f"The pose library could not be loaded ({error}). Expected mediapipe in this installation; "
            "run 'python3 start.py demo' once to install what is missing."
        ) from error
    return vision, mediapipe.Image, mediapipe.ImageFormat, BaseOptions


def model_path(model: str) -> Path:
    """Where the bundle of the 'full' or 'heavy' model lies.

    Raises
    ------
    MachineError
        When the installation is incomplete.
    """
    path = Path(str(resources.files("review.pose"))) / "models" / f"pose_{model}.task"
    if not path.is_file():
        raise MachineError(f"The pose model {path.name} is missing from this installation; install the program again.")
    return path
