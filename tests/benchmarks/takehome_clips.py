"""How long a clip with everything drawn takes against the same filter graph without; run by hand.

    python -m tests.benchmarks.takehome_clips FOLDER

Two clips of 3 s, 1280 x 720 at 120 pictures a second, side by side with body lines, as upright picture: once as the
take-home writes them, once by the encoder alone (cut, scaled, stacked, real speed and slow, the held pictures as copies
of the last; same size, same settings), in turns. Then the most memory of a process that writes such a clip, from clips
of 3, 15 and 60 s, with the swing in the middle.
"""

import argparse
import os
import resource
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

import imageio_ffmpeg
import numpy as np

from review.compare import Verdict
from review.lesson import KeyFrame
from review.media import probe_video
from review.pose import LandmarkTrack
from review.takehome import ClipSide, Pair, SwingNumber, render_pair
from review.takehome.clips.passages import list_instants, plan_passages
from review.takehome.clips.stage import build_stage
from tests.benchmarks.player import make_clip

RATE_HZ, IMPACT_S = 120, 1.8
LENGTHS_S = (3, 15, 60)
KEY_FRAMES = (("address", 0.5), ("takeaway", 0.8), ("top", 1.5), ("arm level", 1.65), ("impact", 1.8), ("finish", 2.5))


def make_side(path: Path, batch: int, later_s: float = 0.0) -> ClipSide:
    n = probe_video(path).n_frames
    time_s = np.arange(n) / RATE_HZ
    at = np.random.default_rng(1).uniform([500, 150], [800, 600], (33, 2)) + 30 * np.sin(3 * time_s)[:, None, None]
    points = np.concatenate([at, np.zeros((n, 33, 1))], axis=2)
    track = LandmarkTrack(time_s, points, np.zeros((n, 33, 3)), np.ones((n, 33)), 1280, 720, "none", "made up")
    frames = tuple(
        KeyFrame(name, at_s + later_s, round((at_s + later_s) * RATE_HZ), 0.9, "pose") for name, at_s in KEY_FRAMES
    )
    numbers = (
        SwingNumber("Club path", "4.9° in-to-out", "", Verdict.CLEAR),
        SwingNumber("Hip turn at impact", "open 25°", "13 to 37", Verdict.CANT_TELL),
    )
    return ClipSide(
        path, f"Batch {batch}, swing {batch}", batch, IMPACT_S + later_s, frames, numbers=numbers, track=track
    )


def cpu_s() -> float:
    """Seconds of processor of this process and of those it has waited for."""
    both = [resource.getrusage(who) for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN)]
    return sum(used.ru_utime + used.ru_stime for used in both)


def timed(work: Callable[[], object]) -> tuple[float, float]:
    began_s, used_s = time.perf_counter(), cpu_s()
    work()
    return time.perf_counter() - began_s, cpu_s() - used_s


def write_bare(pair: Pair, out: Path, n_pictures: int) -> None:
    """The encoder alone."""
    infos = (probe_video(pair.first.path), probe_video(pair.last.path))
    real, slow = plan_passages(pair, infos)
    stage = build_stage(pair, infos, real.start_s, real.stop_s)
    (width, height), graph = stage.size, ""
    for i, (box, crop) in enumerate(zip(stage.boxes, stage.crops, strict=True)):
        cut = f"crop={crop[1] - crop[0]}:720:{crop[0]}:0,scale={box.width}:{box.height}"
        graph += f"[{i}:v]{cut},split[a{i}][b{i}];"
        for name, passage in (("a", real), ("b", slow)):
            span = f"trim={IMPACT_S + passage.start_s}:{IMPACT_S + passage.stop_s}"
            graph += f"[{name}{i}]{span},setpts=(PTS-STARTPTS)/{passage.speed},fps=60[{name}{name}{i}];"
        graph += f"[aa{i}][bb{i}]concat[c{i}];"
    n_run = sum(len(list_instants(passage, 60)) for passage in (real, slow))
    graph += f"[c0][c1]hstack,pad={width}:{height}:0:160,tpad=stop_mode=clone:stop={n_pictures - n_run}"
    files = ["-i", str(pair.first.path), "-i", str(pair.last.path), "-filter_complex", graph]
    how = ["-c:v", "libx264", "-preset", "veryfast", "-crf", "20", "-pix_fmt", "yuv420p", "-movflags", "+faststart"]
    program = [imageio_ffmpeg.get_ffmpeg_exe(), "-y", "-loglevel", "error"]
    subprocess.run([*program, *files, *how, str(out)], check=True)


def write_long(folder: Path, seconds: int) -> None:
    """Write a pair of one clip with itself, and say how much memory this process took at most."""
    side = make_side(folder / f"{seconds}.mp4", 1, later_s=(seconds - 3) / 2)
    rendered = render_pair(Pair(side, side, "face-on", "made up"), folder / "long-out.mp4", small_path=folder / "s.mp4")
    mb = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1e3
    print(f"clips of {seconds} s, {len(rendered.instants_s)} pictures: {mb:.0f} MB")


def main() -> None:
    parser = argparse.ArgumentParser()
    parser.add_argument("folder", type=Path)
    parser.add_argument("--long", type=int)
    options = parser.parse_args()
    folder: Path = options.folder
    folder.mkdir(exist_ok=True)
    if options.long:
        write_long(folder, options.long)
        return
    clips = {name: (folder / f"{name}.mp4", n) for name, n in (("first", 360), ("last", 360))}
    clips |= {str(seconds): (folder / f"{seconds}.mp4", seconds * RATE_HZ) for seconds in LENGTHS_S}
    for path, n in clips.values():
        if not path.exists():
            make_clip(path, (1280, 720), RATE_HZ, n)
    pair = Pair(make_side(clips["first"][0], 1), make_side(clips["last"][0], 3), "face-on", "made up")
    n_pictures = len(render_pair(pair, folder / "ours.mp4").instants_s)
    for _ in range(3):
        ours = timed(lambda: render_pair(pair, folder / "ours.mp4"))
        bare = timed(lambda: write_bare(pair, folder / "bare.mp4", n_pictures))
        ratios = f"{ours[0] / bare[0]:.2f} by the clock, {ours[1] / bare[1]:.2f} of processor"
        print(f"{n_pictures} pictures: {ours[0]:.1f} s, bare {bare[0]:.1f} s; {ratios}; load {os.getloadavg()[0]:.1f}")
    for seconds in LENGTHS_S:
        command = [sys.executable, "-m", "tests.benchmarks.takehome_clips", str(folder), "--long", str(seconds)]
        subprocess.run(command, check=True)


if __name__ == "__main__":
    main()
