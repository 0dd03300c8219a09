"""A small library of two pupils with files of every kind, and a way to kill work on it at random moments."""

import multiprocessing
import os
import random
import signal
import time
from collections.abc import Callable
from dataclasses import replace
from datetime import date, datetime, timedelta
from pathlib import Path

import numpy as np

from review.lesson import (
    Batch,
    Clip,
    Handedness,
    KeyFrame,
    Lesson,
    Measure,
    Pupil,
    Said,
    Shot,
    Swing,
    Trace,
    Voice,
    VoiceOf,
)
from review.library import Library

N_SWINGS = 4
LONG_AGO, LATELY = date(2025, 3, 14), date(2026, 11, 20)


def make_library(folder: Path, originals: Path) -> None:
    """Anna with a lesson long ago and one of late, Bert with one; a clip, landmarks and a voice of each."""
    originals.mkdir(exist_ok=True)
    with Library.open(folder) as library:
        for pupil, days in (("anna", (LONG_AGO, LATELY)), ("bert", (LATELY,))):
            library.add_pupil(Pupil(pupil, f"{pupil}-name-zq7", Handedness.RIGHT, private_note=f"{pupil}-note-zq7"))
            for held_on in days:
                _add_lesson(library, pupil, held_on, originals)
    (folder / "mappings").mkdir()
    (folder / "mappings" / "range.toml").write_text("[columns]\n")


def _add_lesson(library: Library, pupil: str, held_on: date, originals: Path) -> None:
    id = f"{pupil}-{held_on}"
    library.add_lesson(Lesson(id, pupil, held_on, batches=(Batch(f"{id}-b", 1, None, "cue", "feel"),)))
    for n in range(1, N_SWINGS + 1):
        original = originals / f"{id}-{n}.mp4"
        content = f"{pupil}-clip-zq7 {held_on} {n} ".encode()
        original.write_bytes(content * (40_000 // len(content)))
        sha256, file = library.store_clip_file(original)
        at = datetime.combine(held_on, datetime.min.time()) + timedelta(minutes=n)
        library.add_clip(id, Clip(f"{id}-{n}", sha256, file, original.name, "face-on", captured_at=at))
        arrays = {"points": np.arange(1000.0) + n}
        library.save_arrays("landmarks", sha256, arrays, {"whose": f"{pupil}-landmark-zq7"}, clip_content=sha256)
        for name in (f"{sha256} 1.mp4", f"{sha256} 1.npz"):
            copy = library.folder / "derived" / "review_copy" / name
            copy.parent.mkdir(exist_ok=True)
            library.note_derived(copy, sha256)
            copy.write_bytes(f"{pupil}-copy-zq7".encode())
    clips = {clip.id: clip for clip in library.clips(id)}
    shots = [Shot(f"{id}-r{n}", n, "range.csv", {"club_path_deg": 1.0 * n}, {}) for n in range(1, N_SWINGS + 1)]
    library.add_shots(id, shots)
    time_s = np.linspace(0.0, 1.0, 11)
    trace = Trace(f"{id}-t", datetime(2026, 3, 14), time_s, np.stack([time_s, time_s], 1))
    swings = [
        Swing(f"{id}-s{n}", n, clips=(clips[f"{id}-{n}"],), shot=shots[n - 1], batch_id=f"{id}-b")
        for n in range(1, N_SWINGS + 1)
    ]
    library.replace_swings(id, [replace(swings[0], trace=trace), *swings[1:]])
    for swing in swings:
        measure = Measure("hip_turn_deg", 30.0 + swing.order, "impact", 25.0, 41.0, 3.0, 4.0, "set-up")
        library.set_measures(swing.id, [measure], "body 4 thorough")
        found = KeyFrame("impact", 1.0, 60, 0.9, "sound")
        library.set_key_frames(swing.clips[0].id, [found])
    file = library.store_voice(lambda aside: f".{aside.write_text(f'{pupil}-voice-zq7 {held_on}') and 'flac'}")
    library.add_voice(id, Voice(f"{id}-v", file, 2.0, datetime(2026, 3, 14, 10, 0), is_pupils=False))
    library.say(id, [Said(f"{id}-b", VoiceOf.CUE.said_as, f"{id}-v")])


def contents_of(folder: Path) -> dict[str, bytes]:
    """The files that make up a library, but for its database and what is made again, by name."""
    parts = ("clips", "voice", "mappings", "derived/landmarks")
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for part in parts
        for path in sorted((folder / part).glob("*"))
    }


def rows_of(folder: Path) -> dict[str, list[tuple[object, ...]]]:
    """All rows of a library but for the notes on its backups, by table."""
    with Library.open(folder, create=False) as library:
        return {
            table: sorted((tuple(row) for row in library._connection.execute(f"SELECT * FROM {table}")), key=repr)
            for table in library.tables()
            if table not in ("backup", "backed_up") and not table.startswith("written_")
        }


def check_whole(folder: Path) -> None:
    """Check that a library's database and files belong together."""
    with Library.open(folder, create=False) as library:
        assert library._connection.execute("PRAGMA integrity_check").fetchone()[0] == "ok"
        assert library._connection.execute("PRAGMA foreign_key_check").fetchall() == []
        assert {file for file in library.named_files() if not (folder / file).is_file()} == set()


def kill_at_random(work: Callable[[], None], check: Callable[[], None], times: int, seed: int) -> None:
    """Begin work in a process of its own, kill it at a random moment, check; so often."""
    context, moments = multiprocessing.get_context("fork"), random.Random(seed)
    began_s = time.monotonic()
    first = context.Process(target=work)
    first.start()
    first.join()
    assert first.exitcode == 0
    length_s, killed = time.monotonic() - began_s, 0
    check()
    while killed < times:
        process = context.Process(target=work)
        process.start()
        time.sleep(moments.uniform(0.0, length_s))
        assert process.pid is not None
        os.kill(process.pid, signal.SIGKILL)
        process.join()
        if process.exitcode == 0:  # was done before
            length_s *= 0.9
        killed += process.exitcode == -signal.SIGKILL
        check()
