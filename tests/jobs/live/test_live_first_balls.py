"""The first balls of a lesson, before the clocks are known: what arrived together is one swing and stays one."""

from dataclasses import replace
from datetime import timedelta
from functools import partial

import pytest
from watched_lesson import CAMERA_AHEAD_OF_HERE, CLIPS, DEVICE_AHEAD_OF_HERE, HEADER, ROWS, Bay

from review.jobs.live import Asked, Paired, following

# clips of the first camera that have a row, which is row i + 1
_OF_ONE_CAMERA = [i for i, path in enumerate(CLIPS) if "cam2" not in path.name][:10]


@pytest.fixture
def bay(tmp_path):
    made = Bay(tmp_path)
    yield made
    made.close()


def hit(bay: Bay, i: int, order: str, ball_s: float) -> None:
    """Strike ball i of the sample now: clip and row come in some order, 3 and 6 s later; then it is quiet."""
    struck = bay.time
    name = f"{struck + CAMERA_AHEAD_OF_HERE - timedelta(seconds=1.5):%Y%m%d_%H%M%S}.mp4"
    row = f"{struck + DEVICE_AHEAD_OF_HERE:%H:%M:%S}{ROWS[i][8:]}\n"

    def add_row() -> None:
        before = bay.table.read_text(encoding="utf-8") if bay.table.exists() else f"{HEADER}\n"
        bay.table.write_text(before + row, encoding="utf-8")

    deliver = {"row": add_row, "clip": lambda: bay.drop(_OF_ONE_CAMERA[i], name)}
    for what in order.split("-"):
        bay.wait(3.0)
        deliver[what]()
    bay.wait(ball_s - 6.0)


@pytest.mark.parametrize("orders", [("row-clip",) * 3, ("clip-row",) * 3, ("row-clip", "clip-row", "row-clip")])
@pytest.mark.parametrize("every_s", [12.0, 17.0, 40.0])
def test_three_balls_are_three_swings_whichever_of_clip_and_row_comes_first(bay, orders, every_s):
    session = bay.open()
    for i, order in enumerate(orders, start=1):
        hit(bay, i - 1, order, every_s)
        assert [(swing.order, len(swing.clips)) for swing in bay.swings] == [(n, 1) for n in range(1, i + 1)]
        assert [swing.shot.row_number for swing in bay.swings] == list(range(1, i + 1))
    session.end()
    assert sorted(bay.pairs().items()) == [(name, n) for n, name in enumerate(sorted(bay.pairs()), start=1)]
    told = bay.events(Paired)
    assert all(event.is_sure for event in told)
    assert [(event.swing.order, event.shot.row_number) for event in told] == [(1, 1), (2, 2), (3, 3)]
    assert bay.events(Asked) == []
    assert bay.notes() == []


def test_a_wrong_pair_by_arrival_is_withdrawn_when_the_next_ball_makes_it_doubtful_and_told_in_one_line(bay):
    """The device misses the first ball; the row of the second comes soon after the first clip."""
    bay.open()
    hit(bay, 0, "clip", 11.0)
    for i, ball_s in enumerate((27.0, 45.0, 22.0, 63.0, 34.0, 51.0, 19.0, 40.0), start=1):
        hit(bay, i, "row-clip", ball_s)
    assert [*bay.pairs().values()] == [None, *range(1, 9)]
    first = min(bay.pairs())
    assert len(bay.notes()) == 1
    assert len(bay.notes(f"not clear whether row 1 belongs to swing 1 ({first})")) == 1


def deliver(
    bay: Bay, clip_s: float, row_s: float, balls: list[tuple[float, str]], first: int = 0, ahead_s: float = 0.0
) -> dict[str, int | None]:
    """Let balls be struck so many seconds from now, of which clip, row or both arrive; return the true pairs."""
    begin = bay.time + timedelta(seconds=20)
    camera_ahead = CAMERA_AHEAD_OF_HERE + timedelta(seconds=ahead_s - 1.5)
    happenings, truth, lines = [], {}, [HEADER]

    def write(line: str) -> None:
        lines.append(line)
        bay.table.write_text("\n".join(lines) + "\n", encoding="utf-8")

    n_rows = 0
    for i, (at_s, what) in enumerate(balls, start=first):
        struck = begin + timedelta(seconds=at_s)
        name = f"{struck + camera_ahead:%Y%m%d_%H%M%S}.mp4"
        n_rows += what != "clip"
        if what != "row":
            truth[name] = None if what == "clip" else n_rows
            drop = partial(bay.drop, _OF_ONE_CAMERA[i], name)
            happenings.append((struck + timedelta(seconds=clip_s), drop))
        if what != "clip":
            line = f"{struck + DEVICE_AHEAD_OF_HERE:%H:%M:%S}{ROWS[i][8:]}"
            happenings.append((struck + timedelta(seconds=row_s), partial(write, line)))
    for at, happens in sorted(happenings, key=lambda one: one[0]):
        while bay.time < at:
            bay.wait(0.5)
        happens()
        bay.wait(1.5)
    bay.wait(20)
    return truth


@pytest.mark.parametrize(("clip_s", "row_s"), [(6.0, 2.5), (3.0, 6.0)])
@pytest.mark.parametrize(
    "balls",
    [
        [(0, "row"), (10, "both")],
        [(0, "row"), (10, "both"), (22, "both"), (33, "both"), (46, "both"), (57, "both")],
        [(0, "both"), (10, "row"), (21, "both"), (33, "both")],
        [(0, "both"), (10, "clip"), (21, "both"), (33, "both")],
        [(0, "clip"), (10, "both"), (21, "both"), (33, "both")],
    ],
)
def test_balls_that_follow_fast_with_a_clip_or_a_row_missing_are_never_left_paired_wrongly(bay, clip_s, row_s, balls):
    bay.open()
    truth = deliver(bay, clip_s, row_s, balls)
    pairs = bay.pairs()
    assert {name: row for name, row in pairs.items() if row is not None and row != truth[name]} == {}
    if clip_s > row_s:  # the missing one lies further away than the delivery takes: all are found at once
        assert pairs == truth


def test_a_clip_that_comes_late_joins_the_row_it_was_struck_with(bay):
    bay.open()
    hit(bay, 0, "row-clip", 30.0)
    struck = bay.time
    bay.wait(3.0)
    bay.table.write_text(
        bay.table.read_text(encoding="utf-8") + f"{struck + DEVICE_AHEAD_OF_HERE:%H:%M:%S}{ROWS[1][8:]}\n",
        encoding="utf-8",
    )
    bay.wait(27.0)
    hit(bay, 2, "row-clip", 20.0)
    assert [swing.order for swing in bay.swings if swing.clips] == [1, 3]
    bay.drop(_OF_ONE_CAMERA[1], f"{struck + CAMERA_AHEAD_OF_HERE - timedelta(seconds=1.5):%Y%m%d_%H%M%S}.mp4")
    bay.wait(5.0)
    assert [(swing.shot.row_number, len(swing.clips)) for swing in bay.swings] == [(1, 1), (2, 1), (3, 1)]
    assert bay.notes() == []


def test_one_ball_proves_nothing_and_a_question_that_more_balls_answer_is_told_as_settled(bay):
    session = bay.open()
    struck = bay.time
    name = f"{struck + CAMERA_AHEAD_OF_HERE - timedelta(seconds=1.5):%Y%m%d_%H%M%S}.mp4"
    bay.wait(3.0)
    bay.drop(_OF_ONE_CAMERA[0], name)
    bay.wait(60.0, every_s=10.0)
    bay.table.write_text(f"{HEADER}\n{struck + DEVICE_AHEAD_OF_HERE:%H:%M:%S}{ROWS[0][8:]}\n", encoding="utf-8")
    bay.wait(5.0)
    session.end()
    (asked,) = bay.events(Asked)
    assert asked.text == "Only this ball to go by, too little to tell by the clocks."
    session.coach.undo()
    assert bay.notes("Settled") == []  # the end was taken back, nothing is clearer
    for i, ball_s in enumerate((45.0, 22.0, 63.0, 34.0, 51.0, 27.0), start=1):
        hit(bay, i, "row-clip", ball_s)
    assert [*bay.pairs().values()] == list(range(1, 8))
    assert bay.notes("Settled") == [f"Settled without an answer: swing 1 ({name}) has row 1."]
    assert len(bay.events(Asked)) == 1


def test_that_a_table_is_another_lessons_is_said_from_ten_balls_on(bay, monkeypatch):
    match = following.match_known

    def refuse(*args, **more):
        matched = match(*args, **more)
        return replace(matched, matching=replace(matched.matching, refused="no more than by chance."))

    monkeypatch.setattr(following, "match_known", refuse)
    bay.open()
    for i in range(9):
        hit(bay, i, "row-clip", 20.0 + 7.0 * (i % 4))
    assert bay.notes("does not seem to belong") == []
    hit(bay, 9, "row-clip", 20.0)
    assert len(bay.notes("does not seem to belong")) == 1


def test_the_next_pupils_balls_are_paired_by_the_clocks_known_from_the_pupil_before(bay):
    """Balls that follow so fast that arrival tells nothing: without the lesson before none of them is paired."""
    lesson = [(at_s, "both") for at_s in (0, 41, 65, 129, 161, 215, 240, 291)]
    fast = [(0, "both"), (9, "both")]
    bay.open(pupil="Walk In")
    deliver(bay, 3.0, 9.0, lesson)
    bay.open()
    truth = deliver(bay, 3.0, 9.0, fast, first=8)
    assert bay.pairs() == truth


@pytest.mark.parametrize("ahead_s", [600.0, -600.0])
def test_a_camera_clock_set_anew_between_two_pupils_pairs_nothing_wrongly(bay, ahead_s):
    bay.open(pupil="Walk In")
    deliver(bay, 3.0, 6.0, [(at_s, "both") for at_s in (0, 41, 65, 129, 161, 215, 240, 291)])
    bay.open()
    truth = deliver(bay, 3.0, 6.0, [(0, "both"), (40, "both")], first=8, ahead_s=ahead_s)
    assert bay.pairs() == truth
