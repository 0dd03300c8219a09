"""How often a verdict is right, over made-up lessons, as the tables and picture of docs/comparison.md; run by hand.

python -m tests.benchmarks.verdicts [N_LESSONS] [--picture docs/img/verdicts.png]
"""

import argparse
import math
from collections.abc import Callable, Sequence
from itertools import combinations
from pathlib import Path

import numpy as np
from scipy.special import stdtr

from review.compare import (
    CLEAR_P,
    Sample,
    ScatterWord,
    Verdict,
    compare_samples,
    compare_scatter,
    compute_bca_interval,
    compute_welch,
    judge_together,
)
from review.compare.remarks import find_remarks
from review.compare.verdict import LIKELY_P
from tests.bay.picture import Line, draw_lines

Draw = Callable[[np.random.Generator, int, tuple[int, int]], tuple[np.ndarray, np.ndarray]]

SIZES = ((5, 5), (6, 6), (10, 10), (9, 4))
CHANGES = (0.0, 1.0, 1.5, 2.5)
TYPICAL_ERROR = 0.05
"""In swing-to-swing standard deviations: so small that chance alone decides."""


def normal(random: np.random.Generator, n: int, sizes: tuple[int, int]) -> tuple[np.ndarray, np.ndarray]:
    """Normal, standard deviation 1."""
    return random.normal(size=(n, sizes[0])), random.normal(size=(n, sizes[1]))


def heavy(random: np.random.Generator, n: int, sizes: tuple[int, int]) -> tuple[np.ndarray, np.ndarray]:
    """Student's t on 3 degrees of freedom, scaled to standard deviation 1."""
    first, last = (random.standard_t(3, size=(n, size)) / math.sqrt(3) for size in sizes)
    return first, last


def one_mishit(random: np.random.Generator, n: int, sizes: tuple[int, int]) -> tuple[np.ndarray, np.ndarray]:
    """Normal, and one shot of either batch 6 standard deviations too low."""
    both = np.concatenate(normal(random, n, sizes), axis=1)
    both[np.arange(n), random.integers(0, sum(sizes), n)] -= 6
    return both[:, : sizes[0]], both[:, sizes[0] :]


SHAPES: dict[str, Draw] = {"normal": normal, "heavy tails": heavy, "one mishit": one_mishit}


def p_values(first: np.ndarray, last: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Welch's p and the larger of it and the exact permutation p, one a row; the second only where it can matter."""
    n_first, n_last = first.shape[1], last.shape[1]
    of_first, of_last = first.var(axis=1, ddof=1) / n_first, last.var(axis=1, ddof=1) / n_last
    variance = of_first + of_last
    df = variance**2 / (of_first**2 / (n_first - 1) + of_last**2 / (n_last - 1))
    welch = 2 * stdtr(df, -np.abs(last.mean(axis=1) - first.mean(axis=1)) / np.sqrt(variance))
    larger = welch.copy()
    near = np.flatnonzero(welch < CLEAR_P)
    both = np.concatenate([first, last], axis=1)[near]
    both = both - both.mean(axis=1, keepdims=True)
    if n_first > n_last:
        both = both[:, ::-1]
    n_small, n = min(n_first, n_last), n_first + n_last
    chosen = np.array(list(combinations(range(n), n_small)), dtype=np.int32)
    picks = np.zeros((n, len(chosen)))
    picks[chosen.T, np.arange(len(chosen))] = 1.0
    for begin in range(0, len(near), 100):
        rows = both[begin : begin + 100]
        sums, observed = rows @ picks, rows[:, :n_small].sum(axis=1, keepdims=True)
        tails = np.minimum((sums >= observed - 1e-9).mean(axis=1), (sums <= observed + 1e-9).mean(axis=1))
        rows_of = near[begin : begin + 100]
        larger[rows_of] = np.maximum(welch[rows_of], np.minimum(1.0, 2 * tails))
    return welch, larger


def compare(first: np.ndarray, last: np.ndarray) -> Verdict:
    """The product's own verdict."""
    return compare_samples(
        "club_path_deg",
        Sample(tuple(first)),
        Sample(tuple(last)),
        repeatability=TYPICAL_ERROR,
        batches_closed=True,
        in_aim=True,
    ).verdict


def count_verdicts(first: np.ndarray, last: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Which lessons are clear and which likely; the first twenty are checked against the product."""
    welch, p = p_values(first, last)
    smallest = 1.96 * TYPICAL_ERROR * math.sqrt(1 / first.shape[1] + 1 / last.shape[1])
    counts = np.abs(last.mean(axis=1) - first.mean(axis=1)) >= smallest
    clear = counts & (p < CLEAR_P)
    likely = counts & ~clear & (welch < LIKELY_P)
    for i in range(20):
        expected = Verdict.CLEAR if clear[i] else Verdict.LIKELY if likely[i] else Verdict.CANT_TELL
        found = compare(first[i], last[i])
        if found is not expected:
            raise SystemExit(f"the product says {found}, this script {expected}: {first[i]} {last[i]}")
    return clear, likely


def holm_clear(p: np.ndarray) -> np.ndarray:
    """Which of the measures (columns) are clear after Holm."""
    order = np.argsort(p, axis=1)
    steps = np.take_along_axis(p, order, axis=1) * np.arange(p.shape[1], 0, -1)
    found = np.empty(p.shape, dtype=bool)
    np.put_along_axis(found, order, np.maximum.accumulate(steps, axis=1) < CLEAR_P, axis=1)
    return found


def percent(hits: np.ndarray | Sequence[bool]) -> str:
    """Share in percent, one decimal."""
    return f"{100 * float(np.mean(hits)):.1f}"


def print_verdicts(n: int, picture: Path | None) -> None:
    """One aim measure: clear and likely by size, shape and change."""
    lines = []
    print("\n| shots | shape | " + " | ".join(f"change {c:g} SD" for c in CHANGES) + " |\n" + "| --- " * 6 + "|")
    for sizes in SIZES:
        for shape, draw in SHAPES.items():
            random = np.random.default_rng(500)
            cells, clears = [], []
            for change in CHANGES:
                first, last = draw(random, n, sizes)
                clear, likely = count_verdicts(first, last + change)
                cells.append(f"{percent(clear)} + {percent(likely)}")
                clears.append(100 * float(clear.mean()))
            print(f"| {sizes[0]} v {sizes[1]} | {shape} | " + " | ".join(cells) + " |", flush=True)
            if shape != "heavy tails":
                lines.append(Line(f"{sizes[0]} v {sizes[1]}, {shape}", clears, is_dashed=shape == "one mishit"))
    if picture is not None:
        draw_lines(picture, CHANGES, lines, "true change, swing-to-swing standard deviations", "clear, %")


def print_wide(n: int) -> None:
    """No change, but the last batch scatters three times as much."""
    print("\n| shots | shape | no change, last batch scattering three times: clear + likely |\n| --- | --- | --- |")
    for sizes in ((6, 6), (9, 4), (4, 9)):
        for shape in ("normal", "heavy tails"):
            first, last = SHAPES[shape](np.random.default_rng(501), n, sizes)
            clear, likely = count_verdicts(first, 3 * last)
            print(f"| {sizes[0]} v {sizes[1]} | {shape} | {percent(clear)} + {percent(likely)} |", flush=True)


def print_three(n: int) -> None:
    """Three independent measures in the aim."""
    print("\n| 6 v 6, three measures | no change: any clear | one changed 2.5 SD: it is clear | all changed: each is |")
    print("| --- " * 4 + "|")
    for shape, draw in SHAPES.items():
        said = []
        for changes in ((0.0, 0.0, 0.0), (2.5, 0.0, 0.0), (2.5, 2.5, 2.5)):
            random = np.random.default_rng(502)
            p = []
            for change in changes:
                first, last = draw(random, n, (6, 6))
                p.append(p_values(first, last + change)[1])
            clear = holm_clear(np.column_stack(p))
            said.append(percent(clear.any(axis=1) if not any(changes) else clear[:, 0]))
        print(f"| {shape} | " + " | ".join(said) + " |", flush=True)
    random = np.random.default_rng(503)
    for _ in range(20):  # the same by the product
        pairs = [(random.normal(size=6), random.normal(c, 1, 6)) for c in (2.5, 0.0, 1.0)]
        p = np.array([[p_values(a[None], b[None])[1][0] for a, b in pairs]])
        options = {"repeatability": TYPICAL_ERROR, "batches_closed": True, "in_aim": True}
        judged = judge_together(
            [compare_samples("club_path_deg", Sample(tuple(a)), Sample(tuple(b)), **options) for a, b in pairs]
        )
        if [c.verdict is Verdict.CLEAR for c in judged] != list(holm_clear(p)[0]):
            raise SystemExit("the product and this script differ after Holm")


def print_peeking(n: int) -> None:
    """Six shots, then a look after each ball of the last batch from the third on, stopped at the first clear."""
    print("\n| first batch 6 shots, no change, a look after each ball up to | clear at some look | at the last |")
    print("| --- | --- | --- |")
    random = np.random.default_rng(504)
    first, last = normal(random, n, (6, 16))
    ever = np.zeros(n, dtype=bool)
    for balls in range(3, 17):
        now = p_values(first, last[:, :balls])[1] < CLEAR_P
        ever |= now
        if balls in (6, 10, 16):
            print(f"| {balls} | {percent(ever)} | {percent(now)} |", flush=True)


def print_more_shots(n: int) -> None:
    """What becomes of the lessons that were told 'about N more shots'."""
    print("\n| 6 v 6, true change | not clear | of these told a number | middle number | clear after so many more |")
    print("| --- " * 5 + "|")
    options = {"repeatability": TYPICAL_ERROR, "batches_closed": True, "in_aim": True}
    for change in (0.0, 1.0, 1.5, 2.0):
        random = np.random.default_rng(507)
        first, last = normal(random, n, (6, 26))
        open_, numbers, clear = 0, [], []
        for a, b in zip(first, last + change, strict=True):
            found = compare_samples("club_path_deg", Sample(tuple(a)), Sample(tuple(b[:6])), **options)
            open_ += found.verdict is not Verdict.CLEAR
            if found.more_shots is not None:
                numbers.append(found.more_shots)
                clear.append(compare(a, b[: 6 + found.more_shots]) is Verdict.CLEAR)
        told = f"{100 * len(numbers) / open_:.1f} | {np.median(numbers):g} | {percent(clear)}"
        print(f"| {change:g} SD | {100 * open_ / n:.1f} | {told} |", flush=True)


def print_intervals(n: int) -> None:
    """How often 95 % intervals hold the truth, and what is said of scatter."""
    print(
        "\n| shots | shape | Welch holds | bootstrap holds | ratio holds | narrower or wider | narrower, at a third |"
    )
    print("| --- " * 7 + "|")

    def difference(a: np.ndarray, b: np.ndarray, axis: int = -1) -> np.ndarray:
        return b.mean(axis=axis) - a.mean(axis=axis)

    for sizes in SIZES[:3]:
        for shape in ("normal", "heavy tails"):
            first, last = SHAPES[shape](np.random.default_rng(505), n, sizes)
            welch, bca, ratio, said, narrower = [], [], [], [], []
            for a, b in zip(first, last, strict=True):
                w, found = compute_welch(b, a), compute_bca_interval((a, b), difference)
                welch.append(w.low <= 0 <= w.high)
                bca.append(found is not None and found[0] <= 0 <= found[1])
                scatter = compare_scatter(a, b)
                ratio.append(scatter.low <= 1 <= scatter.high)
                said.append(scatter.word is not ScatterWord.CANT_TELL)
                narrower.append(compare_scatter(a, b / 3).word is ScatterWord.NARROWER)
            shares = " | ".join(percent(hits) for hits in (welch, bca, ratio, said, narrower))
            print(f"| {sizes[0]} v {sizes[1]} | {shape} | {shares} |", flush=True)


def print_remarks(n: int) -> None:
    """How often a sentence is said of shots with nothing in them, and of a drift or a mishit."""
    print("\n| 6 v 6 | a drift told | neighbours alike | one shot carries the mean |\n| --- | --- | --- | --- |")
    drift = np.linspace(-1.5, 1.5, 6)
    for case, draw, added in (
        ("nothing, change of 1.5 SD", normal, 0.0),
        ("heavy tails, change of 1.5 SD", heavy, 0.0),
        ("first batch drifts by 3 SD", normal, drift),
        ("one mishit, 6 SD, change of 1.5 SD", one_mishit, 0.0),
    ):
        first, last = draw(np.random.default_rng(506), n, (6, 6))
        said = [
            find_remarks("club_path_deg", Sample(tuple(10 * a)), Sample(tuple(10 * b)))
            for a, b in zip(first + added, last + 1.5, strict=True)
        ]
        shares = [percent([any(word in t for t in texts) for texts in said]) for word in ("kept", "alike", "without")]
        print(f"| {case} | " + " | ".join(shares) + " |", flush=True)


def main() -> None:
    """Run all."""
    parser = argparse.ArgumentParser()
    parser.add_argument("n_lessons", nargs="?", type=int, default=2000)
    parser.add_argument("--picture", type=Path)
    options = parser.parse_args()
    print_verdicts(options.n_lessons, options.picture)
    print_wide(options.n_lessons)
    print_three(options.n_lessons)
    print_peeking(options.n_lessons)
    print_more_shots(options.n_lessons)
    print_remarks(options.n_lessons)
    print_intervals(options.n_lessons)


if __name__ == "__main__":
    main()
