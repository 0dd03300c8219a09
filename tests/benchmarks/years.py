"""How fast a pupil's page, search and the start are in a large library; run by hand.

python -m tests.benchmarks.years [--pupils 1000] [--copies 1,3,10] [--picture docs/img/years_growth.png]

Times are the process's own (CPU) time, the middle of many; ten lessons a pupil, three batches, ten shots each, two
measures of the body a swing. ``--copies`` multiplies the library inside the database.
"""

import argparse
import random
import sqlite3
import statistics
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

from review.jobs.history.before import read_before, say_before
from review.jobs.history.reading import read_history
from review.jobs.history.searching import search_written
from review.jobs.history.words import say_history
from review.jobs.showing.pupils import list_pupils
from review.library import Library
from tests.made_years import add_many

_LIMITS_MS = {"pupil page": 150, "search": 50, "start": 2000}
_QUERIES = ("bela", "bela poc", "hip arm knee", "tur", "pupil", "zzz", "b", "sloa slob sloc slod")


def main() -> None:
    """Print a table and draw the growth."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--pupils", type=int, default=1000)
    parser.add_argument("--copies", default="1")
    parser.add_argument("--picture", type=Path)
    options = parser.parse_args()
    rows: list[tuple[int, dict[str, float]]] = []
    with tempfile.TemporaryDirectory() as at:
        folder = Path(at) / "library"
        with Library.open(folder) as library:
            add_many(library, options.pupils, tell=lambda n: print(f"made {n}", flush=True))
        print("| pupils | lessons | swings | MB | " + " | ".join(measure(folder, dry=True)) + " |", flush=True)
        there = 1
        for copies in map(int, options.copies.split(",")):
            copy_pupils(folder, there, copies)
            there = copies
            took = measure(folder)
            n = options.pupils * copies
            size = (folder / "library.db").stat().st_size / 1e6
            said = " | ".join(f"{value:.1f}" for value in took.values())
            print(f"| {n:,} | {n * 10:,} | {n * 300:,} | {size:.0f} | {said} |", flush=True)
            rows.append((n * 300, took))
    if options.picture is not None:
        draw(rows, options.picture)


def measure(folder: Path, dry: bool = False) -> dict[str, float]:
    """Middle times in ms; the page and the search with the library opened anew each time, as the window does."""
    pick = random.Random(1)
    with Library.open(folder) as library:
        ids = [row["id"] for row in library._execute("SELECT id FROM pupil")]

    def opened(do: Callable[[Library], object]) -> Callable[[], None]:
        def run() -> None:
            with Library.open(folder, create=False) as library:
                do(library)

        return run

    work: dict[str, tuple[Callable[[], object], int]] = {
        "pupil page": (opened(lambda lib: say_history(read_history(lib, pick.choice(ids)))), 60),
        "before": (opened(lambda lib: say_before(read_before(lib, pick.choice(ids)))), 30),
        "search": (opened(lambda lib: search_written(lib, pick.choice(_QUERIES))), 80),
        "start": (lambda: list_pupils(folder), 5),
    }
    took = {}
    for name, (do, times) in work.items():
        if not dry:
            do()
        took[name] = statistics.median(_ms(do) for _ in range(times)) if not dry else 0.0
    return took


def copy_pupils(folder: Path, there: int, wanted: int) -> None:
    """Multiply every pupil with all lessons inside the database, under other names and ids."""
    with Library.open(folder):
        pass
    connection = sqlite3.connect(folder / "library.db", isolation_level=None)
    connection.execute("PRAGMA synchronous = OFF")
    tables = {
        "pupil": ("id",),
        "lesson": ("id", "pupil_id"),
        "batch": ("id", "lesson_id"),
        "swing": ("id", "lesson_id", "batch_id"),
        "shot": ("id", "lesson_id", "swing_id"),
        "measure": ("swing_id",),
    }
    for copy in range(there, wanted):
        connection.execute("BEGIN")
        for table, ids in tables.items():
            names = [row[1] for row in connection.execute(f"PRAGMA table_info({table})")]
            values = ", ".join(f"{name} || '~{copy}'" if name in ids else name for name in names)
            first = "instr(swing_id, '~') = 0" if table == "measure" else "instr(id, '~') = 0"
            connection.execute(f"INSERT INTO {table} ({', '.join(names)}) SELECT {values} FROM {table} WHERE {first}")
        connection.execute("COMMIT")
        connection.execute("PRAGMA wal_checkpoint(TRUNCATE)")
        print(f"copied {copy}", flush=True)
    connection.close()


def draw(rows: list[tuple[int, dict[str, float]]], to: Path) -> None:
    """Draw the times over the swings, both axes logarithmic, the limits as broken lines."""
    from matplotlib.figure import Figure

    figure = Figure(figsize=(7, 4), layout="constrained")
    axes = figure.subplots()
    for name, mark in (("pupil page", "o"), ("before", "s"), ("search", "^"), ("start", "D")):
        (line,) = axes.loglog([n for n, _ in rows], [took[name] for _, took in rows], f"{mark}-", label=name)
        if name in _LIMITS_MS:
            axes.axhline(_LIMITS_MS[name], color=line.get_color(), ls="--", lw=1)
    axes.axvline(300_000, color="grey", lw=0.8)
    axes.set_xlabel("swings in the library (300,000 = 1,000 pupils, 10,000 lessons)")
    axes.set_ylabel("ms (broken: most it may be at 300,000)")
    axes.legend()
    figure.savefig(to, dpi=90)


def _ms(do: Callable[[], object]) -> float:
    began = time.process_time()
    do()
    return 1000 * (time.process_time() - began)


if __name__ == "__main__":
    main()
