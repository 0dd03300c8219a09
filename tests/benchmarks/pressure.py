"""How long the pressure of a lesson takes by its number of swings, with landmarks and traces kept; run by hand.

    python -m tests.benchmarks.pressure LIBRARY [--copies 1,4,20]

LIBRARY holds one lesson, measured, with traces and a mat. It is copied aside and the lesson's swings are multiplied in
the copy, each with clips, key frames, trace and row of its own; the landmarks are read from the same files every time.
Prints, in processor time: all swings read, each swing's share, the feet alone as a part of it, one swing out of all (as
after a ball in a live lesson), and the mean ways drawn. Then a table of 2,000 samples a second, read as text.
"""

import argparse
import re
import shutil
import sqlite3
import sys
import tempfile
import time
from collections.abc import Callable
from multiprocessing import get_context
from pathlib import Path

import numpy as np

from review.charts import PHONE, draw_pressure_picture
from review.jobs.pressure.feet import see_all_feet
from review.jobs.pressure.measuring import read_lesson_pressure
from review.jobs.pressure.report import picture_pressure
from review.library import Library
from review.pressure import read_trace_table

_LONG_S, _RATE_HZ = 360, 2000


def multiply(folder: Path, copies: int) -> None:
    """Give the only lesson so many times its swings."""
    connection = sqlite3.connect(folder / "library.db")
    for n in range(1, copies):
        new = f" || '-{n}'"
        for table, changed in (
            ("swing", {"id": f"id{new}", "position": f"position + {1000 * n}"}),
            ("clip", {"id": f"id{new}", "swing_id": f"swing_id{new}"}),
            ("key_frame", {"clip_id": f"clip_id{new}"}),
            ("trace", {"id": f"id{new}", "swing_id": f"swing_id{new}"}),
            ("shot", {"id": f"id{new}", "swing_id": f"swing_id{new}"}),
        ):
            names = [row[1] for row in connection.execute(f"PRAGMA table_info({table})")]
            values = ", ".join(changed.get(name, name) for name in names)
            only = f"{'clip_id' if table == 'key_frame' else 'id'} NOT LIKE '%-%'"
            if table in ("trace", "shot"):
                only = "swing_id IS NOT NULL AND swing_id NOT LIKE '%-%'"
            connection.execute(f"INSERT INTO {table} ({', '.join(names)}) SELECT {values} FROM {table} WHERE {only}")
    connection.commit()
    connection.close()


def took(run: Callable[[], object]) -> float:
    """Processor seconds, the shorter of two runs."""
    times = []
    for _ in range(2):
        begin = time.process_time()
        run()
        times.append(time.process_time() - begin)
    return min(times)


def measure(folder: Path) -> str:
    """A line of the table for a library."""
    with Library.open(folder) as library:
        lesson = library.lessons()[0]
        swings, pupil = library.swings(lesson.id), library.pupil(lesson.pupil_id)
        read = read_lesson_pressure(library, lesson)
        everything_s = took(lambda: read_lesson_pressure(library, lesson))
        feet_s = took(lambda: see_all_feet(library, lesson, swings))
        one_s = took(lambda: read_lesson_pressure(library, lesson, {read.swings[-1].swing.id}))
        drawn_s = took(lambda: draw_pressure_picture(picture_pressure(lesson, pupil, read), PHONE).to_svg())
    n = len(read.swings)
    return (
        f"{n:6d}{1000 * everything_s:10.0f}{1000 * everything_s / n:10.1f}{feet_s / everything_s:10.0%}"
        f"{1000 * one_s:10.0f}{1000 * drawn_s:10.0f}\n"
    )


def write_long(path: Path) -> None:
    """A table of time, x, y and force, as a mat of many samples a second writes it."""
    time_s = np.arange(_LONG_S * _RATE_HZ) / _RATE_HZ
    rows = np.column_stack([time_s, 20 + 5 * np.sin(time_s), 10 + 3 * np.cos(time_s), 700 + 50 * np.sin(2 * time_s)])
    np.savetxt(path, rows, "%.4f,%.2f,%.2f,%.1f", header="time [s],x [cm],y [cm],force [N]", comments="")


def peak_mb() -> float:
    """Most memory of this process so far; ``ru_maxrss`` would count that of the one it was started from."""
    status = Path("/proc/self/status").read_text(encoding="ascii")
    found = re.search(r"VmHWM:\s+(\d+) kB", status)
    return float(found[1]) / 1024 if found else np.nan


def read_long(path: Path) -> str:
    """Processor time of a long table beside its length, and the process's peak of memory before and after."""
    before = peak_mb()
    begin = time.process_time()
    read_trace_table(path)
    seconds = time.process_time() - begin
    size = path.stat().st_size / 1e6
    said = f"{_LONG_S / 60:.0f} min at {_RATE_HZ} Hz ({size:.0f} MB): {seconds:.1f} s"
    return f"{said}, {peak_mb():.0f} MB, {before:.0f} before the table\n"


def main() -> None:
    """Time and print."""
    parser = argparse.ArgumentParser()
    parser.add_argument("library", type=Path)
    parser.add_argument("--copies", default="1,4,20")
    options = parser.parse_args()
    sys.stdout.write("swings    all, ms  a swing      feet   one, ms  drawn, ms\n")
    with tempfile.TemporaryDirectory() as aside:
        for copies in map(int, options.copies.split(",")):
            folder = Path(aside) / str(copies)
            shutil.copytree(options.library, folder, ignore=shutil.ignore_patterns("review_copy", "clips"))
            (folder / "clips").mkdir(exist_ok=True)
            multiply(folder, copies)
            sys.stdout.write(measure(folder))
            sys.stdout.flush()
        table = Path(aside) / "long.csv"
        write_long(table)
        with get_context("spawn").Pool(1) as apart:  # memory of a process of its own
            sys.stdout.write(apart.apply(read_long, (table,)))


if __name__ == "__main__":
    main()
