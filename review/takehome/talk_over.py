"""A talk over a clip as a video that a phone plays: each picture shows what was on the screen as the word fell."""

import os
from bisect import bisect_right
from collections.abc import Mapping
from contextlib import ExitStack
from dataclasses import replace
from math import ceil

import cv2
import numpy as np

from review.lesson import Moment, TalkOver
from review.media import Audio, VideoWriter
from review.progress import Progress, silent
from review.takehome.looks import Picture
from review.takehome.shown_frames import open_shown
from review.takehome.talk_picture import TalkedClip, compose

RATE_HZ = 30
"""Pictures a second: one stands at most 17 ms from what it shows."""
MOST_BYTES = 16_000_000
_LONGER_PX, _SHORTER_PX = 1280, 720
_SMALL_LONGER_PX, _SMALL_CRF, _SMALL_BITS_PER_S = 640, 28, 3e5


def render_talk_over(
    talk: TalkOver,
    clips: Mapping[str, TalkedClip],
    voice: Audio | None,
    path: str | os.PathLike[str],
    progress: Progress = silent,
    small_path: str | os.PathLike[str] | None = None,
) -> int:
    """Write a talk as an MP4 (H.264, AAC where there is a voice) and return how many pictures it has.

    Parameters
    ----------
    talk
        What was on the screen at each sample of the voice; picture n shows its moment at (n + 1/2) / 30 s.
    clips
        By id; every clip of the talk.
    voice
        Its sample 0 is the talk's.
    path
        Target.
    progress
        Called with pictures done and their number; may raise ``Cancelled``, which leaves no file.
    small_path
        Target of the same once more, small enough for a page; None = not wanted.

    Raises
    ------
    BadInputError
        A clip cannot be read.
    MachineError
        The video cannot be written.
    """
    n_pictures = max(1, ceil(talk.duration_s * RATE_HZ))
    places = [moment.at for moment in talk.moments]
    most_bits_per_s = 0.9 * 8 * MOST_BYTES / (n_pictures / RATE_HZ) - 128_000
    with ExitStack() as stack:
        sources = {id: stack.enter_context(open_shown(clip.footage, clip.cover)) for id, clip in clips.items()}
        size = _choose_size(*sources[talk.moments[0].clip_id].size_px)
        writer = stack.enter_context(
            VideoWriter(path, *size, RATE_HZ, voice, most_bits_per_s=min(6e6, max(2e5, most_bits_per_s)))
        )
        small_size = _choose_size(*size, _SMALL_LONGER_PX)
        small = None
        if small_path is not None:
            small = stack.enter_context(
                VideoWriter(small_path, *small_size, RATE_HZ, voice, crf=_SMALL_CRF, most_bits_per_s=_SMALL_BITS_PER_S)
            )
        shown: Moment | None = None
        for n in range(n_pictures):
            at = (n + 0.5) / RATE_HZ * talk.rate_hz
            moment = replace(talk.moments[bisect_right(places, at) - 1], at=0)
            if moment != shown:
                picture = compose(moment, clips[moment.clip_id], sources[moment.clip_id], size)
                small_picture = picture if small is None else _shrink(picture, small_size)
                shown = moment
            writer.write(picture)
            if small is not None:
                small.write(small_picture)
            progress(n + 1, n_pictures)
    return n_pictures


def _shrink(picture: Picture, size: tuple[int, int]) -> Picture:
    return np.asarray(cv2.resize(picture, size, interpolation=cv2.INTER_AREA), dtype=np.uint8)


def _choose_size(width_px: int, height_px: int, longer_px: int = _LONGER_PX) -> tuple[int, int]:
    """As large as a phone shows, never larger than filmed; even, as the encoder wants it."""
    longer, shorter = max(width_px, height_px), min(width_px, height_px)
    scale = min(1.0, longer_px / longer, _SHORTER_PX / shorter)
    return max(2, round(width_px * scale / 2) * 2), max(2, round(height_px * scale / 2) * 2)
