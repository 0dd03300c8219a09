"""The player set-up: a response with a known bias, and set-ups done badly."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from review.body.holds import Hold, HoldReading, find_position, mean_turns, read_hold, read_holds
from review.body.player_setup import LARGEST_SHIFT_DEG, LineCorrection, PlayerCorrection, fit_correction
from review.body.response import TURNS_DEG, read_turns
from review.errors import BadInputError
from review.pose import LandmarkTrack

DATA = Path(__file__).parents[1] / "data"
GRID = np.arange(-150.0, 181.0, 5.0)
# hip and shoulder turn at address, on the way back, at the top, on the way down, at impact and after it
POSITIONS = np.array([(0, 0), (-15, -35), (-30, -60), (-42, -85), (-15, -60), (15, -25), (38, 20), (50, 40)], float)
HIPS = POSITIONS[:, 0]


def rows_around(turn_deg, sd_deg=12.0, n_frames=8):
    """Log likelihood of a still body that reads as ``turn_deg``."""
    return np.tile(-0.5 * ((GRID - turn_deg) / sd_deg) ** 2, (n_frames, 1))


def bias_of(position):
    """A response that reads up to 12 degrees too little turn, on the way back as on the way through."""
    return -12.0 * np.sin(np.radians(position.sum(axis=1)))


def readings(marks, error):
    return [
        read_hold(rows_around(turn + off), GRID, np.tile(position, (8, 1)), mark)
        for turn, off, position, mark in zip(HIPS, error, POSITIONS, marks, strict=True)
    ]


def test_a_hold_is_read_with_its_interval():
    got = read_hold(rows_around(-23.0), GRID, np.zeros((8, 2)), -30.0)
    assert got.problem == ""
    assert got.read_deg == pytest.approx(-23.0, abs=0.01)
    assert got.error_deg == pytest.approx(7.0, abs=0.01)
    # 5 % and 95 % points of a normal distribution lie 1.645 standard deviations out; a hold is worth 0.65 pictures
    half = 1.645 * 12 / np.sqrt(0.65)
    assert (got.low_deg, got.high_deg) == pytest.approx((-23 - half, -23 + half), abs=0.3)
    assert got.is_inside
    assert not replace(got, marked_deg=5.0).is_inside


def test_a_known_bias_is_found_and_partly_removed():
    bias = bias_of(POSITIONS)
    fit = fit_correction(readings(HIPS, bias))
    assert fit.why_unused == ""
    # a swing between the held positions
    between = (POSITIONS[1:] + POSITIONS[:-1]) / 2
    true = between[:, 0]
    read = np.concatenate([rows_around(t + b, n_frames=1) for t, b in zip(true, bias_of(between), strict=True)])
    before = np.abs(mean_turns(read, GRID) - true)
    after = np.abs(mean_turns(fit.correction.apply(read, GRID, between), GRID) - true)
    assert after.mean() < 0.75 * before.mean()  # it leans toward nothing
    assert (after < before + 1.0).all()


def test_one_hold_alone_follows_the_closed_form():
    """Far from all others a shift is the error shrunk by prior / (prior + noise), noise by its Student weight."""
    error = 9.0
    apart = [
        HoldReading(m, m + error, m - 9, m + 27, (200.0 * i, 0.0)) for i, m in enumerate((0.0, -15.0, -30.0, 15.0))
    ]
    shift = fit_correction(apart).correction.shift_deg(np.array([[200.0, 0.0]]))[0]
    noise = 13.0**2 * (4 + ((error - shift) / 13.0) ** 2) / 5
    assert shift == pytest.approx(error * 25 / (25 + noise), rel=0.01)


def test_a_perfect_response_stays_as_it_is():
    fit = fit_correction(readings(HIPS, np.zeros(8)))
    assert np.abs(fit.correction.shift_deg(POSITIONS)).max() < 0.1


def test_never_larger_than_the_limit():
    huge = LineCorrection(POSITIONS, np.full(8, 5.0))
    assert np.abs(huge.shift_deg(POSITIONS)).max() == LARGEST_SHIFT_DEG


def test_one_bad_hold_counts_little():
    error = bias_of(POSITIONS)
    plain = fit_correction(readings(HIPS, error)).correction
    error[4] += 25.0
    fit = fit_correction(readings(HIPS, error))
    assert fit.why_unused == ""
    assert np.abs(fit.correction.shift_deg(POSITIONS) - plain.shift_deg(POSITIONS)).mean() < 2.0


def test_errors_without_a_pattern_are_not_corrected():
    error = np.array([9.0, -9, 9, -9, 9, -9, 9, -9])
    assert "no pattern" in fit_correction(readings(HIPS, error)).why_unused


@pytest.mark.parametrize(
    ("marks", "words"),
    [
        (-HIPS, "the other way"),
        (np.roll(HIPS, 4), "do not follow the marks|the other way"),
        (HIPS * 0.1, "reach over 9 degrees"),
        (HIPS * 2.5, "do not follow"),
        (HIPS + 30.0 * np.array([1, -1, 1, 1, -1, 1, -1, 1]), "beside the marks"),
    ],
)
def test_a_set_up_done_badly_is_refused_and_changes_nothing(marks, words):
    fit = fit_correction(readings(marks, np.zeros(8)))
    assert fit.why_unused
    assert any(word in fit.why_unused for word in words.split("|"))
    rows = rows_around(-20.0)
    assert fit.correction.apply(rows, GRID, np.zeros((8, 2))) is rows


def test_marks_scattered_by_ten_degrees_move_little():
    """Without any bias to be found, what is done wrongly is what is added."""
    rng = np.random.default_rng(5)
    added = []
    for _ in range(50):
        fit = fit_correction(readings(HIPS + rng.normal(0, 10, 8), np.zeros(8)))
        added.append(np.abs(fit.correction.shift_deg(POSITIONS)).mean())
    assert np.mean(added) < 3.0


def test_too_few_holds_are_refused():
    assert "at least 4" in fit_correction(readings(HIPS, np.zeros(8))[:3]).why_unused
    assert "there are 0" in fit_correction([]).why_unused


def moving(turn_deg, mark):
    rows = np.concatenate([rows_around(turn_deg + step, n_frames=1) for step in np.linspace(0, 15, 9)])
    return read_hold(rows, GRID, np.zeros((9, 2)), mark)


def test_a_body_that_moves_is_told_and_its_hold_not_used():
    got = moving(-20.0, -20.0)
    assert "moved by 1" in got.problem
    held = readings(HIPS, np.zeros(8))
    assert "more than a third" in fit_correction([*held[:5], *(moving(t, t) for t in (0.0, 15.0, 30.0))]).why_unused
    assert fit_correction([*held, got]).why_unused == ""


def test_a_reading_that_scatters_is_told():
    rows = np.concatenate([rows_around(turn, n_frames=1) for turn in (-20, 5) * 6])
    assert "scatters by 12" in read_hold(rows, GRID, np.zeros((12, 2)), -10.0).problem


def test_a_hold_with_few_pictures_is_not_used():
    assert "too few" in read_hold(rows_around(0.0, n_frames=2), GRID, np.zeros((2, 2)), 0.0).problem


@pytest.mark.parametrize(
    ("values", "words"),
    [
        ({"from_s": 3.0, "to_s": 2.0, "hip_turn_deg": 0.0}, "earlier to a later"),
        ({"from_s": 1.0, "to_s": 2.0}, "hip_turn_deg or shoulder_turn_deg"),
        ({"from_s": 1.0, "to_s": 2.0, "hip_turn_deg": 200.0}, "within 120"),
        ({"from_s": 1.0, "to_s": 2.0, "hip_turn_deg": float("nan")}, "within 120"),
    ],
)
def test_impossible_holds_are_refused(values, words):
    with pytest.raises(ValueError, match=words):
        Hold(**values)


@pytest.fixture(scope="module")
def rendered():
    with np.load(DATA / "rendered_holds.npz") as data:
        return dict(data)


def rendered_track(data, part):
    width, height = (int(v) for v in data["size_px"])
    image, world = (data[f"{part}_{name}"].astype(float) for name in ("image_px", "world_m"))
    seen = np.ones(image.shape[:2])
    return LandmarkTrack(data[f"{part}_time_s"], image, world, seen, width, height, "full", "tracked")


def rendered_holds(data):
    """The true turns of the posed skeleton as if they were marked; the first hold is the address."""
    time_s, number = data["hold_time_s"], data["hold_of"]
    hips, shoulders = data["hold_hip_turn_deg"], data["hold_shoulder_turn_deg"]
    address = number == 0
    return [
        Hold(
            float(time_s[at][0]),
            float(time_s[at][-1]),
            float((hips[at] - hips[address].mean()).mean()),
            float((shoulders[at] - shoulders[address].mean()).mean()),
        )
        for at in (number == i for i in range(8))
    ]


def test_rendered_holds_are_read_near_their_truth(rendered):
    read = read_holds(rendered_track(rendered, "hold"), rendered_holds(rendered))
    for line in ("hip", "shoulder"):
        assert len(read[line]) == 7  # all but the address
        errors = np.abs([reading.error_deg for _, reading in read[line]])
        assert np.median(errors) < 12.0  # 7 in the median of 28 rendered clips
        assert sum(reading.is_inside for _, reading in read[line]) >= 5


def test_rendered_holds_help_the_swing_of_the_same_player(rendered):
    read = read_holds(rendered_track(rendered, "hold"), rendered_holds(rendered))
    track = rendered_track(rendered, "swing")
    still = slice(0, int(track.time_s.searchsorted(rendered["address_s"])))
    turns = read_turns(track, still)
    position = find_position(turns)
    before, after = [], []
    for line in ("hip", "shoulder"):
        fit = fit_correction([reading for _, reading in read[line]])
        true = rendered[f"swing_{line}_turn_deg"]
        true = true - true[still].mean()
        rows = turns[line].from_address
        corrected = PlayerCorrection({line: fit.correction}).apply(line, rows, TURNS_DEG, position)
        before.append(np.abs(mean_turns(rows, TURNS_DEG) - true))
        after.append(np.abs(mean_turns(corrected, TURNS_DEG) - true))
    assert np.mean(after) < np.mean(before)


def test_turns_are_counted_from_the_address_hold(rendered):
    """Marks that are all 10 degrees beside the truth give the same readings and errors."""
    track, holds = rendered_track(rendered, "hold"), rendered_holds(rendered)
    beside = [replace(h, hip_turn_deg=h.hip_turn_deg + 9, shoulder_turn_deg=h.shoulder_turn_deg + 9) for h in holds]
    plain, moved = read_holds(track, holds), read_holds(track, beside)
    for (_, a), (_, b) in zip(plain["hip"], moved["hip"], strict=True):
        assert a.error_deg == pytest.approx(b.error_deg)


def test_without_an_address_hold_there_is_nothing_to_count_from(rendered):
    holds = [replace(h, hip_turn_deg=h.hip_turn_deg + 40) for h in rendered_holds(rendered)[:2]]
    with pytest.raises(BadInputError, match="hip_turn_deg near 0"):
        read_holds(rendered_track(rendered, "hold"), holds)
