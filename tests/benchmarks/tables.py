"""How long a very long table takes to be read and compared: ``python -m tests.benchmarks.tables``."""

import random
import sys
import tempfile
import time
from datetime import date
from pathlib import Path

from review.jobs.comparing import bare_table
from review.shots import read_shot_table

N_ROWS = 100_000
HEAD = (
    "shot,time,club,club speed [mph],ball speed [mph],club path [deg],face angle [deg],face to path [deg],"
    "attack angle [deg],launch angle [deg],launch direction [deg],back spin [rpm],spin axis [deg],"
    "carry [yd],offline [yd]"
)


def main() -> None:
    """Write, read, compare."""
    numbers = random.Random(2)
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "shots.csv"
        with path.open("w", encoding="utf-8") as file:
            file.write(f"{HEAD}\n")
            for i in range(N_ROWS):
                values = ",".join(f"{numbers.gauss(20, 8):.1f}" for _ in range(12))
                file.write(f"{i + 1},{i // 3600 % 24:02d}:{i // 60 % 60:02d}:{i % 60:02d},6-iron,{values}\n")
        begun_s = time.process_time()
        table = read_shot_table(path, on_date=date(2026, 3, 14))
        read_s = time.process_time() - begun_s
        bare_table.read_shot_table = lambda *_, **__: table
        half = N_ROWS // 2
        begun_s = time.process_time()
        bare_table.compare_table(path, f"1-{half}", f"{half + 1}-{N_ROWS}")
        compared_s = time.process_time() - begun_s
    sys.stdout.write(
        f"{N_ROWS} rows of 12 measures: read in {read_s:.1f} s, compared in {compared_s:.1f} s of processor\n"
    )


if __name__ == "__main__":
    main()
