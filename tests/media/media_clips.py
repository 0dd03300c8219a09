"""Clips made in the session, each picture carrying its own number as a bar code."""

import subprocess
from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path

import av
import imageio_ffmpeg
import numpy as np
from numpy.typing import NDArray

WIDTH_PX, HEIGHT_PX = 256, 128
BITS = 11
BLOCK_PX = 16
SOUND_HZ = 48000


def picture_of(number: int) -> NDArray[np.uint8]:
    """Draw a number: a row of black and white blocks, its complement below, a marked corner and a moving bar."""
    rgb = np.full((HEIGHT_PX, WIDTH_PX, 3), 90, dtype=np.uint8)
    for bit in range(BITS):
        level = 235 if number >> bit & 1 else 16
        x = (bit + 2) * BLOCK_PX
        rgb[2 * BLOCK_PX : 3 * BLOCK_PX, x : x + BLOCK_PX] = level
        rgb[3 * BLOCK_PX : 4 * BLOCK_PX, x : x + BLOCK_PX] = 251 - level
    rgb[:BLOCK_PX, :BLOCK_PX] = (220, 30, 30)  # top left is red: shows turning and mirroring
    rgb[-2 * BLOCK_PX :, (number * 3) % (WIDTH_PX - 8) :][:, :8] = 200
    return rgb


def number_in(rgb: NDArray[np.uint8]) -> int:
    """Read the number back at any size of an upright picture; -1 when the code contradicts itself."""
    height, width = rgb.shape[:2]
    number = 0
    for bit in range(BITS):
        x = int((bit + 2.5) * BLOCK_PX * width / WIDTH_PX)
        upper = int(rgb[int(2.5 * BLOCK_PX * height / HEIGHT_PX), x].mean())
        lower = int(rgb[int(3.5 * BLOCK_PX * height / HEIGHT_PX), x].mean())
        if abs(upper - lower) < 100:
            return -1
        number |= int(upper > lower) << bit
    return number


def is_red(pixel: NDArray[np.uint8]) -> bool:
    return int(pixel[0]) > 150 and int(pixel[1]) < 90


@dataclass(frozen=True)
class Made:
    """A clip and what went into it: ``ticks`` are the presentation stamps in ``time_base`` units."""

    path: Path
    ticks: tuple[int, ...]
    time_base: Fraction

    @property
    def n_frames(self) -> int:
        return len(self.ticks)

    @property
    def time_s(self) -> NDArray[np.float64]:
        return np.array([float(t * self.time_base) for t in self.ticks])


def click_at(time_s: float, length_s: float, rate_hz: int = SOUND_HZ) -> NDArray[np.float32]:
    """Return silence with one sharp two-sample knock."""
    samples = np.zeros(round(length_s * rate_hz), dtype=np.float32)
    place = round(time_s * rate_hz)
    samples[place : place + 2] = (0.9, -0.6)
    return samples


def make_clip(
    path: Path,
    ticks: tuple[int, ...],
    time_base: Fraction,
    codec: str = "libx264",
    options: dict[str, str] | None = None,
    turn_deg: float | None = None,
    mirror: bool = False,
    sound: NDArray[np.float32] | None = None,
    sound_start_s: float = 0.0,
    sound_hz: int = SOUND_HZ,
    metadata: dict[str, str] | None = None,
) -> Made:
    with av.open(str(path), "w") as out:
        out.metadata.update(metadata or {})
        video = out.add_stream(codec, rate=round(1 / time_base / max(1, ticks[1] - ticks[0])), options=options or {})
        video.width, video.height, video.pix_fmt = WIDTH_PX, HEIGHT_PX, "yuv420p"
        video.time_base = video.codec_context.time_base = time_base
        if turn_deg is not None or mirror:
            video.set_display_rotation(turn_deg or 0, hflip=mirror)
        audio = None
        if sound is not None:
            audio = out.add_stream("aac" if path.suffix != ".avi" else "pcm_s16le", rate=sound_hz, layout="mono")
        for number, tick in enumerate(ticks):
            frame = av.VideoFrame.from_ndarray(picture_of(number), format="rgb24")
            frame.pts, frame.time_base = tick, time_base
            out.mux(video.encode(frame))
        out.mux(video.encode(None))
        if audio is not None and sound is not None:
            pcm = av.AudioFrame.from_ndarray((sound * 32767).astype(np.int16)[None, :], format="s16", layout="mono")
            pcm.sample_rate, pcm.time_base = sound_hz, Fraction(1, sound_hz)
            pcm.pts = round(sound_start_s * sound_hz)
            out.mux(audio.encode(pcm))
            out.mux(audio.encode(None))
    return Made(path, ticks, time_base)


def run_ffmpeg(*arguments: str) -> None:
    subprocess.run([imageio_ffmpeg.get_ffmpeg_exe(), "-y", "-loglevel", "error", *arguments], check=True)


def _jittered(n_frames: int) -> tuple[int, ...]:
    """Steps of 1/60 and 1/20 s in no order, as a phone in poor light records them."""
    steps = np.random.default_rng(5).choice([1500, 1500, 1500, 3000, 4500], n_frames)
    return tuple(int(t) for t in np.concatenate([[0], np.cumsum(steps)[:-1]]))


X265 = {"x265-params": "bframes=3:keyint=20:min-keyint=20:open-gop=1:log-level=none:pools=1"}
H264_B = {"bf": "3", "g": "24", "preset": "veryfast"}
RECIPES: dict[str, Callable[[Path], Made]] = {
    "h264_b_frames": lambda p: make_clip(
        p / "a.mp4", tuple(range(0, 90 * 512, 512)), Fraction(1, 15360), options=H264_B, sound=click_at(1.7, 3.0)
    ),
    "h264_open_gop": lambda p: make_clip(
        p / "o.mkv", tuple(range(0, 90 * 20, 20)), Fraction(1, 1000), options=H264_B | {"x264-params": "open-gop=1"}
    ),
    "hevc_open_gop": lambda p: make_clip(
        p / "h.mp4", tuple(range(0, 70 * 512, 512)), Fraction(1, 15360), codec="libx265", options=X265
    ),
    "variable_rate": lambda p: make_clip(p / "v.mp4", _jittered(80), Fraction(1, 90000), options=H264_B),
    "240_fps": lambda p: make_clip(p / "f.mov", tuple(range(0, 240 * 10, 10)), Fraction(1, 2400), options=H264_B),
    "late_start": lambda p: make_clip(
        p / "l.mp4",
        tuple(range(7680, 7680 + 60 * 512, 512)),
        Fraction(1, 15360),
        options=H264_B,
        sound=click_at(1.25, 2.5),
    ),
    "transport_stream": lambda p: make_clip(
        p / "t.ts", tuple(range(0, 90 * 1500, 1500)), Fraction(1, 90000), options=H264_B, sound=click_at(0.9, 1.5)
    ),
    "avi": lambda p: make_clip(
        p / "i.avi", tuple(range(60)), Fraction(1, 30), options=H264_B, sound=click_at(0.9, 2.0)
    ),
    "refreshed_bit_by_bit": lambda p: make_clip(
        p / "r.mp4",
        tuple(range(0, 70 * 512, 512)),
        Fraction(1, 15360),
        options={"preset": "veryfast", "x264-params": "intra-refresh=1:keyint=15"},
    ),
    "one_keyframe": lambda p: make_clip(
        p / "k.mp4", tuple(range(0, 60 * 512, 512)), Fraction(1, 15360), options={"bf": "2", "g": "999"}
    ),
}
