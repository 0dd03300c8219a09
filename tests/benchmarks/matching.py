"""How well clips find their rows on made-up lessons, as the tables of docs/sync.md; run by hand, takes minutes.

python -m tests.benchmarks.matching [FIRST WORDS OF A LINE]
"""

import sys
import time
from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Any

import numpy as np

from review.sync import group_clips, match_by_clock
from tests.made_lessons import MadeLesson, make_lesson

OWN: dict[str, tuple[int, dict[str, Any]]] = {
    "gaps 25-120 s": (200, {}),
    "gaps 37-43 s": (100, {"gap_s": (37, 43)}),
    "gaps 39-41 s": (60, {"gap_s": (39, 41)}),
    "gaps 6-12 s": (60, {"gap_s": (6, 12)}),
    "no sound at all": (60, {"not_heard": 1.0}),
    "one strike in five not heard": (60, {"not_heard": 0.2}),
    "clips to 0.01 s, rows to a second": (60, {"clip_resolution_s": 0.01}),
    "both to 0.01 s": (60, {"clip_resolution_s": 0.01, "row_resolution_s": 0.01}),
    "rows to the minute": (40, {"row_resolution_s": 60.0}),
    "120 shots": (6, {"n_shots": 120}),
    "8 shots, one clip, row missing": (60, {"n_shots": 8, "n_missing_clips": 1, "n_missing_rows": 1}),
    "5 shots, one clip, row missing": (60, {"n_shots": 5, "n_missing_clips": 1, "n_missing_rows": 1}),
    "3 shots": (60, {"n_shots": 3, "n_missing_clips": 0, "n_missing_rows": 0}),
    "60 shots, 50 ppm": (30, {"n_shots": 60, "n_practice": 20, "drift_ppm": 50.0}),
    "60 shots, 50 ppm, both to 0.01 s": (
        30,
        {
            "n_shots": 60,
            "n_practice": 20,
            "drift_ppm": 50.0,
            "clip_resolution_s": 0.01,
            "row_resolution_s": 0.01,
        },
    ),
    "clock set by 420 s in mid-lesson": (60, {"jump_s": -420.0}),
    "clock set by an hour in mid-lesson": (60, {"jump_s": 3600.0}),
    "clock set by 5 s after a quarter": (60, {"jump_s": 5.0, "jump_after": 0.25, "n_shots": 40}),
}
OTHER: dict[str, tuple[int, dict[str, Any]]] = {
    "foreign, gaps 25-120 s": (1000, {}),
    "foreign, gaps 37-43 s": (300, {"gap_s": (37, 43)}),
    "foreign, gaps 39-41 s": (100, {"gap_s": (39, 41)}),
    "foreign, 8 shots": (300, {"n_shots": 8, "n_missing_clips": 1, "n_missing_rows": 1}),
    "foreign, 5 shots": (300, {"n_shots": 5, "n_missing_clips": 1, "n_missing_rows": 1}),
}


@dataclass
class Tally:
    """Counts over lessons; ``off_s`` how far the offset was off, ``in_spreads`` the same in its stated spread."""

    clips: int = 0
    right: int = 0
    wrong: int = 0
    questions: int = 0
    refused: int = 0
    off_s: list[float] = field(default_factory=list)
    in_spreads: list[float] = field(default_factory=list)
    doubtful_right: list[bool] = field(default_factory=list)

    def add(self, lesson: MadeLesson) -> None:
        """Match one lesson and count."""
        matching = match_by_clock(group_clips(lesson.moments), lesson.rows)
        got = {clip_id: pair.row_id for pair in matching.pairs for clip_id in pair.clip_ids}
        asked = {clip_id for question in matching.questions for clip_id in question.clip_ids}
        self.clips += len(lesson.truth)
        # a clip asked about is neither right nor wrong: the coach decides
        self.right += sum(got.get(c) == row and c not in asked for c, row in lesson.truth.items())
        self.wrong += sum(c in got and got[c] != row for c, row in lesson.truth.items())
        self.questions += len(matching.questions)
        self.refused += bool(matching.refused)
        self.doubtful_right += [
            lesson.truth[q.clip_ids[0]] == q.row_id for q in matching.questions if 0.5 < q.probability < 0.9
        ]
        if matching.offset_s is not None and matching.offset_spread_s:
            off = matching.offset_s - lesson.offset_s
            self.off_s.append(off)
            self.in_spreads.append(off / matching.offset_spread_s)


def run_own(names: Iterable[str]) -> None:
    """Lessons with their own table."""
    for name in names:
        n_lessons, settings = OWN[name]
        tally, begin = Tally(), time.perf_counter()
        for seed in range(n_lessons):
            tally.add(make_lesson(seed, **settings))
        each_ms = 1000 * (time.perf_counter() - begin) / n_lessons
        off = f"{np.std(tally.off_s):.3f} {np.abs(tally.off_s).max():.2f}" if tally.off_s else "-"
        spreads = f"{np.std(tally.in_spreads):.2f}" if tally.off_s else "-"
        asked = f"{sum(tally.doubtful_right)}/{len(tally.doubtful_right)}"
        print(
            f"{name:36s} {n_lessons:4d}  {tally.right:5d} of {tally.clips:5d}  wrong {tally.wrong}  "
            f"asked {tally.questions:4d}  refused {tally.refused}  off {off}  in spreads {spreads}  "
            f"asked right {asked}  {each_ms:.0f} ms",
            flush=True,
        )


def run_other(names: Iterable[str]) -> None:
    """Lessons with the table of another one at the same pace."""
    for name in names:
        n_lessons, settings = OTHER[name]
        paired = refused = asked = 0
        for seed in range(n_lessons):
            clips, rows = make_lesson(seed, **settings).moments, make_lesson(seed + 100_000, **settings).rows
            matching = match_by_clock(group_clips(clips), rows)
            paired += bool(matching.pairs)
            refused += bool(matching.refused)
            asked += bool(not matching.pairs and not matching.refused)
        print(f"{name:36s} {n_lessons:4d}  paired {paired}  refused {refused}  asked {asked}", flush=True)


def run_answers() -> None:
    """One slip of the coach in lessons that need none; one right answer in steady lessons that leave questions."""
    wrong = 0
    for seed in range(100):
        lesson = make_lesson(seed)
        random = np.random.default_rng(seed)
        clip_id = str(random.choice([c for c, row in lesson.truth.items() if row is not None]))
        slip = str(random.choice([row.row_id for row in lesson.rows if row.row_id != lesson.truth[clip_id]]))
        matching = match_by_clock(group_clips(lesson.moments), lesson.rows, {clip_id: slip})
        others = [p for p in matching.pairs if clip_id not in p.clip_ids]
        wrong += sum(lesson.truth[c] != p.row_id for p in others for c in p.clip_ids)
    print(f"one slip in each of 100 lessons: {wrong} other clips wrong", flush=True)
    n_asked = before = after = 0
    for seed in range(60):
        lesson = make_lesson(seed, gap_s=(39, 41))
        groups = group_clips(lesson.moments)
        questions = match_by_clock(groups, lesson.rows).questions
        if questions:
            clip_id = questions[len(questions) // 2].clip_ids[0]
            answered = match_by_clock(groups, lesson.rows, {clip_id: lesson.truth[clip_id]})
            n_asked, before, after = n_asked + 1, before + len(questions), after + len(answered.questions)
            wrong += sum(lesson.truth[c] != p.row_id for p in answered.pairs for c in p.clip_ids)
    print(
        f"one answer in each of {n_asked} steady lessons: {before} questions become {after}, {wrong} wrong", flush=True
    )


def main() -> None:
    """Run what was asked for, all without."""
    chosen = " ".join(sys.argv[1:])
    run_own(name for name in OWN if name.startswith(chosen))
    run_other(name for name in OTHER if name.startswith(chosen))
    if "answers".startswith(chosen):
        run_answers()


if __name__ == "__main__":
    main()
