"""Two clips side by side, locked at impact, as a video that a phone plays."""

import os
from bisect import bisect_right
from collections.abc import Iterator
from contextlib import ExitStack
from dataclasses import dataclass
from pathlib import Path

import cv2
import numpy as np
from numpy.typing import NDArray

from review.lesson import FloatArray
from review.media import Frame, VideoInfo, VideoWriter, probe_video
from review.progress import Progress, silent
from review.takehome.body_lines import draw_body, find_body
from review.takehome.contents import ClipSide, Pair
from review.takehome.looks import Picture, paste
from review.takehome.passages import (
    SLOW,
    Passage,
    choose_rate_hz,
    list_instants,
    nearest_frames,
    plan_passages,
)
from review.takehome.shown_frames import read_shown
from review.takehome.stage import Box, Stage, build_stage

MOST_BYTES = 16_000_000
_HEIGHTS_PX = (1080, 810, 600)
"""Tried in turn until the file is small enough to be sent with a phone."""
SMALL_HEIGHT_PX = 720
_HELD_S = {1.0: 0.25, SLOW: 0.6}
"""How long a key frame's name stays, in seconds of watching."""


@dataclass(frozen=True)
class Rendered:
    """What was written: instants (n,) true seconds from impact of every picture, frames (n, 2) shown left and right."""

    instants_s: FloatArray
    frames: NDArray[np.int64]
    rate_hz: int


def render_pair(
    pair: Pair,
    path: str | os.PathLike[str],
    progress: Progress = silent,
    small_path: str | os.PathLike[str] | None = None,
) -> Rendered:
    """Write a pair as an MP4: real speed once, then top to just after impact at quarter speed.

    Parameters
    ----------
    pair
        The clips; picture n of both halves is the clip's frame nearest to the same true time from impact.
    path
        Target (H.264, no sound, under ``MOST_BYTES`` where the clips allow it).
    progress
        Called with pictures done and their number; may raise ``Cancelled``, which leaves no file.
    small_path
        Also write a smaller form, 30 pictures per second, for a page.

    Raises
    ------
    BadInputError
        A clip cannot be used or its impact lies outside it.
    MachineError
        The video cannot be written.
    """
    infos = (probe_video(pair.first.path), probe_video(pair.last.path))
    passages = plan_passages(pair, infos)
    stage = build_stage(pair, infos, passages[0].start_s, passages[0].stop_s)
    rate_hz = choose_rate_hz(pair, infos)
    target = Path(path)
    for height_px in _HEIGHTS_PX:
        rendered = _write(pair, infos, passages, stage, rate_hz, target, height_px, progress, small_path)
        if target.stat().st_size <= MOST_BYTES:
            break
    return rendered


def find_small_impact(rendered: Rendered) -> int:
    """Return the number of the small form's picture that shows the impact held in slow motion."""
    in_small = rendered.instants_s[:: _every(rendered.rate_hz)]
    return int(np.flatnonzero(np.abs(in_small) == np.abs(in_small).min())[-1])


def _every(rate_hz: int) -> int:
    """Of how many pictures one goes into the small form of 30 a second."""
    return max(1, rate_hz // 30)


def count_pictures(pair: Pair) -> int:
    """Return how many pictures ``render_pair`` will write, for a progress total; errors as there."""
    infos = (probe_video(pair.first.path), probe_video(pair.last.path))
    rate_hz = choose_rate_hz(pair, infos)
    return sum(len(list_instants(passage, rate_hz)) for passage in plan_passages(pair, infos))


def _write(
    pair: Pair,
    infos: tuple[VideoInfo, VideoInfo],
    passages: tuple[Passage, ...],
    stage: Stage,
    rate_hz: int,
    path: Path,
    height_px: int,
    progress: Progress,
    small_path: str | os.PathLike[str] | None,
) -> Rendered:
    all_instants = [list_instants(passage, rate_hz) for passage in passages]
    total, done = sum(map(len, all_instants)), 0
    size, small_size = _size(stage, height_px), _size(stage, SMALL_HEIGHT_PX)
    every = _every(rate_hz)
    shown = []
    with ExitStack() as stack:
        writer = stack.enter_context(VideoWriter(path, *size, rate_hz))
        small = stack.enter_context(VideoWriter(small_path, *small_size, rate_hz / every)) if small_path else None
        for passage, instants in zip(passages, all_instants, strict=True):
            frames = np.stack([nearest_frames(s, i, instants) for s, i in zip(pair.sides, infos, strict=True)], axis=1)
            for picture in _compose(pair, infos, stage, passage, instants, frames, rate_hz):
                writer.write(_resize(picture, size))
                if small is not None and done % every == 0:
                    small.write(_resize(picture, small_size))
                done += 1
                progress(done, total)
            shown.append(frames)
    return Rendered(np.concatenate(all_instants), np.concatenate(shown), rate_hz)


def _size(stage: Stage, height_px: int) -> tuple[int, int]:
    height, width = stage.still.shape[:2]
    scale = min(1.0, height_px / height)
    return 2 * round(width * scale / 2), 2 * round(height * scale / 2)


def _resize(picture: Picture, size: tuple[int, int]) -> Picture:
    if (picture.shape[1], picture.shape[0]) == size:
        return picture
    return np.asarray(cv2.resize(picture, size, interpolation=cv2.INTER_AREA), dtype=np.uint8)


def _compose(
    pair: Pair,
    infos: tuple[VideoInfo, VideoInfo],
    stage: Stage,
    passage: Passage,
    instants_s: FloatArray,
    frames: NDArray[np.int64],
    rate_hz: int,
) -> Iterator[Picture]:
    """Yield the pictures of a passage; the same array is reused."""
    ground = stage.still.copy()
    reached = [sorted((_after(s, k.time_s), k.name) for k in s.key_frames) for s in pair.sides]
    sources = [_follow(s, infos[i], frames[:, i], stage.boxes[i].height) for i, s in enumerate(pair.sides)]
    picture = np.empty_like(ground)
    halves: list[Picture | None] = [None, None]
    now: list[int] = [-1, -1]
    chips: list[_Shown] = [_Shown("", 0.0), _Shown("", 0.0)]
    for n, instant in enumerate(instants_s.tolist()):
        stage.timeline.light(ground, instant + 1e-9)
        picture[:] = ground
        for i, (side, box) in enumerate(zip(pair.sides, stage.boxes, strict=True)):
            frame = next(sources[i])
            if frame.index != now[i] or halves[i] is None:
                now[i], halves[i] = frame.index, dress(frame, side, infos[i], stage.crops[i], box)
            half = halves[i]
            assert half is not None
            picture[box.y : box.y + box.height, box.x : box.x + box.width] = half
            chips[i] = _next_chip(chips[i], reached[i], instants_s, n, rate_hz, passage.speed)
            patch = stage.chips[i].get(chips[i].name)
            if patch is not None and chips[i].left_s > 0:
                paste(picture, patch, box.x + 12, box.y + box.height - patch.shape[0] - 12)
        if passage.speed < 1.0:
            paste(picture, stage.slow_chip, picture.shape[1] - stage.slow_chip.shape[1] - 20, 12)
        stage.timeline.draw_playhead(picture, instant)
        yield picture


@dataclass(frozen=True)
class _Shown:
    """The key frame named on a picture and for how long it still is, seconds of watching."""

    name: str
    left_s: float


def _next_chip(
    shown: _Shown, reached: list[tuple[float, str]], instants_s: FloatArray, n: int, rate_hz: int, speed: float
) -> _Shown:
    at_s = float(instants_s[n]) + 1e-9
    before_s = float(instants_s[n - 1]) + 1e-9 if n else at_s - speed / rate_hz
    latest = bisect_right(reached, at_s, key=lambda item: item[0]) - 1
    if latest >= 0 and (reached[latest][0] > before_s or (at_s == before_s and reached[latest][1] == shown.name)):
        return _Shown(reached[latest][1], _HELD_S[speed])
    return _Shown(shown.name, shown.left_s - 1.0 / rate_hz)


def _after(side: ClipSide, time_s: float) -> float:
    return (time_s - side.impact_s) * side.time_scale


def _follow(side: ClipSide, info: VideoInfo, frames: NDArray[np.int64], height_px: int) -> Iterator[Frame]:
    """Yield the frame for every picture, decoding each once; ``frames`` never goes back."""
    source = read_shown(side, info, int(frames[0]), int(frames[-1]) + 1, max_height_px=height_px)
    frame = next(source)
    for wanted in frames.tolist():
        while frame.index < wanted:
            frame = next(source)
        yield frame


def dress(frame: Frame, side: ClipSide, info: VideoInfo, crop: tuple[int, int], box: Box) -> Picture:
    """Cut a frame to what is shown, bring it to its place's size and draw the body lines."""
    scale_x = frame.rgb.shape[1] / info.width_px
    part = frame.rgb[:, round(crop[0] * scale_x) : max(round(crop[1] * scale_x), round(crop[0] * scale_x) + 1)]
    if part.shape[:2] != (box.height, box.width):
        interpolation = cv2.INTER_CUBIC if part.shape[0] < box.height else cv2.INTER_AREA
        part = np.asarray(cv2.resize(part, (box.width, box.height), interpolation=interpolation), dtype=np.uint8)
    half = np.array(part, dtype=np.uint8, order="C")
    body = find_body(side, frame.time_s)
    if body is not None:
        scale = np.array([box.width / (crop[1] - crop[0]), box.height / info.height_px])
        draw_body(half, (body - np.array([crop[0], 0.0])) * scale)
    return half
