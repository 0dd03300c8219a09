"""How long a coach waits in a live lesson, from a file's last byte; run by hand on an idle machine.

    python -m tests.benchmarks.live CLIP [SECOND_VIEW] [--balls N]

Drops the clip (and the second view of the same swing) into watched folders N times, as a camera would: each copy under
a new name and with one byte of its own, half a minute of true time apart is not waited for. Prints, for each ball, the
time from the end of writing to ``ClipArrived`` (in the library, playable) and to the last ``Measured`` of its views.
"""

import argparse
import sys
import tempfile
import time
from datetime import datetime, timedelta
from pathlib import Path

from review.jobs.live import ClipArrived, Event, Measured
from review.jobs.live.beginning import LiveRequest, begin_lesson
from review.jobs.live.session import LiveSession
from review.jobs.live.work_queue import WorkQueue
from review.lesson import Consent, Handedness, Purpose
from review.library import Library

_LOOK_EVERY_S = 0.2


def main() -> None:
    """Play balls and print the waits."""
    parser = argparse.ArgumentParser()
    parser.add_argument("clips", nargs="+", type=Path)
    parser.add_argument("--balls", type=int, default=3)
    options = parser.parse_args()
    with tempfile.TemporaryDirectory() as text:
        play(Path(text), options.clips, options.balls)


def play(folder: Path, clips: list[Path], n_balls: int) -> None:
    """Follow a lesson of some balls in a fresh library."""
    cameras = [folder / f"camera{i}" for i in range(len(clips))]
    for camera in cameras:
        camera.mkdir()
    now = datetime.now()
    request = LiveRequest(
        pupil="Benchmark",
        handedness=Handedness.RIGHT,
        stature_m=1.75,
        consent=Consent("Benchmark", now.date(), frozenset({Purpose.MEASURE})),
        folders=tuple((str(camera), camera.name) for camera in cameras),
    )
    told: list[tuple[float, Event]] = []
    queue = WorkQueue()
    try:
        with Library.open(folder / "library") as library:
            live, _ = begin_lesson(library, request, now)
            queue.warm_up()
            session = LiveSession(
                library, live, lambda event: told.append((time.monotonic(), event)), queue, is_thorough=False
            )
            wait(session, 10.0)
            for ball in range(n_balls):
                told.clear()
                stamp = datetime.now() + timedelta(seconds=60 * ball)
                for clip, camera in zip(clips, cameras, strict=True):
                    # bytes after the last box of an MP4 are passed over by every reader
                    (camera / f"{stamp:%Y%m%d_%H%M%S}{clip.suffix}").write_bytes(
                        clip.read_bytes() + b"\0\0\0\x09free" + bytes([ball])
                    )
                whole_s = time.monotonic()
                while sum(isinstance(e, Measured) for _, e in told) < len(clips) and time.monotonic() < whole_s + 120:
                    session.look()
                    time.sleep(_LOOK_EVERY_S)
                arrived = [at - whole_s for at, event in told if isinstance(event, ClipArrived)]
                measured = [at - whole_s for at, event in told if isinstance(event, Measured)]
                sys.stdout.write(
                    f"ball {ball + 1}: clips in after {', '.join(f'{s:.1f}' for s in arrived)} s; "
                    f"measured after {', '.join(f'{s:.1f}' for s in measured)} s\n"
                )
    finally:
        queue.close()


def wait(session: LiveSession, seconds: float) -> None:
    """Let the processes get ready."""
    until = time.monotonic() + seconds
    while time.monotonic() < until:
        session.look()
        time.sleep(_LOOK_EVERY_S)


if __name__ == "__main__":
    main()
