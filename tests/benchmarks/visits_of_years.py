"""What is said of pupils over eight visits with known truth, and how often it is wrong; run by hand.

python -m tests.benchmarks.visits_of_years [N_PUPILS]
"""

import argparse
from collections import Counter

import numpy as np

from review.compare.visits import Held
from tests.made_visits import TrueVisit, play, rank

N_VISITS, RETURN_AT = 8, 4


def plans(change: float) -> dict[str, tuple[TrueVisit, ...]]:
    """Nothing ever moves; it moves once and stays; it moves once and is gone from the fourth visit on."""
    moved, after, gone = TrueVisit((0.0, change)), TrueVisit((change, change)), TrueVisit((0.0, 0.0))
    return {
        "nothing moves": (gone,) * N_VISITS,
        "moved once, stays": (moved, *(after,) * (N_VISITS - 1)),
        "gone from the fourth": (moved, *(after,) * (RETURN_AT - 2), *(gone,) * (N_VISITS - RETURN_AT + 1)),
    }


def main() -> None:
    """Print two tables for docs/history.md."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("n_pupils", nargs="?", type=int, default=1000)
    n_pupils = parser.parse_args().n_pupils
    print("| truth | change | balls | day to day | a visit: held | came back | a pupil: ever held | ever came back |")
    print("| --- | --- | --- | --- | --- | --- | --- | --- |")
    for change in (2.0, 4.0):
        for name, visits in plans(change).items():
            for n_shots, day_sd in ((6, 0.0), (6, 0.5), (10, 0.5)):
                print(f"| {name} | {change:g} | {n_shots} | {day_sd:g} | {count(visits, n_shots, day_sd, n_pupils)} |")
    print("\n| a cue's true change, times given | right cue first | interval holds it | none moves it: one shown to |")
    print("| --- | --- | --- | --- |")
    for effect, times in ((1.0, 1), (1.0, 3), (2.0, 1), (2.0, 3)):
        print(f"| {effect:g}, {times} | {' | '.join(f'{v:.0%}' for v in count_cues(effect, times, n_pupils))} |")


def count(visits: tuple[TrueVisit, ...], n_shots: int, day_sd: float, n_pupils: int) -> str:
    """Shares in percent: of visits (those after the truth has changed for the last time), and of pupils, ever."""
    random = np.random.default_rng(9)
    later = RETURN_AT - 1 if visits[RETURN_AT - 1].means[0] == 0 and visits[0].means[-1] != 0 else 1
    said: Counter[Held] = Counter()
    ever: Counter[Held] = Counter()
    for _ in range(n_pupils):
        played = play(visits, random, n_shots, day_sd)[later:]
        outcomes = [visit.kept.outcome for visit in played if visit.kept is not None]
        said.update(outcomes)
        ever.update(set(outcomes))
    n_visits = n_pupils * (N_VISITS - later)
    shares = [said[held] / n_visits for held in (Held.HELD, Held.CAME_BACK)]
    shares += [ever[held] / n_pupils for held in (Held.HELD, Held.CAME_BACK)]
    return " | ".join(f"{share:.1%}" for share in shares)


def count_cues(effect: float, times: int, n_pupils: int) -> tuple[float, float, float]:
    """Three cues, each given ``times`` times, one of which moves the measure by ``-effect``."""
    random = np.random.default_rng(9)
    right = holds = shown = 0
    for _ in range(n_pupils):
        visit = TrueVisit((3.0, 3.0, 3.0 - effect, 3.0 - effect), ("quiet", "belt", "slow"))
        ranked = rank(play((visit,) * times, random), wanted=-1)
        right += ranked[0].cue == "belt"
        belt = next(cue for cue in ranked if cue.cue == "belt")
        holds += belt.low <= -effect <= belt.high
        none = rank(play((TrueVisit((3.0,) * 4, ("quiet", "belt", "slow")),) * times, random))
        shown += any(cue.low * cue.high > 0 for cue in none)
    return right / n_pupils, holds / n_pupils, shown / n_pupils


if __name__ == "__main__":
    main()
