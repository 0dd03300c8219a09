"""The strike in a clip chosen by where its camera has them; the sample's strikes are known from its making."""

from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest
from watched_lesson import CLIPS, TRUTH, Bay, began

from review.jobs.live import intake

IMPACT_S = {Path(c["file"]).name: None if c["practice_swing"] else c["impact_in_clip_s"] for c in TRUTH["clips"]}
CAM1 = [i for i, path in enumerate(CLIPS) if "cam2" not in path.name]


@pytest.fixture
def bay(tmp_path, monkeypatch):
    """One ball is faint: by itself another sound is the likelier strike."""
    read_clip = intake.read_clip

    def read_with_a_faint_one(path, *more):
        read = read_clip(path, *more)
        if path.name != made.faint:
            return read
        strike = max(read.heard, key=lambda s: s.certainty)
        faint = replace(strike, certainty=0.2, log_odds=-1.4, level_db=strike.level_db - 1.0)
        other = replace(strike, time_s=0.3, certainty=0.9, log_odds=2.2, level_db=strike.level_db - 12.0)
        return replace(read, heard=(other, faint), strike_s=0.3)

    monkeypatch.setattr(intake, "read_clip", read_with_a_faint_one)
    made = Bay(tmp_path)
    yield made
    made.close()


def play(bay, which) -> None:
    for i in which:
        bay.wait_until(began(i) + timedelta(seconds=7))
        bay.drop(i)
        bay.wait(2)


def strikes(bay) -> dict[str, float | None]:
    return {clip.original_name: clip.strike_s for clip in bay.library.clips(bay.lesson.id)}


def true_strikes(which):
    names = [CLIPS[i].name for i in which]
    return {name: None if IMPACT_S[name] is None else pytest.approx(IMPACT_S[name], abs=0.002) for name in names}


@pytest.mark.parametrize("at", [1, 6])  # before the habit is known, and after
def test_a_faint_strike_is_found_where_its_camera_has_them(bay, at):
    bay.faint = CLIPS[CAM1[at]].name
    bay.open()
    play(bay, CAM1[:4])
    assert strikes(bay)[CLIPS[CAM1[1]].name] == pytest.approx(
        0.3 if at == 1 else IMPACT_S[CLIPS[CAM1[1]].name], abs=2e-3
    )
    play(bay, CAM1[4:8])
    assert strikes(bay) == true_strikes(CAM1[:8])


def test_the_habit_is_known_again_after_a_restart(bay):
    bay.faint = CLIPS[CAM1[6]].name
    bay.open()
    play(bay, CAM1[:6])
    bay.open(pupil="")
    play(bay, CAM1[6:])
    assert strikes(bay) == true_strikes(CAM1)
