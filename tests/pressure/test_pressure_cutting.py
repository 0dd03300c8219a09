from datetime import datetime, timedelta

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from review.pressure import PressureRecord, cut_trace, find_pieces

START = datetime(2024, 10, 12, 10, 0, 0)


def _record(time_s: np.ndarray, start: datetime | None = START) -> PressureRecord:
    time_s = np.asarray(time_s, dtype=float)
    xy_cm = np.column_stack([time_s, -time_s])
    return PressureRecord("p.csv", "ab" * 32, start, time_s, xy_cm, 600.0 + time_s)


def _at(seconds: float) -> datetime:
    return START + timedelta(seconds=seconds)


# Two shots, 100 samples a second: 0..6 s and 20..26 s.
TWO = _record(np.concatenate([np.arange(601), 2000 + np.arange(601)]) / 100)


def test_pieces_are_parted_at_the_gap() -> None:
    assert find_pieces(TWO) == (slice(0, 601), slice(601, 1202))


def test_a_few_lost_samples_are_no_gap() -> None:
    time_s = np.delete(np.arange(100) / 100, [50, 51, 52])
    assert find_pieces(_record(time_s)) == (slice(0, 97),)


@given(st.lists(st.floats(1e-3, 50), min_size=0, max_size=40))
def test_pieces_cover_every_sample_once(steps: list[float]) -> None:
    record = _record(np.concatenate([[0.0], np.cumsum(steps)]))
    covered = [i for piece in find_pieces(record) for i in range(len(record.time_s))[piece]]
    assert covered == list(range(len(record.time_s)))


def test_the_piece_around_a_shot() -> None:
    trace = cut_trace(TWO, _at(23.5), before_s=3.0, after_s=2.0, id="t")
    assert trace is not None
    assert trace.id == "t"
    assert trace.started_at == _at(20.5)
    assert len(trace.time_s) == 501  # both ends of 5.00 s at 100 a second
    assert trace.time_s[[0, -1]] == pytest.approx([0.0, 5.0], abs=1e-9)
    assert trace.xy_cm[0].tolist() == [20.5, -20.5]
    assert trace.force_n is not None
    assert trace.force_n[-1] == 625.5


def test_a_window_wider_than_the_piece_stops_at_its_ends() -> None:
    trace = cut_trace(TWO, _at(1.0), before_s=3.0, after_s=30.0)
    assert trace is not None
    assert trace.started_at == START
    assert trace.time_s[-1] == pytest.approx(6.0, abs=1e-9)


def test_the_nearest_piece_counts_where_none_holds_the_strike() -> None:
    late = cut_trace(TWO, _at(7.0))
    assert late is not None
    assert late.started_at == _at(4.0)
    both = cut_trace(TWO, _at(18.0), before_s=15.0, after_s=15.0)
    assert both is not None
    assert both.started_at == _at(20.0)


@pytest.mark.parametrize("seconds", [-10.0, 12.0, 40.0])
def test_nothing_was_recorded_around_that_moment(seconds: float) -> None:
    assert cut_trace(TWO, _at(seconds)) is None


def test_without_a_clock_nothing_can_be_cut() -> None:
    assert cut_trace(_record(np.arange(100) / 100, None), _at(0.5)) is None


def test_a_single_sample_is_no_trace() -> None:
    assert cut_trace(_record(np.array([0.0])), START) is None


def test_cutting_copies_and_gives_the_same_id_again() -> None:
    first, again = cut_trace(TWO, _at(3.0)), cut_trace(TWO, _at(3.0))
    assert first is not None
    assert again is not None
    assert first.id == again.id
    assert first.id != cut_trace(TWO, _at(23.0)).id
    first.xy_cm[:] = 99
    assert TWO.xy_cm[0, 0] == 0.0


def test_an_empty_window_is_a_programmers_mistake() -> None:
    with pytest.raises(ValueError, match="must not be empty"):
        cut_trace(TWO, START, before_s=0.0, after_s=0.0)


@pytest.mark.parametrize(
    ("time_s", "xy_cm", "message"),
    [
        (np.array([0.0, 0.0]), np.zeros((2, 2)), "increase"),
        (np.array([0.0, np.nan]), np.zeros((2, 2)), "increase"),
        (np.array([0.0, 1.0]), np.zeros((2, 3)), r"xy_cm \(n, 2\)"),
    ],
)
def test_a_record_is_checked_at_its_border(time_s: np.ndarray, xy_cm: np.ndarray, message: str) -> None:
    with pytest.raises(ValueError, match=message):
        PressureRecord("p", "a", START, time_s, xy_cm)


def test_force_must_fit() -> None:
    with pytest.raises(ValueError, match="force_n"):
        PressureRecord("p", "a", START, np.array([0.0, 1.0]), np.zeros((2, 2)), np.zeros(3))
