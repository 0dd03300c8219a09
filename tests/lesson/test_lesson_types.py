import math
from dataclasses import FrozenInstanceError
from datetime import date, datetime

import numpy as np
import pytest
from scipy import stats

from review.lesson import (
    KINDS,
    Z90,
    Batch,
    Clip,
    Consent,
    Drawing,
    DrawingKind,
    Handedness,
    KeyFrame,
    Measure,
    Pupil,
    Purpose,
    Source,
    Swing,
    SwingKind,
    Trace,
    label,
    split_label,
)
from review.lesson.measures import find_kind

DAY = date(2024, 5, 4)


def test_z90_is_the_normal_quantile() -> None:
    # 95 % quantile of the standard normal distribution (scipy.stats.norm)
    assert pytest.approx(stats.norm.ppf(0.95), rel=1e-15) == Z90


def test_names_of_measures_carry_their_unit() -> None:
    suffixes = {
        "°": "deg",
        " cm": "cm",
        " s": "s",
        " ms": "ms",
        " to 1": "ratio",
        " mph": "mph",
        " rpm": "rpm",
        " yd": "yd",
    }
    suffixes |= {" mm": "mm", " %": "pct", " cm/s": "cm_s", " body weights a second": "bw_s"}
    for name, kind in KINDS.items():
        assert kind.name == name
        assert name.endswith("_" + suffixes[kind.unit])
        assert bool(kind.positive) == bool(kind.negative)
        assert kind.source in (Source.DEVICE, Source.POSE, Source.PRESSURE)


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        ({"name": "mood", "value": 1.0}, "unknown measure 'mood'"),
        ({"name": "club_path_deg", "value": math.nan}, "no reason why"),
        ({"name": "club_path_deg", "value": 1.0, "own_sd": -1.0}, "cannot be negative"),
        ({"name": "club_path_deg", "value": 1.0, "shared_sd": -1.0}, "cannot be negative"),
        ({"name": "club_path_deg", "value": 1.0, "own_sd": math.inf}, "negative or infinite"),
        ({"name": "club_path_deg", "value": 1.0, "shared_sd": math.nan}, "negative or infinite"),
        ({"name": "club_path_deg", "value": math.inf}, "must be finite"),
        ({"name": "club_path_deg", "value": 1.0, "low": 2.0, "high": 0.0}, "upside down"),
    ],
)
def test_a_measure_is_checked(wrong: dict[str, object], said: str) -> None:
    with pytest.raises(ValueError, match=said):
        Measure(**wrong)  # type: ignore[arg-type]


def test_a_missing_measure_says_why_and_has_a_label() -> None:
    measure = Measure("hip_turn_deg", math.nan, "impact", why_missing="not seen")
    assert measure.label == label("hip_turn_deg", "impact") == "hip turn at impact"
    assert label("club_path_deg") == "club path"
    assert measure.kind.unit == "°"


@pytest.mark.parametrize("key", [("hip_turn_deg", "arm level"), ("pressure_move_cm", "impact"), ("club_path_deg", "")])
def test_a_label_is_read_back(key: tuple[str, str]) -> None:
    name, key_frame = split_label(label(*key))
    assert (find_kind(name), key_frame) == key


def test_types_are_frozen() -> None:
    with pytest.raises(FrozenInstanceError):
        Batch("b", 1).number = 2  # type: ignore[misc]


def test_batches_count_from_one() -> None:
    with pytest.raises(ValueError, match="count from 1"):
        Batch("b", 0)
    assert Batch("b", 1).is_closed


@pytest.mark.parametrize("stature_m", [0.5, 2.6, 175.0])
def test_a_stature_in_the_wrong_unit_is_refused(stature_m: float) -> None:
    with pytest.raises(ValueError, match="stature"):
        Pupil("p", "A", Handedness.LEFT, stature_m)


def test_a_pupil_needs_a_name_and_keeps_the_note_out_of_print() -> None:
    with pytest.raises(ValueError, match="name"):
        Pupil("p", "  ", Handedness.LEFT)
    assert "knee" not in repr(Pupil("p", "A", Handedness.LEFT, private_note="sore knee"))


def test_consent_withdrawn_covers_nothing_from_that_day_on() -> None:
    given = Consent("A", DAY, frozenset({Purpose.KEEP}), withdrawn_on=date(2024, 5, 6))
    assert [given.covers(Purpose.KEEP, date(2024, 5, d)) for d in (3, 4, 5, 6)] == [False, True, True, False]
    assert not Consent("A", DAY, frozenset(Purpose), withdrawn_on=DAY).is_running(DAY)
    with pytest.raises(ValueError, match="withdrawn.*before it was given"):
        Consent("A", DAY, frozenset(), withdrawn_on=date(2024, 5, 3))


def test_consent_runs_from_its_first_to_its_last_day() -> None:
    consent = Consent("A", DAY, frozenset({Purpose.KEEP}), until=date(2024, 5, 6))
    assert [consent.covers(Purpose.KEEP, date(2024, 5, d)) for d in (3, 4, 6, 7)] == [False, True, True, False]
    assert not consent.covers(Purpose.SHARE, DAY)
    assert Consent("A", DAY, frozenset({Purpose.KEEP})).covers(Purpose.KEEP, date(2090, 1, 1))
    with pytest.raises(ValueError, match="name of the person"):
        Consent(" ", DAY, frozenset())
    with pytest.raises(ValueError, match="before it was given"):
        Consent("A", DAY, frozenset(), until=date(2024, 5, 3))


def test_only_the_guardian_agrees_for_a_minor() -> None:
    own = Consent("A", DAY, frozenset({Purpose.SHARE}))
    child = Pupil("p", "A", Handedness.RIGHT, consent=own, is_minor=True, guardian="B")
    assert not child.allows(Purpose.SHARE, DAY)
    by_guardian = Consent("B", DAY, frozenset({Purpose.SHARE}))
    assert Pupil("p", "A", Handedness.RIGHT, consent=by_guardian, is_minor=True, guardian="B").allows(
        Purpose.SHARE, DAY
    )
    assert Pupil("p", "A", Handedness.RIGHT, consent=own).allows(Purpose.SHARE, DAY)
    assert not Pupil("p", "A", Handedness.RIGHT).allows(Purpose.KEEP, DAY)


@pytest.mark.parametrize("certainty", [-0.1, 1.1, math.nan])
def test_certainty_is_a_part_of_one(certainty: float) -> None:
    with pytest.raises(ValueError, match="certainty"):
        KeyFrame("impact", 1.0, 30, certainty, "pose")


def test_frames_count_from_zero() -> None:
    with pytest.raises(ValueError, match="frame"):
        KeyFrame("impact", 1.0, -1, 0.5, "pose")


@pytest.mark.parametrize("time_scale", [0.0, -1.0])
def test_time_does_not_stand_still_or_run_back(time_scale: float) -> None:
    with pytest.raises(ValueError, match="time_scale"):
        Clip("c", "0" * 64, "f", "f", time_scale=time_scale)


@pytest.mark.parametrize(
    ("time_s", "xy_cm", "force_n", "said"),
    [
        ([0.0, 0.1], [[0.0, 0.0]], None, "time_s"),
        ([[0.0, 0.1]], [[0.0, 0.0]], None, "time_s"),
        ([0.0, 0.1], [[0.0, 0.0], [1.0, 1.0]], [700.0], "force_n"),
        ([0.0, 0.0], [[0.0, 0.0], [1.0, 1.0]], None, "increase"),
        ([0.1, 0.0], [[0.0, 0.0], [1.0, 1.0]], None, "increase"),
    ],
)
def test_a_trace_is_checked(
    time_s: list[float], xy_cm: list[list[float]], force_n: list[float] | None, said: str
) -> None:
    force = None if force_n is None else np.array(force_n)
    with pytest.raises(ValueError, match=said):
        Trace("t", datetime(2024, 5, 4, 10), np.array(time_s), np.array(xy_cm), force)


@pytest.mark.parametrize(
    ("kind", "n_points"),
    [(DrawingKind.LINE, 1), (DrawingKind.ANGLE, 2), (DrawingKind.CIRCLE, 3), (DrawingKind.TEXT, 0)],
)
def test_a_drawing_has_the_points_of_its_kind(kind: DrawingKind, n_points: int) -> None:
    with pytest.raises(ValueError, match="points"):
        Drawing("d", kind, ((0.5, 0.5),) * n_points, 0.0, 1.0)


def test_a_drawing_does_not_end_before_it_starts() -> None:
    with pytest.raises(ValueError, match="cannot end"):
        Drawing("d", DrawingKind.LINE, ((0.0, 0.0), (1.0, 1.0)), 2.0, 1.0)
    assert Drawing("d", DrawingKind.FREEHAND, ((0.0, 0.0),) * 9, 1.0, 1.0).text == ""


def test_a_swing_is_a_shot_with_nothing_on_it_until_told() -> None:
    swing = Swing("s", 1)
    assert swing.kind is SwingKind.SHOT
    assert (swing.clips, swing.shot, swing.trace, swing.left_out) == ((), None, None, "")
