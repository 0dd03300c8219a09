"""Landmarks of many clips, one process a core."""

from collections.abc import Callable, Iterator, Mapping
from concurrent.futures import Future
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path

import numpy as np

from review.errors import BadInputError
from review.jobs.processes import run_apart
from review.media import Footage, VideoInfo, probe_video, read_frames
from review.pose import Effort, LandmarkTrack, MediaPipeEstimator, Picture, spread_over
from review.progress import Progress, silent

# A swing holds nothing a coach needs that is faster than this; the frames between are interpolated.
_RATE_HZ = {Effort.QUICK: 60.0, Effort.THOROUGH: 120.0}
_HEIGHT_PX = 1280


@dataclass(frozen=True)
class TrackOrder:
    """One clip to be tracked; true time = presentation time x ``time_scale``, ``in_mirror`` for a left-hander.

    ``rate_hz`` pictures are looked at in a true second, None = as many as the effort asks for.
    """

    path: Path | Footage
    effort: Effort
    time_scale: float = 1.0
    in_mirror: bool = False
    rate_hz: float | None = None

    @property
    def frame_step(self) -> tuple[VideoInfo, int]:
        """The clip's probe and which part of its frames to look at: every n-th."""
        info = probe_video(self.path)
        true_rate_hz = info.frame_rate_hz / self.time_scale
        return info, max(1, int(true_rate_hz / (self.rate_hz or _RATE_HZ[self.effort]) + 0.5))


def track_clip(order: TrackOrder, progress: Progress = silent) -> LandmarkTrack:
    """Follow the person through one clip; the track covers every frame of the clip, in its own pixels.

    Raises
    ------
    BadInputError
        When the clip cannot be read.
    """
    info, step = order.frame_step
    n_looked_at = len(range(0, info.n_frames, step))

    def pictures() -> Iterator[Picture]:
        for i, frame in enumerate(read_frames(info, step=step, max_height_px=_HEIGHT_PX), start=1):
            yield frame.time_s, frame.rgb
            progress(i, n_looked_at)

    track = MediaPipeEstimator(order.effort, order.in_mirror).track(pictures())
    return _in_clip_pixels(track, info)


def _in_clip_pixels(track: LandmarkTrack, info: VideoInfo) -> LandmarkTrack:
    scale = info.height_px / track.height_px
    scaled = replace(track, image_px=track.image_px * scale, width_px=info.width_px, height_px=info.height_px)
    return scaled if np.array_equal(scaled.time_s, info.time_s) else spread_over(scaled, info.time_s)


def track_clips(
    orders: Mapping[str, TrackOrder],
    progress: Progress = silent,
    keep: Callable[[str, LandmarkTrack], None] | None = None,
) -> tuple[dict[str, LandmarkTrack], dict[str, str]]:
    """Track several clips with all cores.

    Parameters
    ----------
    orders : by the caller's own key.
    progress : called with frames looked at and frames in all.
    keep : called with every finished track at once, so that a stopped run loses only what was unfinished.

    Returns
    -------
    tracks by key, and for clips that could not be tracked the reason by key.
    """
    if not orders:
        return {}, {}
    if len(orders) == 1:
        key, order = next(iter(orders.items()))
        try:
            track = track_clip(order, progress)
        except BadInputError as error:
            return {}, {key: str(error)}
        if keep:
            keep(key, track)
        return {key: track}, {}

    tracks: dict[str, LandmarkTrack] = {}
    failures: dict[str, str] = {}

    def collect(key: str, future: "Future[LandmarkTrack]") -> None:
        try:
            tracks[key] = future.result()
        except BadInputError as error:
            failures[key] = str(error)
            return
        if keep:
            keep(key, tracks[key])

    tasks = {key: partial(track_clip, order) for key, order in orders.items()}
    run_apart(tasks, _count_frames(orders), progress, collect)
    return tracks, failures


def _count_frames(orders: Mapping[str, TrackOrder]) -> dict[str, int]:
    lengths = {}
    for key, order in orders.items():
        try:
            info, step = order.frame_step
            lengths[key] = len(range(0, info.n_frames, step))
        except BadInputError:
            lengths[key] = 1
    return lengths
