"""Measure how often and how exactly the own strike is chosen; prints the tables and draws the picture of docs/sync.md.

Run by hand (some ten minutes)::

    python -m tests.bay.measure_strike --picture docs/img/strike_in_noise.png
"""

import argparse
import sys
from collections.abc import Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from review.swing.strike import Strike, choose_strike, choose_together, find_strikes

from .picture import Line, draw_lines
from .sound import make_bay

RATE_HZ = 48000
LEVELS_DB = (12, 6, 0, -6, -12)
SHOTS, PRACTICES = 60, 20
CLIP_S, STRIKE_S, STRIKE_SD_S, BODY_SD_S = 4.0, 2.0, 0.15, 0.04
RIGHT_WITHIN_S = 0.02
SURE = 0.9
WAYS = ("clip alone", "camera", "body")


@dataclass(frozen=True)
class Judged:
    """One clip: the truth, None = practice swing, and what was chosen."""

    strike_s: float | None
    chosen: Strike | None

    @property
    def is_right(self) -> bool:
        return self.strike_s is not None and abs(self.error_s) <= RIGHT_WITHIN_S

    @property
    def error_s(self) -> float:
        known = self.chosen is not None and self.strike_s is not None
        return self.chosen.time_s - self.strike_s if known else np.inf


def judge_lesson(family: int, snr_db: float, seed: int) -> dict[str, list[Judged]]:
    """Make a lesson of 60 shots and 20 practice swings, one neighbour's strike at -6 dB in each clip, and choose.

    "clip alone": nothing known; "camera": the habit learnt from the lesson's own clips; "body": the moment of impact
    known to 40 ms (SD).
    """
    rng = np.random.default_rng([30, seed, family, int(snr_db) + 100])
    clips: list[tuple[float | None, tuple[Strike, ...], float]] = []
    for i in range(SHOTS + PRACTICES):
        middle_s = STRIKE_S + STRIKE_SD_S * rng.standard_normal()
        strike_s = middle_s if i < SHOTS else None
        samples = make_bay(rng, CLIP_S, strike_s, snr_db, family, RATE_HZ, neighbours=1).samples
        body_s = middle_s + BODY_SD_S * rng.standard_normal()
        clips.append((strike_s, find_strikes(samples, RATE_HZ, 0.0), body_s))
    alone = [choose_strike(strikes) for _, strikes, _ in clips]
    truth = [strike_s for strike_s, _, _ in clips]
    with_habit = choose_together([s for _, s, _ in clips])
    with_body = [choose_strike(s, around_s=body_s) for _, s, body_s in clips]
    return {
        way: [Judged(t, c) for t, c in zip(truth, chosen, strict=True)]
        for way, chosen in zip(WAYS, (alone, with_habit, with_body), strict=True)
    }


def describe(judged: Sequence[Judged]) -> str:
    """One row: right, wrong, not heard; strikes in practice swings; all wrong ones that were sure; errors of time."""
    shots = [j for j in judged if j.strike_s is not None]
    practices = [j for j in judged if j.strike_s is None]
    right = [j for j in shots if j.is_right]
    wrong = [j for j in shots if j.chosen is not None and not j.is_right]
    false = [j.chosen for j in practices if j.chosen is not None]
    sure = [j for j in judged if j.chosen is not None and j.chosen.certainty > SURE]
    errors_ms = 1000 * np.array([j.error_s for j in right] or [np.nan])
    certainty = f"{np.median([s.certainty for s in false]):.2f}" if false else "-"
    return (
        f"{100 * len(right) / len(shots):.0f} % | {100 * len(wrong) / len(shots):.0f} % | {len(false)} of "
        f"{len(practices)} | {certainty} | {sum(not j.is_right for j in sure)} of {len(sure)} | "
        f"{errors_ms.mean():+.2f} | {errors_ms.std():.2f} | {np.abs(errors_ms).max():.1f}"
    )


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--families", type=int, nargs="+", default=[1, 2])
    parser.add_argument("--lessons", type=int, default=2)
    parser.add_argument("--processes", type=int, default=2)
    parser.add_argument("--picture", type=Path)
    args = parser.parse_args()
    print("| known | family | dB | right | wrong | practice | certainty | sure, wrong | mean ms | SD ms | worst ms |")
    print("|" + " --- |" * 11)
    shares: dict[tuple[str, int], list[float]] = {}
    with ProcessPoolExecutor(args.processes) as pool:
        asked = {
            (family, snr_db): [pool.submit(judge_lesson, family, snr_db, seed) for seed in range(args.lessons)]
            for family in args.families
            for snr_db in LEVELS_DB
        }
        for (family, snr_db), lessons in asked.items():
            for way in WAYS:
                judged = [j for lesson in lessons for j in lesson.result()[way]]
                print(f"| {way} | {family} | {snr_db:+d} | {describe(judged)} |", flush=True)
                shots = [j for j in judged if j.strike_s is not None]
                shares.setdefault((way, family), []).append(100 * sum(j.is_right for j in shots) / len(shots))
    if args.picture:
        lines = [Line(f"{way}, family {family}", shares[way, family], family == 2) for way, family in shares]
        draw_lines(args.picture, LEVELS_DB, lines, "strike over noise, dB", "own strike chosen, %")
    return 0


if __name__ == "__main__":
    sys.exit(main())
