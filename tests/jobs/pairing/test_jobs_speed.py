"""Slow-motion files through measuring: a sample clip whose stamps are stretched, its pictures untouched."""

from dataclasses import replace

import numpy as np
import pytest

from review.cli.main import main
from review.errors import BadInputError
from review.jobs.measuring import one_swing
from review.jobs.measuring.landmarks import TrackOrder, track_clip
from review.jobs.measuring.one_swing import ClipToMeasure, measure_files, measure_tracks
from review.jobs.measuring.report import make_measure_report
from review.jobs.pairing.speed import check_time_scale
from review.lesson import Handedness
from review.media import probe_video
from review.pose import Effort
from tests.jobs.slow_clips import SAMPLE, retime

STATURE_M = 1.70


@pytest.fixture(scope="module")
def track():
    return track_clip(TrackOrder(SAMPLE, Effort.QUICK))


def slowed_track(track, path):
    return replace(track, time_s=probe_video(path).time_s)


def measure_slowed(track, path, time_scale=None):
    clip = ClipToMeasure(path, time_scale=time_scale)
    return measure_tracks([clip], [slowed_track(track, path)], Handedness.RIGHT, STATURE_M)


def test_an_ordinary_clip_is_at_speed(track):
    swing = measure_tracks([ClipToMeasure(SAMPLE)], [track], Handedness.RIGHT, STATURE_M)
    assert swing.clips[0].seen.time_scale == 1.0
    assert swing.clips[0].time_scale_found
    assert make_measure_report(swing)["clips"][0]["time_scale_found"] is True


def test_a_slow_motion_file_with_uneven_steps_gives_the_same_swing(track, tmp_path):
    slow = retime(tmp_path / "slow.mp4", 4, jitter_s=0.02)
    steps = np.diff(probe_video(slow).time_s)
    assert steps.max() > 1.2 * steps.min()
    ordinary = measure_tracks([ClipToMeasure(SAMPLE)], [track], Handedness.RIGHT, STATURE_M)
    found = measure_files([ClipToMeasure(slow)], Handedness.RIGHT, STATURE_M, Effort.QUICK)
    assert found.clips[0].seen.time_scale == 0.25
    assert make_measure_report(found)["clips"][0]["time_scale"] == 0.25
    for before, after in zip(ordinary.tempo[:2], found.tempo[:2], strict=True):
        assert after.value == pytest.approx(before.value, abs=0.04)


def test_between_two_speeds_it_is_asked_and_can_be_given(track, tmp_path):
    """A swing of 1.5 s as it plays may be a very slow one, or a fast one at half speed."""
    slow = retime(tmp_path / "between.mp4", 1.4)
    with pytest.raises(BadInputError, match=r"between\.mp4.*not clear.*--time-scale"):
        measure_slowed(track, slow)
    given = measure_slowed(track, slow, 0.5)
    assert given.clips[0].seen.time_scale == 0.5
    assert not given.clips[0].time_scale_found


def test_the_command_asks_with_exit_2(track, tmp_path, monkeypatch, capsys):
    slow = retime(tmp_path / "between.mp4", 1.4)
    monkeypatch.setattr(one_swing, "track_clips", lambda orders, progress: ({"0": slowed_track(track, slow)}, {}))
    assert main(["measure", str(slow), "--handed", "right", "--quick"]) == 2
    assert "--time-scale" in capsys.readouterr().err
    assert main(["measure", str(slow), "--handed", "right", "--quick", "--time-scale", "0.5"]) == 0
    assert "x 0.5 (as given)" in capsys.readouterr().out


def test_a_clip_slowed_in_part_is_refused_unless_its_speed_is_given(track, tmp_path):
    slow = retime(tmp_path / "ramp.mp4", 2, from_s=1.5)
    with pytest.raises(BadInputError, match=r"ramp\.mp4: At 1\.\d+ s this clip goes from 60 to 30 frames a second"):
        measure_slowed(track, slow)
    assert measure_slowed(track, slow, 1.0).clips[0].seen.time_scale == 1.0


@pytest.mark.parametrize("value", [0.0, -1.0, float("nan"), float("inf"), 1000.0])
def test_a_senseless_scale_is_refused(value):
    with pytest.raises(BadInputError, match="--time-scale"):
        check_time_scale(value, "--time-scale")
