"""How often 'held' and 'came back' are said rightly, over made-up visits with known truth; run by hand.

python -m tests.benchmarks.visits [N_PUPILS]
"""

import argparse
from collections import Counter

import numpy as np

from review.compare import Sample
from review.compare.visits import Held, judge_kept

SHARES = (("all held", 1.0), ("half held", 0.5), ("nothing held", 0.0))
CHANGES = (2.0, 4.0)
SIZES = ((6, 6, 6), (10, 10, 10), (9, 4, 5))
DAYS = (0.0, 0.5)
"""How far a player's mean differs from day to day by itself, in swing-to-swing standard deviations; not known to it."""


def main() -> None:
    """Print a table for docs/history.md."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("n_pupils", nargs="?", type=int, default=2000)
    n_pupils = parser.parse_args().n_pupils
    print("| truth | change, SD | balls | day to day, SD | held | partly | came back | can't tell |")
    print("| --- | --- | --- | --- | --- | --- | --- | --- |")
    for name, share in SHARES:
        for change in CHANGES:
            for sizes in SIZES:
                for day in DAYS:
                    counts = simulate(share, change, sizes, day, n_pupils)
                    said = " | ".join(
                        f"{counts[held] / n_pupils:.1%}"
                        for held in (Held.HELD, Held.PARTLY, Held.CAME_BACK, Held.CANT_TELL)
                    )
                    print(f"| {name} | {change:g} | {', '.join(map(str, sizes))} | {day:g} | {said} |")


def simulate(share: float, change: float, sizes: tuple[int, int, int], day: float, n_pupils: int) -> Counter[Held]:
    """Count what is said of pupils who all keep the same share of the same change."""
    random = np.random.default_rng(9)
    counts: Counter[Held] = Counter()
    for _ in range(n_pupils):
        means = (0.0, change, share * change + random.normal(0, day) if day else share * change)
        samples = [Sample(tuple(random.normal(mean, 1, n))) for mean, n in zip(means, sizes, strict=True)]
        counts[judge_kept(*samples, was_change=True).outcome] += 1
    return counts


if __name__ == "__main__":
    main()
