"""Recordings without a clock put to the rows of the sample lesson: the same impact as by the clock, or refused."""

from dataclasses import replace
from datetime import date, datetime, timedelta
from pathlib import Path

import numpy as np
import pytest

from review.jobs.adding import add_lesson
from review.jobs.pairing.matching import match_lesson
from review.jobs.pairing.shot_pieces import number_rows
from review.jobs.pressure.impact_in_trace import BY_FORCE, BY_MOVE, has_rival_move, place_impact, see_body
from review.lesson import Trace
from review.library import Library
from review.pressure import find_pieces, read_trace_folder, read_trace_table
from review.shots import ColumnMapping, read_shot_table
from tests.jobs.lessons_of_one_clip import plan_lesson
from tests.jobs.resounded import CLIPS, landmarks, true_impact_s

SAMPLE = Path(__file__).parents[3] / "sample_clips"
ON = date(2026, 3, 14)
HEAD = "time [s],x toward target [cm],y toward toes [cm],vertical force [N]\n"
FILMED = datetime(2026, 3, 14, 10, 15, 50)
"""The row of the clips whose landmarks are kept."""
LOST = 13
"""Of the sample's 16 recordings the one whose row the table lost (the 14th), counted from 0."""


@pytest.fixture(scope="module")
def by_clock():
    record = read_trace_table(SAMPLE / "pressure.csv", on_date=ON)
    shots = read_shot_table(SAMPLE / "shots.csv", on_date=ON).shots
    return record, shots, {s.shot.id: s.trace for s in match_lesson((), shots, (), (record,)).swings}


@pytest.fixture(scope="module")
def cut(by_clock):
    """Each recording of the sample as lines with its time from zero, in the order of the shots."""
    record = by_clock[0]
    lines = []
    for piece in find_pieces(record):
        time_s = record.time_s[piece] - record.time_s[piece.start]
        cells = np.column_stack([time_s, record.xy_cm[piece], record.force_n[piece]])
        lines.append(["{:.2f},{:.2f},{:.2f},{:.0f}\n".format(*row) for row in cells])
    return lines


def write_table(path, cut, numbers):
    lines = ["shot," + HEAD, *(f"{n},{line}" for n, lines in zip(numbers, cut, strict=True) for line in lines)]
    path.write_text("".join(lines), encoding="utf-8")
    return path


def with_row(cut):
    return [lines for i, lines in enumerate(cut) if i != LOST]


def numbered(shots, numbers):
    """The rows as a table with a column of the shot's number gives them."""
    return tuple(replace(shot, extra={"shot": str(n)}) for shot, n in zip(shots, numbers, strict=True))


def match(record, shots):
    return match_lesson((), shots, (), (record,), numbers=number_rows(shots))


def begins(trace, by_clock):
    """Where in the sample's record a trace begins, seconds."""
    record = by_clock[0]
    same = (record.xy_cm[:, None] == trace.xy_cm[:3]).all(axis=2)
    first = np.flatnonzero(same[:-2, 0] & same[1:-1, 1] & same[2:, 2])
    return float(record.time_s[int(first[0])])


def check(matched, by_clock):
    """Every row has the samples it has by the clock, and a clock that is right to a second."""
    assert matched.refused == ()
    for swing in matched.swings:
        right = by_clock[2][swing.shot.id]
        assert np.array_equal(swing.trace.xy_cm, right.xy_cm)
        assert np.array_equal(swing.trace.force_n, right.force_n)
        assert swing.trace.is_clock_of_shot
        assert abs((swing.trace.started_at - right.started_at).total_seconds()) < 1.0


@pytest.fixture(scope="module")
def in_order(by_clock, cut, tmp_path_factory):
    path = write_table(tmp_path_factory.mktemp("column") / "p.csv", with_row(cut), range(1, 16))
    return match(read_trace_table(path), by_clock[1])


def test_as_many_recordings_as_rows_go_in_their_order(in_order, by_clock):
    check(in_order, by_clock)
    assert "p.csv: 15 recordings without a clock put to rows of shots.csv in their order." in in_order.notes


def test_a_table_with_its_latest_row_first_is_put_in_order(by_clock, cut, tmp_path):
    path = write_table(tmp_path / "p.csv", with_row(cut), range(1, 16))
    check(match(read_trace_table(path), by_clock[1][::-1]), by_clock)


def test_files_named_by_the_shots_number_find_their_rows(by_clock, cut, tmp_path):
    for n, lines in enumerate(cut, start=1):
        (tmp_path / f"swing {n}.csv").write_text(HEAD + "".join(lines), encoding="utf-8")
    record = read_trace_folder(tmp_path, read_trace_table)
    numbers = [n for n in range(1, 17) if n != LOST + 1]
    matched = match(record, numbered(by_clock[1], numbers))
    check(matched, by_clock)
    assert any("left out, because the table has no row of that number: swing 14.csv." in note for note in matched.notes)
    for file in (1, 5):
        (tmp_path / f"swing {file}.csv").unlink()
    fewer = match(read_trace_folder(tmp_path, read_trace_table), numbered(by_clock[1], numbers))
    assert [s.shot.row_number for s in fewer.swings if s.trace is None] == [1, 5]
    assert any("no recording for 2 rows of shots.csv" in note for note in fewer.notes)


@pytest.mark.parametrize("view", list(CLIPS))
@pytest.mark.parametrize("off_s", [-1.0, 0.0, 1.0])
def test_impact_is_where_it_is_by_the_clock(view, off_s, in_order, by_clock):
    """Landmarks of two clips of the sample; by the clock they are within 15 ms of the truth (test_sync_force_lag)."""
    swing = next(s for s in in_order.swings if s.shot.struck_at == FILMED)
    right = by_clock[2][swing.shot.id]
    body = see_body(landmarks(view), true_impact_s(view), 1.0)
    trace = replace(swing.trace, started_at=swing.trace.started_at + timedelta(seconds=off_s))
    one, other = (place_impact(t, swing.shot, 0.25, [body]) for t in (right, trace))
    assert (one.by, other.by) == (BY_FORCE, BY_FORCE)
    assert begins(trace, by_clock) + other.impact_s == pytest.approx(begins(right, by_clock) + one.impact_s, abs=0.002)
    moved = place_impact(trace, swing.shot, 0.25)
    assert (moved.by, moved.within_s) == (BY_MOVE, 0.15)
    assert moved.impact_s == pytest.approx(other.impact_s, abs=0.15)


def test_who_steps_off_moves_the_pressure_faster_than_a_swing(in_order):
    trace = in_order.swings[0].trace
    after_s, n = trace.time_s[-1] + 0.01 * np.arange(1, 101), 100
    off = np.column_stack([np.linspace(0, 120, n), np.zeros(n)])
    longer = Trace(
        id="a",
        started_at=trace.started_at,
        time_s=np.concatenate([trace.time_s, after_s]),
        xy_cm=np.concatenate([trace.xy_cm, off]),
        force_n=np.concatenate([trace.force_n, np.linspace(150, 0, n)]),
        is_clock_of_shot=True,
    )
    assert place_impact(longer, None).impact_s == pytest.approx(place_impact(trace, None).impact_s)


def test_a_recording_that_may_hold_two_swings_is_placed_by_neither(in_order, by_clock):
    """Two swings of the sample in one recording, as with a practice swing before the shot."""
    swing = next(s for s in in_order.swings if s.shot.struck_at == FILMED)
    shot, other = swing.trace, in_order.swings[0].trace
    step, n = np.linspace(0, 1, 100), 100
    between = other.xy_cm[-1] + step[:, None] * (shot.xy_cm[0] - other.xy_cm[-1])
    both = replace(
        shot,
        time_s=0.01 * np.arange(len(other.time_s) + n + len(shot.time_s)),
        xy_cm=np.concatenate([other.xy_cm, between, shot.xy_cm]),
        force_n=np.concatenate([other.force_n, np.full(n, 625.0), shot.force_n]),
    )
    assert has_rival_move(both)
    assert not any(has_rival_move(s.trace) for s in in_order.swings)
    body = see_body(landmarks("face_on"), true_impact_s("face_on"), 1.0)
    assert place_impact(both, swing.shot, 0.25) is None
    assert place_impact(both, swing.shot, 0.25, [body]) is None
    # a walk of that speed is no swing: the force tells
    still = replace(both, force_n=np.concatenate([np.full(len(other.time_s) + n, 625.0), shot.force_n]))
    walked = place_impact(still, swing.shot, 0.25, [body])
    late_s = 0.01 * (len(other.time_s) + n)
    assert walked.by == BY_FORCE
    assert walked.impact_s - late_s == pytest.approx(place_impact(shot, swing.shot, 0.25, [body]).impact_s, abs=0.002)


def test_recordings_named_after_rows_go_to_them(by_clock, cut, tmp_path):
    """The last recording is missing: numbers alone would not tell it."""
    path = write_table(tmp_path / "p.csv", with_row(cut)[:-1], [f"row {n}" for n in range(1, 15)])
    matched = match(read_trace_table(path), by_clock[1])
    assert [s.shot.row_number for s in matched.swings if s.trace is None] == [15]
    kept = replace(matched, swings=matched.swings[:-1])
    check(kept, by_clock)
    path.write_text(path.read_text(encoding="utf-8").replace("row ", "").replace("shot", "row", 1), encoding="utf-8")
    again = match(read_trace_table(path), by_clock[1])
    assert all(
        np.array_equal(a.trace.xy_cm, b.trace.xy_cm) for a, b in zip(kept.swings, again.swings[:-1], strict=True)
    )


def refused(by_clock, cut, path, numbers, shots=None):
    matched = match(read_trace_table(write_table(path, cut, numbers)), by_clock[1] if shots is None else shots)
    assert all(swing.trace is None for swing in matched.swings)
    (why,) = matched.refused
    return why


def test_what_cannot_be_told_is_refused(by_clock, cut, tmp_path):
    path, shots = tmp_path / "p.csv", by_clock[1]
    why = refused(by_clock, cut, path, range(1, 17))
    assert "found 16 recordings (numbers 1 to 16) and 15 rows (not numbered)" in why
    # a device that missed one ball and a mat that did not would count so
    why = refused(by_clock, cut, path, range(1, 17), numbered(shots, range(1, 16)))
    assert "found 16 recordings (numbers 1 to 16) and 15 rows (numbers 1 to 15)" in why
    assert "numbers 2 to 16" in refused(by_clock, with_row(cut), path, range(2, 17), numbered(shots, range(1, 16)))
    assert "found two with the number 3" in refused(by_clock, with_row(cut), path, [1, 2, 3, 4, 3, *range(5, 15)])
    twice = ["row 7 a1", "row 7 a2", *(f"row {n}" for n in range(8, 21))]
    assert "found two for row 7 (row 7 a1 and row 7 a2); leave one out" in refused(by_clock, with_row(cut), path, twice)
    assert "found no rows; add the shot table" in refused(by_clock, with_row(cut), path, range(1, 16), ())
    untimed = tuple(replace(shot, struck_at=None) for shot in shots)
    assert "expected rows with a time" in refused(by_clock, with_row(cut), path, range(1, 16), untimed)
    close = (*shots[:1], replace(shots[1], struck_at=shots[0].struck_at + timedelta(seconds=1)), *shots[2:])
    assert "found that 1 and 2 overlap by" in refused(by_clock, with_row(cut), path, range(1, 16), close)


def test_numbers_of_two_counts_that_never_meet_go_in_order(by_clock, cut, tmp_path):
    path = write_table(tmp_path / "p.csv", with_row(cut), range(1, 16))
    check(match(read_trace_table(path), numbered(by_clock[1], range(41, 56))), by_clock)
    path = write_table(tmp_path / "p.csv", with_row(cut), range(15))
    check(match(read_trace_table(path), numbered(by_clock[1], range(1, 16))), by_clock)


def test_the_number_of_a_row_by_the_coachs_mapping_and_for_rows_added_before(by_clock):
    shots = by_clock[1]
    told = tuple(replace(s, id=f"new-{s.id}", extra={"Lfd.": str(n)}) for n, s in enumerate(shots, start=3))
    assert number_rows(shots) == number_rows(told) == {}
    found = number_rows(shots, told, ColumnMapping(columns={"lfd.": "shot number"}))
    assert [found[shot.id] for shot in shots] == list(range(3, 18))


def test_a_lesson_is_added_all_the_same_and_a_trace_kept_says_whose_its_clock_is(by_clock, cut, tmp_path):
    table = tmp_path / "shots.csv"
    table.write_text("".join(SAMPLE.joinpath("shots.csv").open(encoding="utf-8").readlines()[:2]), encoding="utf-8")
    two = write_table(tmp_path / "two.csv", cut[:2], (1, 2))
    with Library.open(tmp_path / "library") as library:
        done = add_lesson(library, plan_lesson(shots=table, pressure=two))
        assert done.n_new_shots == 1
        assert done.questions[0].startswith("The pressure was not put to the swings: two.csv: expected a recording for")
        one = write_table(tmp_path / "one.csv", cut[:1], (1,))
        done = add_lesson(library, plan_lesson(shots=table, pressure=one))
        assert done.questions == ()
        swing = next(s for s in library.swings(done.lesson.id) if s.shot is not None)
        assert swing.trace.is_clock_of_shot
        assert np.array_equal(swing.trace.xy_cm, by_clock[2][by_clock[1][0].id].xy_cm)
