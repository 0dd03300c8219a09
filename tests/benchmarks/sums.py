"""How many sums beneath a table are known without a word, and how many shots are taken for one: docs/tables.md.

Run by hand: ``python -m tests.benchmarks.sums``. Columns of normal values (SD 2) rounded to a tenth; the mean and the
deviation are taken before rounding, as devices do.
"""

import tempfile
from pathlib import Path

import numpy as np

from review.shots import read_shot_table

COLUMNS = (
    ("club path [deg]", 3),
    ("face [deg]", 1),
    ("attack angle [deg]", -4),
    ("launch angle [deg]", 16),
    ("launch direction [deg]", 2),
    ("dynamic loft [deg]", 25),
    ("spin axis [deg]", 5),
    ("club speed [mph]", 80),
    ("ball speed [mph]", 110),
    ("carry [yd]", 150),
    ("total [yd]", 160),
    ("offline [yd]", 3),
)
N_TABLES = 200


def count_rows(path: Path, columns, rows) -> int:
    lines = [",".join(name for name, _ in columns), *(",".join(f"{v:.1f}" for v in row) for row in rows)]
    path.write_text("\n".join(lines) + "\n")
    return len(read_shot_table(path).shots)


def main() -> None:
    random = np.random.default_rng(1)
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "table.csv"
        for n_columns in (3, 5, 12):
            columns = COLUMNS[:n_columns]
            for n in (6, 20):
                means = deviations = lost = 0
                for _ in range(N_TABLES):
                    exact = random.normal([middle for _, middle in columns], 2.0, (n, n_columns))
                    shots = exact.round(1)
                    means += count_rows(path, columns, [*shots, exact.mean(axis=0)]) == n
                    deviations += count_rows(path, columns, [*shots, exact.std(axis=0, ddof=1)]) == n
                    lost += count_rows(path, columns, shots) < n
                print(f"{n_columns} columns, {n} shots: means {means}, deviations {deviations}, tables with a shot "
                      f"lost {lost}, of {N_TABLES}")  # fmt: skip


if __name__ == "__main__":
    main()
