"""The first balls of a lesson, before the clocks are known: what arrived together is one swing and stays one."""

from datetime import timedelta

import pytest
from watched_lesson import CAMERA_AHEAD_OF_HERE, CLIPS, DEVICE_AHEAD_OF_HERE, HEADER, ROWS, Bay

from review.jobs.live import Asked, Paired

# clips of the first camera that have a row, which is row i + 1
_OF_ONE_CAMERA = [i for i, path in enumerate(CLIPS) if "cam2" not in path.name][:6]


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
