"""Landmarks of many clips, one process a core."""

import multiprocessing
import os
from collections.abc import Callable, Iterator, Mapping, Sequence
from concurrent.futures import FIRST_COMPLETED, Future, ProcessPoolExecutor, wait
from dataclasses import dataclass, replace
from pathlib import Path
from queue import Empty, Queue

import numpy as np

from review.errors import BadInputError
from review.media import Footage, VideoInfo, probe_video, read_frames
from review.pose import Effort, LandmarkTrack, MediaPipeEstimator, Picture, spread_over
from review.progress import Progress, silent

# A swing holds nothing a coach needs that is faster than this; the frames between are interpolated.
_RATE_HZ = {Effort.QUICK: 60.0, Effort.THOROUGH: 120.0}
_HEIGHT_PX = 1280
_POLL_S = 0.1
_REPORT_EVERY = 5


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

    lengths = _count_frames(orders)
    tracks: dict[str, LandmarkTrack] = {}
    failures: dict[str, str] = {}
    context = multiprocessing.get_context("spawn")
    with context.Manager() as manager:
        reports: Queue[tuple[str, int]] = manager.Queue()
        done = dict.fromkeys(orders, 0)
        pool = ProcessPoolExecutor(max_workers=min(len(orders), os.cpu_count() or 1), mp_context=context)
        try:
            running = {pool.submit(_track_apart, key, order, reports): key for key, order in orders.items()}
            while running:
                finished, _ = wait(running, timeout=_POLL_S, return_when=FIRST_COMPLETED)
                _drain(reports, done)
                for future in finished:
                    key = running.pop(future)
                    _collect(future, key, tracks, failures, keep)
                    done[key] = lengths[key]
                progress(min(sum(done.values()), sum(lengths.values())), sum(lengths.values()))
        except BaseException:
            _stop(pool)
            raise
        pool.shutdown()
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


def _track_apart(key: str, order: TrackOrder, reports: "Queue[tuple[str, int]]") -> LandmarkTrack:
    def report(done: int, total: int) -> None:
        if done % _REPORT_EVERY == 0 or done == total:
            reports.put((key, done))

    return track_clip(order, report)


def _drain(reports: "Queue[tuple[str, int]]", done: dict[str, int]) -> None:
    while True:
        try:
            key, frames = reports.get_nowait()
        except Empty:
            return
        done[key] = frames


def _collect(
    future: "Future[LandmarkTrack]",
    key: str,
    tracks: dict[str, LandmarkTrack],
    failures: dict[str, str],
    keep: Callable[[str, LandmarkTrack], None] | None,
) -> None:
    try:
        track = future.result()
    except BadInputError as error:
        failures[key] = str(error)
        return
    tracks[key] = track
    if keep:
        keep(key, track)


def _stop(pool: ProcessPoolExecutor) -> None:
    """End the workers at once: a cancelled run must not go on in the background."""
    processes: Sequence[multiprocessing.process.BaseProcess] = list((pool._processes or {}).values())
    for process in processes:
        process.terminate()
    pool.shutdown(wait=False, cancel_futures=True)
