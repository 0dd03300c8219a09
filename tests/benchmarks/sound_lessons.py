"""Whole lessons from made-up sound to pairs, as the table and picture of docs/sync.md; run by hand, takes half an hour.

python -m tests.benchmarks.sound_lessons [N_LESSONS] [--picture docs/img/lessons_in_noise.png]
"""

import argparse
import math
from dataclasses import dataclass
from pathlib import Path

from review.jobs.pairing.matching import match_lesson
from tests.bay.picture import Line, draw_lines
from tests.made_sound_lessons import TRIGGER_SD_S, SoundLesson, make_sound_lesson

LEVELS_DB = (6, 0, -6, -12)
KINDS = {"triggered": TRIGGER_SD_S, "anywhere": math.inf}


@dataclass
class Tally:
    """Counts over lessons: ``wrong`` pairs were made with more than 0.9, ``heard`` strikes of ``shots`` filmed."""

    clips: int = 0
    right: int = 0
    wrong: int = 0
    asked: int = 0
    refused: int = 0
    heard: int = 0
    shots: int = 0

    def add(self, lesson: SoundLesson) -> None:
        """Match one lesson and count."""
        matched = match_lesson(lesson.clips, lesson.shots, ())
        got = {clip.id: swing.shot and swing.shot.id for swing in matched.swings for clip in swing.clips}
        asked = {clip_id for question in matched.matching.questions for clip_id in question.clip_ids}
        practice = {f"clip{swing.number:03d}" for swing in lesson.swings if swing.is_practice}
        self.clips += len(lesson.truth)
        self.right += sum(got[c] == row and c not in asked for c, row in lesson.truth.items())
        self.wrong += sum(got[c] is not None and got[c] != row for c, row in lesson.truth.items())
        self.asked += len(asked)
        self.refused += bool(matched.matching.refused)
        self.heard += sum(clip.strike_s is not None for clip in lesson.clips if clip.id not in practice)
        self.shots += sum(clip.id not in practice for clip in lesson.clips)


def main() -> None:
    """Run all, print and draw."""
    parser = argparse.ArgumentParser()
    parser.add_argument("n_lessons", nargs="?", type=int, default=3)
    parser.add_argument("--picture", type=Path)
    options = parser.parse_args()
    lines = []
    for family in (1, 2):
        for kind, trigger_sd_s in KINDS.items():
            right, heard = [], []
            for snr_db in LEVELS_DB:
                tally = Tally()
                for seed in range(options.n_lessons):
                    tally.add(make_sound_lesson(100 + seed, family, snr_db, trigger_sd_s=trigger_sd_s))
                right.append(100 * tally.right / tally.clips)
                heard.append(100 * tally.heard / tally.shots)
                print(
                    f"| {family} | {kind} | {snr_db:+d} | {tally.heard} of {tally.shots} | {tally.right} of "
                    f"{tally.clips} | {tally.wrong} | {tally.asked} | {tally.refused} |",
                    flush=True,
                )
            lines.append(Line(f"{kind}, noise {family}", right, is_dashed=family == 2))
            if kind == "triggered":
                lines.append(Line(f"strikes heard, noise {family}", heard, is_dashed=family == 2))
    if options.picture is not None:
        draw_lines(options.picture, LEVELS_DB, lines, "strike over noise, dB", "clips right, strikes heard, %")


if __name__ == "__main__":
    main()
