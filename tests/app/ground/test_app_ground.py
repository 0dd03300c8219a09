"""The pressure live: the dot is where it is, the ring is dragged, holding is timed, trouble is said."""

import numpy as np
import pytest
from PyQt5.QtCore import QEvent, QPoint, QPointF, Qt
from PyQt5.QtGui import QMouseEvent
from PyQt5.QtWidgets import QApplication

from review.app.ground import scene
from review.app.ground.hold import Hold
from review.app.ground.view import GroundView
from review.app.look import DARK
from review.jobs.pressure.live_mat import LiveMat
from review.jobs.pressure.live_source import GrowingFile
from review.jobs.pressure.live_trace import LiveTrace
from review.lesson import Handedness
from review.pressure import MatPlacement


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
    view = GroundView(LiveTrace(GrowingFile(path)), LiveMat(MatPlacement(), FEET, Handedness.LEFT))
    qtbot.addWidget(view)
    view.resize(800, 450)  # 10 px to a centimetre
    view.go_on()
    return view


def colour_at(view, x, y):
    return view.grab().toImage().pixelColor(x, y).name().upper()


@pytest.mark.parametrize(("hand", "toward"), [(Handedness.RIGHT, -1), (Handedness.LEFT, 1)])
def test_the_dot_goes_where_the_pupil_goes_who_looks_at_the_screen(qtbot, tmp_path, hand, toward):
    """Toward the target is to a right-hander's left, toward the toes is ahead, so up; the coach sees half a turn."""
    path = tmp_path / "now.csv"
    path.write_text("time,x,y,vertical force\n0,10,4,600\n")
    view = GroundView(LiveTrace(GrowingFile(path)), LiveMat(MatPlacement(), FEET, hand), tmp_path / "kept")
    qtbot.addWidget(view)
    view.resize(800, 450)  # 10 px to a centimetre
    view.go_on()
    assert colour_at(view, 400 + 100 * toward, 225 - 40) == DARK.accent.upper()
    assert "toes up" in view.accessibleDescription()
    qtbot.keyClick(view, Qt.Key_R)
    assert colour_at(view, 400 - 100 * toward, 225 + 40) == DARK.accent.upper()
    assert "toes down" in view.accessibleDescription()
    assert GroundView(LiveTrace(GrowingFile(path)), None, tmp_path / "kept")._scene.is_coachs_view


def test_the_target_is_told_on_the_side_where_it_is(qtbot, tmp_path, monkeypatch):
    said = []
    paint = scene.paint_lines
    monkeypatch.setattr(scene, "paint_lines", lambda *a: (said.extend((line, a[4]) for line in a[1]), paint(*a))[1])
    for hand in Handedness:
        feet = tuple(side * 20.0 + np.array([(-5.0, -20.0), (5.0, -20.0), (5.0, 7.0), (-5.0, 7.0)]) for side in (1, -1))
        mat = LiveMat(MatPlacement(), feet if hand is Handedness.RIGHT else feet[::-1], hand)
        view = GroundView(LiveTrace(GrowingFile(tmp_path / "now.csv")), mat)
        qtbot.addWidget(view)
        view.resize(800, 450)
        for is_coachs in (False, True):
            said.clear()
            view.grab()
            at = dict(said)
            is_left = (hand is Handedness.RIGHT) != is_coachs
            assert ("← target" in at, "target →" in at) == (is_left, not is_left)
            assert (at["lead foot"], at["trail foot"]) == ((200, 600) if is_left else (600, 200))
            view.turn()


def test_a_table_that_is_not_there_is_named_and_one_that_stops_is_not_held(qtbot, tmp_path):
    path = tmp_path / "nwo.csv"
    view = GroundView(LiveTrace(GrowingFile(path)), LiveMat(MatPlacement(), FEET))
    qtbot.addWidget(view)
    view.go_on(0.0)
    assert "nothing has come yet. Waiting for nwo.csv: there is no such file." in view.accessibleDescription()
    path.write_text("time,x,y\n0,0,0\n")
    view.go_on(1.0)
    with path.open("a") as file:
        file.write("1,0,0\n")
    view.go_on(3.0)
    assert view.accessibleDescription().startswith("held 2.0 s")
    view.go_on(5.0)
    assert view.accessibleDescription().startswith("held 2.0 s")
    view.go_on(8.5)
    assert view.accessibleDescription().startswith("nothing new for 5 s")
    assert (view.hold.held_s, view.hold.longest_s) == (0.0, 2.0)
    with path.open("a") as file:
        file.write("9,0,0\n")
    view.go_on(9.0)
    assert view.accessibleDescription().startswith("held 0.0 s")


def test_the_ring_stays_on_the_screen(view, qtbot):
    for _ in range(60):
        qtbot.keyClick(view, Qt.Key_Left)
        qtbot.keyClick(view, Qt.Key_Down)
    assert (view.hold.x_cm, view.hold.y_cm) == (pytest.approx(35.0), pytest.approx(17.5))  # 40 and 22.5, less 5
    for _ in range(20):
        qtbot.keyClick(view, Qt.Key_Plus)
    assert (view.hold.x_cm, view.hold.y_cm) == (pytest.approx(20.0), pytest.approx(2.5))


def test_without_a_known_mat_the_dot_begins_in_the_middle_with_the_ring_around_it(qtbot, tmp_path):
    path = tmp_path / "now.csv"
    path.write_text("time,x,y,vertical force\n0,310,240,0\n0.1,300,250,600\n")
    view = GroundView(LiveTrace(GrowingFile(path)))
    qtbot.addWidget(view)
    view.resize(800, 450)
    view.go_on()
    assert view.grab().toImage().pixelColor(400, 225).name().upper() == DARK.accent.upper()
    assert view.hold.is_inside(-300.0, -250.0)
    with path.open("a") as file:
        file.write("0.2,301,250,0\n0.3,301,250,0\n")
    view.go_on()
    assert view.accessibleDescription().startswith("not on the mat")
    assert view.hold.held_s == 0
    assert view.hold.is_inside(-300.0, -250.0)


def test_with_a_stick_only_the_feet_are_drawn_where_the_player_first_stands_still(qtbot, tmp_path):
    """A walk onto the mat, then still: the feet and the ring are around there, on the side where the target is."""
    path = tmp_path / "now.csv"
    path.write_text("time,x,y\n")
    foot = np.array([(10.0, -5.0), (20.0, -5.0), (20.0, 5.0), (10.0, 5.0)])
    mat = LiveMat(MatPlacement(stance_cm=30.0, is_approximate=True, has_origin=False), (foot,))
    view = GroundView(LiveTrace(GrowingFile(path)), mat)
    qtbot.addWidget(view)
    view.resize(800, 450)
    for n in range(60):
        with path.open("a") as file:
            file.write(f"{n / 10},{max(100.0, 130.0 - 2 * n)},50\n")
        view.go_on(n / 10)
        if n == 12:
            assert view.grab().toImage().pixelColor(250, 250).name().upper() == DARK.ground.upper()
            assert "Stand still" in view.accessibleDescription()
    picture = view.grab().toImage()
    assert picture.pixelColor(400, 225).name().upper() == DARK.accent.upper()
    assert picture.pixelColor(250, 250).name().upper() == DARK.shade.upper()
    assert (view.hold.x_cm, view.hold.y_cm) == (pytest.approx(100.0), pytest.approx(-50.0))
    assert "Stand still" not in view.accessibleDescription()


def test_the_ring_is_dragged(view, qtbot):
    qtbot.mousePress(view, Qt.LeftButton, pos=QPoint(400, 225))
    move = QMouseEvent(
        QEvent.MouseMove, QPointF(300, 265), Qt.MouseButton.NoButton, Qt.MouseButton.LeftButton, Qt.NoModifier
    )
    QApplication.sendEvent(view, move)
    qtbot.mouseRelease(view, Qt.LeftButton, pos=QPoint(300, 265))
    assert (view.hold.x_cm, view.hold.y_cm) == (pytest.approx(10.0), pytest.approx(4.0))  # half a turn: toes are up


def test_the_ring_is_moved_by_keys(view, qtbot):
    qtbot.keyClick(view, Qt.Key_Left)
    qtbot.keyClick(view, Qt.Key_Up)
    assert (view.hold.x_cm, view.hold.y_cm) == (1.0, -1.0)
    qtbot.keyClick(view, Qt.Key_Plus)
    assert view.hold.radius_cm > 5.0


def test_what_cannot_be_read_is_said_on_the_screen_and_gone_when_it_can(qtbot, tmp_path):
    path = tmp_path / "now.csv"
    path.write_text("time,weight,feet\n0,1,2\n")
    view = GroundView(LiveTrace(GrowingFile(path)))
    qtbot.addWidget(view)
    view.resize(800, 450)

    def corner():
        return view.grab().toImage().pixelColor(790, 5).name().upper()

    view.go_on(0.0)
    assert corner() == DARK.ground.upper()  # it may pass
    view.go_on(1.1)
    assert corner() == DARK.trouble.upper()
    path.write_text("time,x,y\n0,1,2\n0,broken\n0,1,2\n")
    view.go_on(1.2)
    assert corner() == DARK.ground.upper()
    assert "Lines that could not be read: 1" in view.accessibleDescription()
