"""Whole lessons in one file, put together from single clips, with known truth.

After a swing the player holds the finish, lowers the club (the follow-through, slowly backward) and stands at the ball
again while a figure walks through the picture; waggles are the first instants of the next swing, to and fro. The sound
is that of the clips over a steady noise; a practice swing is a clip whose strike was taken out; a neighbour's strikes
may be put in anywhere.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from pathlib import Path

import av
import cv2
import numpy as np
from numpy.typing import NDArray

from review.media import probe_video, read_audio, read_frames

Picture = NDArray[np.uint8]
SOUND_HZ = 48000
_NOISE = 0.004
_STRIKE_S = (-0.02, 0.25)
_HELD_S, _LOWERED_AT, _FADE_S, _WAGGLE_S, _WALK_S = 0.6, 0.5, 0.4, 0.25, 2.5


@dataclass(frozen=True)
class Part:
    """One clip of a recording: its impact, whether a ball is struck, and what comes before it.

    ``rest_s`` is how long the player stands before the clip begins; ``waggles`` how often the club is moved to and fro
    there; ``walks`` whether somebody passes meanwhile.
    """

    clip: Path
    impact_s: float
    is_struck: bool = True
    rest_s: float = 2.0
    waggles: int = 0
    walks: bool = True


@dataclass(frozen=True)
class MadeRecording:
    """``impacts_s`` and ``is_struck`` of every swing in it, and where strikes of a neighbour were put."""

    path: Path
    impacts_s: tuple[float, ...]
    is_struck: tuple[bool, ...]
    neighbours_s: tuple[float, ...] = ()
    duration_s: float = 0.0


@dataclass
class _Sound:
    samples: list[tuple[int, NDArray[np.float32]]] = field(default_factory=list)

    def put(self, at_s: float, samples: NDArray[np.float32]) -> None:
        self.samples.append((round(at_s * SOUND_HZ), samples))

    def mix(self, length_s: float, noise: float, rng: np.random.Generator) -> NDArray[np.float32]:
        whole = (noise * rng.standard_normal(round(length_s * SOUND_HZ))).astype(np.float32)
        for begin, samples in self.samples:
            n = min(len(samples), len(whole) - begin)
            whole[begin : begin + n] += samples[:n]
        return np.clip(whole, -1, 1)


def make_recording(
    path: Path,
    parts: Sequence[Part],
    size_px: tuple[int, int] = (320, 240),
    rate_hz: int = 30,
    neighbours_s: Sequence[float] = (),
    has_sound: bool = True,
    keyframe_s: float = 1.0,
    seed: int = 1,
    neighbour_level: float = 0.5,
    grain_levels: int = 2,
    codec_options: dict[str, str] | None = None,
) -> MadeRecording:
    """Write a recording of these parts, one after another.

    ``neighbour_level`` is the loudness of a neighbour's strike as a part of the first struck ball's.
    """
    rng = np.random.default_rng(seed)
    sound = _Sound()
    impacts: list[float] = []
    with av.open(str(path), "w") as out:
        gop = str(round(rate_hz * keyframe_s))
        video = out.add_stream(
            "libx264", rate=rate_hz, options={"preset": "veryfast", "g": gop, **(codec_options or {})}
        )
        video.width, video.height, video.pix_fmt = *size_px, "yuv420p"
        audio = out.add_stream("aac", rate=SOUND_HZ, layout="mono") if has_sound else None
        n = 0
        last: Picture | None = None
        after: list[Picture] = []
        grain = rng.integers(0, 2 * grain_levels + 1, (5, size_px[1], size_px[0], 3), dtype=np.uint8)

        def show(pictures: Iterable[Picture]) -> None:
            nonlocal n
            for rgb in pictures:
                frame = av.VideoFrame.from_ndarray(cv2.add(rgb, grain[n % len(grain)]), format="rgb24")
                frame.pts, frame.time_base = n, Fraction(1, rate_hz)
                out.mux(video.encode(frame))
                n += 1

        for part in parts:
            frames = list(_read(part, size_px, rate_hz))
            show(after)
            show(_before(part, frames, last, rate_hz, rng))
            impacts.append(n / rate_hz + part.impact_s)
            heard = read_audio(part.clip)
            if heard is not None:
                sound.put(n / rate_hz, _sound_of(heard.samples, part, rng))
            show(frames)
            impact = min(len(frames) - 1, round(part.impact_s * rate_hz))
            back = frames[impact:][::-1]
            lowered = [back[int(i * _LOWERED_AT)] for i in range(int(len(back) / _LOWERED_AT))]
            after, last = [*[frames[-1]] * round(_HELD_S * rate_hz), *lowered], frames[impact]
        out.mux(video.encode(None))
        if audio is not None:
            struck = next((p for p in parts if p.is_struck), None)
            for at_s in neighbours_s if struck else ():
                sound.put(at_s + _STRIKE_S[0], (neighbour_level * _strike_of(struck)).astype(np.float32))
            pcm = (sound.mix(n / rate_hz, _NOISE, rng) * 32767).astype(np.int16)
            for begin in range(0, len(pcm), 1024):
                block = av.AudioFrame.from_ndarray(pcm[None, begin : begin + 1024], format="s16", layout="mono")
                block.sample_rate, block.time_base, block.pts = SOUND_HZ, Fraction(1, SOUND_HZ), begin
                out.mux(audio.encode(block))
            out.mux(audio.encode(None))
    return MadeRecording(path, tuple(impacts), tuple(p.is_struck for p in parts), tuple(neighbours_s), n / rate_hz)


def _read(part: Part, size_px: tuple[int, int], rate_hz: float) -> Iterator[Picture]:
    """The clip's pictures at the recording's rate, in the middle of a grey room."""
    info = probe_video(part.clip)
    wanted = np.arange(info.time_s[0], info.time_s[-1], 1.0 / rate_hz)
    numbers = np.clip(np.searchsorted(info.time_s, wanted - 1e-6), 0, info.n_frames - 1)
    width_px, height_px = size_px
    at = 0
    for frame in read_frames(info, max_height_px=height_px):
        while at < len(numbers) and numbers[at] == frame.index:
            picture = np.full((height_px, width_px, 3), 110, dtype=np.uint8)
            cut = max(0, frame.rgb.shape[1] - width_px) // 2
            shown = frame.rgb[:, cut : cut + width_px]
            x, y = (width_px - shown.shape[1]) // 2, (height_px - shown.shape[0]) // 2
            picture[y : y + shown.shape[0], x : x + shown.shape[1]] = shown
            yield picture
            at += 1


def _before(
    part: Part, frames: Sequence[Picture], last: Picture | None, rate_hz: int, rng: np.random.Generator
) -> Iterator[Picture]:
    first = frames[0]
    if last is not None:
        n = round(_FADE_S * rate_hz)
        yield from (cv2.addWeighted(last, 1 - i / n, first, i / n, 0).astype(np.uint8) for i in range(n))
    n_walked = round(_WALK_S * rate_hz)
    leftward = rng.random() < 0.5
    for i in range(round(part.rest_s * rate_hz)):
        picture = first
        if part.walks and i < n_walked:
            picture = first.copy()
            _walk(picture, (1 - i / n_walked if leftward else i / n_walked) * first.shape[1])
        yield picture
    # a waggle shows the clip's last instant before the swing and the beginning of the swing, to and fro
    start = max(0, round((part.impact_s - 1.15) * rate_hz))
    reach = max(1, round(_WAGGLE_S * rate_hz))
    for _ in range(part.waggles):
        yield from frames[start : start + reach]
        yield from frames[start : start + reach][::-1]
    if part.waggles:
        for _ in range(round(0.5 * rate_hz)):
            yield first


def _walk(picture: Picture, x: float) -> None:
    """A dark upright figure that passes in front."""
    height, width = picture.shape[:2]
    centre = (int(x), int(0.55 * height))
    cv2.ellipse(picture, centre, (int(0.05 * width), int(0.35 * height)), 0, 0, 360, (60, 50, 70), -1)


def _sound_of(samples: NDArray[np.float32], part: Part, rng: np.random.Generator) -> NDArray[np.float32]:
    if part.is_struck:
        return samples
    quiet = samples.copy()
    begin, end = (round((part.impact_s + s) * SOUND_HZ) for s in _STRIKE_S)
    quiet[begin:end] = _NOISE * rng.standard_normal(len(quiet[begin:end]))
    return quiet


def _strike_of(part: Part) -> NDArray[np.float32]:
    heard = read_audio(part.clip)
    assert heard is not None
    begin, end = (round((part.impact_s + s - heard.start_s) * SOUND_HZ) for s in _STRIKE_S)
    return heard.samples[begin:end]
