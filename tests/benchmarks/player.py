"""How fast any frame of a clip can be looked at, before and after its review copy; run by hand.

    python -m tests.benchmarks.player FOLDER [PART ...]

Makes, once, a clip of 20 s of 1920x1080 at 240 pictures a second (H.264, B-frames, a key frame every 250 pictures,
texture, noise and movement; every picture carries its number) and two of 1280x720 at 60. Each part runs in a process of
its own, so that its peak memory is its own. Every picture that came is read: a wrong one is counted. Times are by the
clock, and of the processor (all threads), which other work on the machine changes less. Parts: order, before, copy,
after, opencv, two; all without a word.
"""

import argparse
import json
import multiprocessing
import os
import pickle
import subprocess
import sys
import threading
import time
from collections.abc import Callable
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path
from typing import Any

import cv2
import imageio_ffmpeg
import numpy as np

from review.media import FrameSource, ReviewCopy, read_frames, write_review_copy

BITS, BLOCK_PX = 13, 24
N_STEPS, N_JUMPS = 240, 150
KEY_REPEAT_S = 1 / 30
"""How often a held arrow key steps: common practice of keyboards."""


def picture_of(number: int, texture: np.ndarray, size_px: tuple[int, int], rate_hz: int) -> np.ndarray:
    """A swaying background, something large that swings, something thin and fast, and the number as blocks."""
    width, height = size_px
    t = number / rate_hz
    x, y = 200 + int(2 * np.sin(3 * t)), 100 + int(2 * np.cos(2 * t))
    rgb = texture[y : y + height, x : x + width].copy()
    r = height // 5
    at_x, at_y = int(width / 2 + width / 4 * np.sin(2.1 * t)), int(height / 2 + height / 8 * np.sin(4.2 * t))
    s = int(100 + 90 * np.sin(5 * t))
    rgb[at_y - r : at_y + r, at_x - r : at_x + r] = texture[s : s + 2 * r, s : s + 2 * r][:, ::-1]
    tip = (int(at_x + height / 3 * np.cos(20 * t)), int(at_y + height / 3 * np.sin(20 * t)))
    cv2.line(rgb, (at_x, at_y), tip, (240, 240, 230), 7)
    for bit in range(BITS):
        level = 235 if number >> bit & 1 else 16
        left = 8 + bit * BLOCK_PX
        rgb[8 : 8 + BLOCK_PX, left : left + BLOCK_PX] = level
        rgb[8 + BLOCK_PX : 8 + 2 * BLOCK_PX, left : left + BLOCK_PX] = 251 - level
    return rgb


def number_in(rgb: np.ndarray) -> int:
    """Read the number back; -1 when the code contradicts itself."""
    number = 0
    for bit in range(BITS):
        x = 8 + bit * BLOCK_PX + BLOCK_PX // 2
        upper, lower = (float(rgb[8 + BLOCK_PX // 2 + k * BLOCK_PX, x].mean()) for k in (0, 1))
        if abs(upper - lower) < 100:
            return -1
        number |= int(upper > lower) << bit
    return number


def make_clip(path: Path, size_px: tuple[int, int], rate_hz: int, n_frames: int) -> None:
    """Draw and encode a clip with the shipped encoder."""
    width, height = size_px
    rng = np.random.default_rng(1)
    texture = np.full((height + 200, width + 400, 3), 120, np.float32)
    for grain, depth in ((4, 18), (16, 30), (64, 45)):
        shape = (texture.shape[0] // grain + 2, texture.shape[1] // grain + 2, 3)
        noise = rng.standard_normal(shape).astype(np.float32)
        texture += depth * cv2.resize(noise, texture.shape[1::-1], interpolation=cv2.INTER_CUBIC)
    texture = np.clip(texture, 0, 255).astype(np.uint8)
    aside = path.with_suffix(".part.mp4")
    source = f"-f rawvideo -pix_fmt rgb24 -s {width}x{height} -r {rate_hz} -i - -vf noise=alls=14:allf=t"
    target = "-c:v libx264 -preset veryfast -crf 20 -g 250 -bf 3 -pix_fmt yuv420p"
    command = [imageio_ffmpeg.get_ffmpeg_exe(), "-y", "-loglevel", "error", *source.split(), *target.split()]
    with subprocess.Popen([*command, str(aside)], stdin=subprocess.PIPE) as encoder:
        assert encoder.stdin is not None
        for i in range(n_frames):
            encoder.stdin.write(picture_of(i, texture, size_px, rate_hz).tobytes())
    aside.replace(path)


def copy_of(clip: Path) -> tuple[Path, Path]:
    return clip.with_suffix(".copy"), clip.with_suffix(".map")


def open_source(clip: Path, with_copy: bool) -> FrameSource:
    if not with_copy:
        return FrameSource(clip)
    video, kept = copy_of(clip)
    return FrameSource(clip, ReviewCopy(video, pickle.loads(kept.read_bytes())))


def make_copy(clip: Path) -> dict[str, float]:
    video, kept = copy_of(clip)
    began_s, cpu_s = time.perf_counter(), time.process_time()
    copy_map = write_review_copy(clip, video)
    kept.write_bytes(pickle.dumps(copy_map))
    return {
        "copy, s by the clock": time.perf_counter() - began_s,
        "copy, s of processor": time.process_time() - cpu_s,
        "copy, MB": copy_map.file_bytes / 1e6,
        "original, MB": clip.stat().st_size / 1e6,
    }


def read_in_order(clip: Path) -> dict[str, float]:
    began_s = time.perf_counter()
    n = sum(number_in(frame.rgb) >= 0 for frame in read_frames(clip, 0, 600))
    return {"in order, ms a picture": (time.perf_counter() - began_s) * 1e3 / n}


class Timer:
    """Times calls that give a picture, and counts wrong ones."""

    def __init__(self) -> None:
        self.ms: list[float] = []
        self.cpu_ms: list[float] = []
        self.n_wrong = 0

    def get(self, number: int, read: Callable[[int], Any]) -> None:
        cpu_s, began_s = time.process_time(), time.perf_counter()
        rgb = read(number)
        self.ms.append((time.perf_counter() - began_s) * 1e3)
        self.cpu_ms.append((time.process_time() - cpu_s) * 1e3)
        self.n_wrong += number_in(rgb) != number

    def told(self, what: str) -> dict[str, float]:
        median, most = np.percentile(self.ms, (50, 95))
        return {
            f"{what}, median ms": median,
            f"{what}, 95 % ms": most,
            f"{what}, 95 % ms of processor": float(np.percentile(self.cpu_ms, 95)),
            f"{what}, wrong": self.n_wrong,
        }


def look(clip: Path, with_copy: bool, n_steps: int, n_jumps: int) -> dict[str, float]:
    """Steps either way, flat out and at the pace of a held key, then jumps."""
    found: dict[str, float] = {}
    with open_source(clip, with_copy) as source:
        source.frame(0)
        for name, direction in (("forward", 1), ("back", -1)):
            for pace, pause_s in (("flat out", 0.0), ("key held", KEY_REPEAT_S)):
                timer, at = Timer(), source.n_frames // 2 + 37
                source.frame(at)
                for _ in range(n_steps):
                    until_s = time.perf_counter() + pause_s
                    at += direction
                    timer.get(at, source.frame)
                    while time.perf_counter() < until_s and source.read_ahead():
                        pass
                    time.sleep(max(0.0, until_s - time.perf_counter()))
                found |= timer.told(f"step {name}, {pace}")
        timer = Timer()
        for at in np.random.default_rng(3).integers(0, source.n_frames, n_jumps).tolist():
            timer.get(at, source.frame)
        found |= timer.told("jump")
    return found | {"peak memory, MB": peak_mb()}


def look_with_opencv(clip: Path, n_steps: int, n_jumps: int) -> dict[str, float]:
    """OpenCV's own seeking by frame number."""
    capture = cv2.VideoCapture(str(clip))
    n_frames = int(capture.get(cv2.CAP_PROP_FRAME_COUNT))

    def seek(number: int) -> Any:
        capture.set(cv2.CAP_PROP_POS_FRAMES, number)
        return capture.read()[1]

    found: dict[str, float] = {}
    seek(at := n_frames // 2 + 37)
    steps = Timer()
    for i in range(n_steps):
        steps.get(at + 1 + i, lambda _: capture.read()[1])
    back, jumps = Timer(), Timer()
    for i in range(n_steps // 4):
        back.get(at - i, seek)
    for number in np.random.default_rng(3).integers(0, n_frames, n_jumps).tolist():
        jumps.get(number, seek)
    found |= steps.told("step forward") | back.told("step back") | jumps.told("jump")
    return found | {"peak memory, MB": peak_mb()}


def play_two(clips: list[Path]) -> dict[str, float]:
    """Play two clips at 60 pictures a second, a thread each; a picture is late when it is not there at its time."""
    late, begin_s, seconds = [], time.perf_counter() + 1.0, 10

    def play(clip: Path) -> None:
        n_late = 0
        with open_source(clip, with_copy=True) as source:
            source.frame(0)
            for i in range(seconds * 60):
                due_s = begin_s + i / 60
                source.frame(i)
                n_late += time.perf_counter() > due_s
                while time.perf_counter() < due_s - 0.008 and source.read_ahead():
                    pass
                time.sleep(max(0.0, due_s - time.perf_counter()))
        late.append(n_late)

    threads = [threading.Thread(target=play, args=(clip,)) for clip in clips]
    cpu_s = time.process_time()
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    share = 100 * sum(late) / (len(clips) * seconds * 60)
    return {"late, %": share, "processor, share of one core, %": 100 * (time.process_time() - cpu_s) / (seconds + 1)}


def peak_mb() -> float:
    """Most memory this process has had so far."""
    status = Path("/proc/self/status").read_text(encoding="ascii")
    return float(next(line for line in status.splitlines() if line.startswith("VmHWM")).split()[1]) / 1e3


def apart(work: Callable[..., dict[str, float]], *arguments: Any) -> dict[str, float]:
    """Do a part in a fresh process and print what it found."""
    with ProcessPoolExecutor(1, multiprocessing.get_context("spawn")) as pool:
        found = pool.submit(work, *arguments).result()
    load = f"load {os.getloadavg()[0]:.1f}"
    print(work.__name__, *arguments[1:], load, json.dumps({k: round(v, 1) for k, v in found.items()}, indent=1))
    sys.stdout.flush()
    return found


def main() -> None:
    parser = argparse.ArgumentParser()
    parser.add_argument("folder", type=Path)
    parser.add_argument("parts", nargs="*", default=["order", "before", "copy", "after", "opencv", "two"])
    options = parser.parse_args()
    folder: Path = options.folder
    folder.mkdir(exist_ok=True)
    long, first, second = (folder / f"{name}.mp4" for name in ("long", "first", "second"))
    for path, size_px, rate_hz, n in (
        (long, (1920, 1080), 240, 4800),
        (first, (1280, 720), 60, 660),
        (second, (1280, 720), 60, 660),
    ):
        if not path.exists():
            make_clip(path, size_px, rate_hz, n)
    for clip in (long, first, second):
        if not copy_of(clip)[1].exists() or (clip is long and "copy" in options.parts):
            apart(make_copy, clip)
    works: dict[str, tuple[Any, ...]] = {
        "order": (read_in_order, long),
        "before": (look, long, False, 60, 40),
        "after": (look, long, True, N_STEPS, N_JUMPS),
        "opencv": (look_with_opencv, long, 60, 40),
        "two": (play_two, [first, second]),
    }
    found = {part: apart(*works[part]) for part in works if part in options.parts}
    for part in ("before", "after", "opencv"):
        if part in found and "order" in found:
            one = found["order"]["in order, ms a picture"]
            ratios = {k: round(v / one, 2) for k, v in found[part].items() if k.endswith("95 % ms")}
            print(part, "as multiples of one picture in order", json.dumps(ratios, indent=1))


if __name__ == "__main__":
    main()
