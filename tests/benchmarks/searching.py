"""How fast a long recording is searched, as a ratio to its own length; run by hand.

    python -m tests.benchmarks.searching [RECORDING]

Without a file a recording of five minutes (1280 x 720, 30 pictures a second, 6 Mbit/s, ten swings) is made first, which
takes a while. Prints how many times faster than real time each step and the whole ran on this machine, and what was
found. Processor time is told beside the clock's: where other work runs on the machine it is the fairer of the two.
"""

import json
import os
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from review.jobs.recordings import searching
from review.media import probe_video
from tests.made_recordings import Part, make_recording

_SAMPLE = Path(__file__).parents[2] / "sample_clips"
_STEPS = {"_hear_and_watch": "sound and motion", "track_clips": "the body around candidates"}


def make_lesson(folder: Path) -> Path:
    """Ten swings of the sample lesson in five minutes, three of them practice."""
    truth = json.loads((_SAMPLE / "truth.json").read_text())
    clips = [c for c in truth["clips"] if c["view"] == "face-on"][:10]
    parts = [
        Part(_SAMPLE / c["file"], c["impact_in_clip_s"], is_struck=i % 4 != 2, rest_s=25.0, waggles=i % 3)
        for i, c in enumerate(clips)
    ]
    rate = {"b": "6000000", "maxrate": "7000000", "bufsize": "6000000"}
    made = make_recording(folder / "lesson.mp4", parts, (1280, 720), grain_levels=10, codec_options=rate)
    return made.path


def processor_s() -> float:
    """Processor time of this process and its ended children, seconds."""
    now = os.times()
    return now.user + now.system + now.children_user + now.children_system


@contextmanager
def timed(name: str, length_s: float) -> Iterator[None]:
    """Print how many times faster than real time something ran."""
    begin_s, begin_processor_s = time.perf_counter(), processor_s()
    yield
    took_s, worked_s = time.perf_counter() - begin_s, processor_s() - begin_processor_s
    sys.stdout.write(
        f"{name:28s} {took_s:7.1f} s, {length_s / took_s:6.1f} x real time; processor {worked_s:7.1f} s, "
        f"{2 * length_s / worked_s:6.1f} x on two cores that do nothing else\n"
    )


def main() -> None:
    """Search and print."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(sys.argv[1]) if len(sys.argv) > 1 else make_lesson(Path(folder))
        info = probe_video(path)
        for attribute, name in _STEPS.items():
            setattr(searching, attribute, _timed_step(getattr(searching, attribute), name, info.duration_s))
        with timed("all", info.duration_s):
            found = searching.search_recording(path, info)
        n_struck = sum(swing.strike_s is not None for swing in found)
        sys.stdout.write(f"{info.duration_s / 60:.1f} min: {len(found)} swings, {n_struck} struck\n")


def _timed_step(step: object, name: str, length_s: float) -> object:
    def run(*values: object, **named: object) -> object:
        with timed(name, length_s):
            return step(*values, **named)  # type: ignore[operator]

    return run


if __name__ == "__main__":
    main()
