"""A run that is killed while it brings in clips and lessons leaves a whole library."""

import hashlib
import multiprocessing
import os
import random
import signal
import sys
import time
from dataclasses import replace
from pathlib import Path

import pytest
from library_samples import clip, lesson, pupil, shot, swing, trace

from review.library import Library

_KILLS = 20
_SWINGS = 4


def _bring_in(folder: Path, original: Path, run: int, ready) -> None:
    """Bring in one lesson after another, each with a clip of its own, until killed."""
    with Library.open(folder) as library:
        ready.set()
        for i in range(10_000):
            key = f"{run}-{i}"
            original.write_bytes(key.encode() * 200_000)  # about 1 MB: two chunks
            sha256, file = library.store_clip_file(original)
            with library.transaction():
                library.add_lesson(lesson(key))
                library.add_clip(key, replace(clip(key, sha256), file=file))
                library.add_shots(key, [shot(f"{key}-{n}", n) for n in range(1, _SWINGS + 1)])
                library.replace_swings(
                    key, [swing(f"{key}-{n}", n, trace=trace(f"{key}-{n}")) for n in range(1, _SWINGS + 1)]
                )


def _check_whole(folder: Path) -> int:
    """Check that every lesson is there entirely, with its clip, and nothing besides; return how many there are."""
    with Library.open(folder) as library:
        assert library._connection.execute("PRAGMA integrity_check").fetchone()[0] == "ok"
        assert library._connection.execute("PRAGMA foreign_key_check").fetchall() == []
        assert library._connection.execute("SELECT COUNT(*) FROM stored").fetchone()[0] == 0
        lessons = library.lessons("p1")
        files = set()
        for each in lessons:
            assert len(each.batches) == 2
            assert (
                len(library.shots(each.id)) == len(library.swings(each.id)) == len(library.traces(each.id)) == _SWINGS
            )
            (kept,) = library.clips(each.id)
            content = library.path_of(kept).read_bytes()
            assert hashlib.sha256(content).hexdigest() == kept.sha256
            files.add(library.path_of(kept))
        assert set((folder / "clips").iterdir()) == files
    return len(lessons)


@pytest.mark.skipif(sys.platform in ("win32", "darwin"), reason="needs fork, so that starting takes no time")
def test_killed_at_any_moment_the_library_stays_whole(tmp_path: Path) -> None:
    folder = tmp_path / "library"
    with Library.open(folder) as library:
        library.add_pupil(pupil())
    context = multiprocessing.get_context("fork")
    moments = random.Random(7)
    kept = 0
    for run in range(_KILLS):
        ready = context.Event()
        process = context.Process(target=_bring_in, args=(folder, tmp_path / "original.mp4", run, ready))
        process.start()
        assert ready.wait(60)
        # on a busy machine later, so that some runs get somewhere
        time.sleep(moments.uniform(0.0, 0.1 if run < _KILLS // 2 or kept else 1.0))
        assert process.pid is not None
        os.kill(process.pid, signal.SIGKILL)
        process.join()
        before, kept = kept, _check_whole(folder)
        assert kept >= before
    assert kept > 0  # the runs did get somewhere
