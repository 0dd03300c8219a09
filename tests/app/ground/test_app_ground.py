"""The pressure live: the dot is where it is, the ring is dragged, holding is timed, trouble is said."""

import numpy as np
import pytest
from PyQt5.QtCore import QPoint, Qt

from review.app.ground.hold import Hold
from review.app.ground.view import GroundView
from review.app.look import DARK
from review.jobs.pressure.live_source import GrowingFile
from review.jobs.pressure.live_trace import LiveTrace


def test_holding_is_timed_and_begins_anew_outside():
    hold = Hold(radius_cm=2.0)
    for now, x in ((0.0, 0.0), (1.5, 1.0), (2.0, 5.0), (3.0, 0.0), (3.5, 0.0)):
        hold.take(x, 0.0, now)
    assert hold.held_s == pytest.approx(0.5)
    assert hold.longest_s == pytest.approx(1.5)
    hold.move(10, 0)
    assert (hold.held_s, hold.longest_s) == (0.0, 0.0)


FEET = (np.array([(30.0, -5.0), (35.0, -5.0), (35.0, -8.0)]),)


@pytest.fixture
def view(qtbot, tmp_path):
    path = tmp_path / "now.csv"
    path.write_text("time,x,y,vertical force\n0,10,4,600\n")
    view = GroundView(LiveTrace(GrowingFile(path)), FEET, side=-1.0)
    qtbot.addWidget(view)
    view.resize(800, 450)  # 10 px to a centimetre
    view.go_on()
    return view


def test_the_dot_lies_where_a_left_handers_face_on_camera_has_it(view):
    picture = view.grab().toImage()
    assert picture.pixelColor(300, 265).name().upper() == DARK.accent.upper()


def test_without_a_known_mat_the_dot_begins_in_the_middle_with_the_ring_around_it(qtbot, tmp_path):
    path = tmp_path / "now.csv"
    path.write_text("time,x,y,vertical force\n0,310,240,0\n0.1,300,250,600\n")
    view = GroundView(LiveTrace(GrowingFile(path)))
    qtbot.addWidget(view)
    view.resize(800, 450)
    view.go_on()
    assert view.grab().toImage().pixelColor(400, 225).name().upper() == DARK.accent.upper()
    assert view.hold.is_inside(300.0, -250.0)
    with path.open("a") as file:
        file.write("0.2,301,250,0\n0.3,301,250,0\n")
    view.go_on()
    assert view.accessibleDescription() == "not on the mat"
    assert view.hold.held_s == 0
    assert view.hold.is_inside(300.0, -250.0)


def test_the_ring_is_dragged_and_moved_by_keys(view, qtbot):
    qtbot.mousePress(view, Qt.LeftButton, pos=QPoint(400, 225))
    qtbot.mouseMove(view, QPoint(300, 265))
    qtbot.mouseRelease(view, Qt.LeftButton, pos=QPoint(300, 265))
    moved = view.hold.x_cm
    qtbot.keyClick(view, Qt.Key_Left)
    assert view.hold.x_cm == pytest.approx(moved - 1)
    qtbot.keyClick(view, Qt.Key_Plus)
    assert view.hold.radius_cm > 5.0


def test_what_cannot_be_read_is_said_on_the_screen(qtbot, tmp_path):
    path = tmp_path / "now.csv"
    path.write_text("weight\n1\n")
    view = GroundView(LiveTrace(GrowingFile(path)))
    qtbot.addWidget(view)
    view.resize(800, 450)
    view.go_on()
    picture = view.grab().toImage()
    assert picture.pixelColor(790, 5).name().upper() == DARK.trouble.upper()
