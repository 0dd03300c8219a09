"""A camera's set-up marked in the window, by keyboard alone and by mouse; the same as the file of the same numbers."""

import shutil
from dataclasses import replace
from datetime import date
from pathlib import Path

import av
import numpy as np
import pytest
from holding_up import MOST_S, find_longest_own_s
from PyQt5.QtCore import QPoint, QPointF, QRectF, Qt
from PyQt5.QtTest import QTest
from waiting import PATIENCE_MS

from review.app.look.choice import Choice
from review.app.setups.marking import Step
from review.cli.main import main
from review.jobs.measuring.setup_files import parse_camera_setup
from review.lesson import Handedness, Lesson, Pupil
from review.library import Library
from tests.marked_sample import stick_px

_Key = Qt.Key


@pytest.fixture
def library(sample_library, tmp_path) -> Path:
    return shutil.copytree(sample_library, tmp_path / "library")


@pytest.fixture
def open_cameras(qtbot, open_lesson):
    def open_on(folder):
        window = open_lesson(folder)
        QTest.keyClick(window.chart, _Key.Key_V)
        qtbot.waitUntil(lambda: window.others.find("cameras") is not None, timeout=PATIENCE_MS)
        page = window.others.find("cameras")
        settle(qtbot, window, page)
        return window, page

    return open_on


def settle(qtbot, window, page):
    qtbot.waitUntil(lambda: not len(window.state.line), timeout=PATIENCE_MS)
    if page.desk.camera is not None:
        qtbot.waitUntil(lambda: page.still.frame is not None and page.mark is not None, timeout=PATIENCE_MS)


def walk(page, to):
    """Move the mark by arrow keys alone, as a coach does: by tens, then by ones."""
    for at, keys in ((0, (_Key.Key_Left, _Key.Key_Right)), (1, (_Key.Key_Up, _Key.Key_Down))):
        for by, held in ((10, Qt.KeyboardModifier.ShiftModifier), (1, Qt.KeyboardModifier.NoModifier)):
            for _ in range(int(abs(to[at] - page.mark[at]) // by)):
                QTest.keyClick(page, keys[to[at] > page.mark[at]], held)


def point_at(still, pixel) -> QPoint:
    way = still.placing.to_canvas(still.original, QRectF(still.rect()))
    return way.map(QPointF(pixel[0] + 0.5, pixel[1] + 0.5)).toPoint()


def kept(window):
    with Library.open(window.state.library) as library:
        return library.camera_setups(library.latest_lesson().id)


def test_by_keyboard_alone_the_same_as_by_file(qtbot, open_cameras, library, tmp_path):
    window, page = open_cameras(library)
    name, place = page.desk.camera.clip.original_name, page.desk.camera.place
    away, toward = stick_px(name)
    walk(page, away)
    QTest.keyClick(page, _Key.Key_Return)
    walk(page, toward)
    QTest.keyClick(page, _Key.Key_Return)
    assert kept(window) == {}
    QTest.keyClicks(page.panel.field, "1,22")
    QTest.keyClick(page.panel.field, _Key.Key_Return)
    QTest.keyClicks(page.panel.field, "0.3")
    QTest.keyClick(page.panel.field, _Key.Key_Return)
    QTest.keyClick(page, _Key.Key_S)
    settle(qtbot, window, page)
    assert page.desk.draft.step is None
    assert page.panel.found.text().startswith("The camera stands ")
    assert "M measures the lesson anew" in page.panel.found.text()
    in_window = kept(window)

    file = tmp_path / "front.toml"
    file.write_text(
        f"[target_stick]\nlength_m = 1.22\naway_from_target_px = {list(away)}\ntoward_target_px = {list(toward)}\n"
        "[camera]\nroll_deg = 0.3\n",
        encoding="utf-8",
    )
    clip = Path(__file__).parents[3] / "sample_clips" / "clips" / name
    asked = ["add", str(clip), "--pupil", "Other", "--handed", "right", "--setup", f"{place}={file}"]
    assert main([*asked, "--library", str(tmp_path / "other")]) in (0, 1)
    with Library.open(tmp_path / "other") as other:
        by_file = other.camera_setups(other.latest_lesson().id)
    assert in_window.keys() == by_file.keys() == {place}
    assert parse_camera_setup(in_window[place], "x") == parse_camera_setup(by_file[place], "x")


def test_by_mouse_alone_in_a_large_window_enlarged(qtbot, open_cameras, library):
    window, page = open_cameras(library)
    window.resize(2560, 1440)
    away, toward = stick_px(page.desk.camera.clip.original_name)
    page.still.zoom(3.0, QPointF(point_at(page.still, away)))
    for pixel in (away, toward):
        page.still.enlarge(1.0, pixel)
        if not page.still.rect().contains(point_at(page.still, pixel)):
            page.still.reset()
        QTest.mouseClick(page.still, Qt.MouseButton.LeftButton, pos=point_at(page.still, pixel))
        assert page.mark == pixel
        QTest.mouseClick(page.take_button, Qt.MouseButton.LeftButton)
    QTest.keyClicks(page.panel.field, "1.22")
    QTest.mouseClick(page.take_button, Qt.MouseButton.LeftButton)
    QTest.mouseClick(page.skip_button, Qt.MouseButton.LeftButton)
    QTest.mouseClick(page.skip_button, Qt.MouseButton.LeftButton)
    settle(qtbot, window, page)
    (text,) = kept(window).values()
    stick = parse_camera_setup(text, "x").stick
    assert (stick.away_from_target_px, stick.toward_target_px) == (away, toward)
    QTest.mouseClick(page.back_button, Qt.MouseButton.LeftButton)
    assert page.desk.draft.step is Step.TOP


def test_a_file_that_was_kept_is_shown_changed_undone_and_taken_away(qtbot, open_cameras, library):
    text = "[target_stick]\nlength_m = 1.22\naway_from_target_px = [63.4, 870.2]\ntoward_target_px = [493.4, 872.6]\n"
    with Library.open(library) as opened:
        opened.set_camera_setup(opened.latest_lesson().id, "face-on", text)
    window, page = open_cameras(library)
    assert page.desk.draft.step is None
    for _ in range(6):
        QTest.keyClick(page, _Key.Key_Backspace)
        if not page.panel.field.isHidden():
            page.panel.field.clear()
            QTest.keyClick(page.panel.field, _Key.Key_Backspace)
    assert page.desk.draft.step is Step.AWAY
    assert page.mark == (63.4, 870.2)
    QTest.keyClick(page, _Key.Key_Right)
    QTest.keyClick(page, _Key.Key_Return)
    QTest.keyClick(page, _Key.Key_Return)
    QTest.keyClick(page.panel.field, _Key.Key_Return)
    settle(qtbot, window, page)
    changed = parse_camera_setup(kept(window)["face-on"], "x")
    assert changed.stick.away_from_target_px == (64.4, 870.2)
    assert changed.stick.toward_target_px == (493.4, 872.6)
    window.state.undo()
    settle(qtbot, window, page)
    assert parse_camera_setup(kept(window)["face-on"], "x") == parse_camera_setup(text, "x")
    assert page.desk.draft.points[Step.AWAY] == (63.4, 870.2)
    page.desk.forget()
    settle(qtbot, window, page)
    assert kept(window) == {}
    assert page.desk.draft.step is Step.AWAY
    window.state.undo()
    settle(qtbot, window, page)
    assert kept(window).keys() == {"face-on"}
    assert page.desk.draft.step is None


def test_what_cannot_be_is_refused_in_the_files_words_and_nothing_kept(qtbot, open_cameras, library):
    window, page = open_cameras(library)
    QTest.keyClick(page, _Key.Key_Return)
    QTest.keyClick(page, _Key.Key_Return)
    for typed, why in (("12", "0.3 to 3 m long, got 12.0 m"), ("1.2.3", "A number such as 1.22 is expected")):
        page.panel.field.clear()
        QTest.keyClicks(page.panel.field, typed)
        QTest.keyClick(page.panel.field, _Key.Key_Return)
        assert why in page.panel.refusal.text()
        assert page.desk.draft.step is Step.LENGTH
    settle(qtbot, window, page)
    assert kept(window) == {}


def test_leaving_half_way_loses_nothing_and_the_other_camera_has_its_own_marks(qtbot, open_cameras, library):
    window, page = open_cameras(library)
    first = page.desk.camera.place
    QTest.keyClick(page, _Key.Key_Right)
    marked = page.mark
    QTest.keyClick(page, _Key.Key_Return)
    QTest.keyClick(page, _Key.Key_Escape)
    assert window.pages.currentWidget() is window.chart
    assert not page.still.is_open
    QTest.keyClick(window.chart, _Key.Key_V)
    settle(qtbot, window, page)
    assert page.desk.draft.points == {Step.AWAY: marked}
    assert page.desk.draft.step is Step.TOWARD
    QTest.keyClick(page, _Key.Key_V)
    settle(qtbot, window, page)
    assert page.desk.camera.place != first
    assert page.desk.draft.points == {}
    QTest.keyClick(page, _Key.Key_V)
    settle(qtbot, window, page)
    assert page.desk.draft.points == {Step.AWAY: marked}


def test_a_left_handers_target_is_the_other_way(qtbot, open_cameras, left_handed_library, tmp_path):
    folder = shutil.copytree(left_handed_library, tmp_path / "left")
    window, page = open_cameras(folder)
    assert window.state.lesson.pupil.handedness is Handedness.LEFT
    away = page.mark
    QTest.keyClick(page, _Key.Key_Return)
    assert page.mark[0] < away[0]


def test_without_a_clip_it_says_what_is_missing(qtbot, open_window, tmp_path):
    folder = tmp_path / "library"
    with Library.open(folder) as library:
        library.add_pupil(Pupil("p1", "Not Filmed", Handedness.RIGHT))
        library.add_lesson(Lesson("l1", "p1", date(2026, 3, 14)))
    window = open_window(folder)
    window.state.open_lesson(window.state.pupils[0].lessons[0].id)
    qtbot.waitUntil(lambda: not len(window.state.line), timeout=PATIENCE_MS)
    page = window.others.show("cameras")
    qtbot.waitUntil(lambda: not len(window.state.line), timeout=PATIENCE_MS)
    assert page.still.message.startswith("No clip in this lesson yet")
    for key in (_Key.Key_Return, _Key.Key_Right, _Key.Key_Backspace, _Key.Key_V, _Key.Key_Plus, _Key.Key_Delete):
        QTest.keyClick(page, key)
    assert not page.take_button.isEnabled()


def test_one_camera_alone(qtbot, open_cameras, library_without_table, tmp_path):
    window, page = open_cameras(shutil.copytree(library_without_table, tmp_path / "one"))
    assert len(page.desk.cameras) >= 1
    page.desk.cameras = page.desk.cameras[:1]
    place = page.desk.camera.place
    QTest.keyClick(page, _Key.Key_V)
    assert page.desk.camera.place == place


def turned_clip(path: Path, turn_deg: int) -> Path:
    """A clip of 160 x 120 stored pixels that a player turns; one light pixel block, stored at (100..103, 20..23)."""
    with av.open(str(path), "w") as out:
        stream = out.add_stream("libx264", rate=30, options={"crf": "1"})
        stream.width, stream.height, stream.pix_fmt = 160, 120, "yuv420p"
        stream.set_display_rotation(turn_deg)
        rgb = np.full((120, 160, 3), 20, np.uint8)
        rgb[20:24, 100:104] = 240
        for _ in range(10):
            out.mux(stream.encode(av.VideoFrame.from_ndarray(rgb, format="rgb24")))
        out.mux(stream.encode(None))
    return path


@pytest.mark.parametrize("turn_deg", [90, -90, 180])
def test_a_mark_lands_on_the_pixel_that_is_shown_of_a_turned_clip(qtbot, open_cameras, library, tmp_path, turn_deg):
    window, page = open_cameras(library)
    path = turned_clip(tmp_path / "stored.mp4", turn_deg)
    camera = page.desk.camera
    with Library.open(library) as opened:
        sha256, file = opened.store_clip_file(path)
        opened.update_clip(replace(camera.clip, sha256=sha256, file=file, begin_s=0.0, end_s=None))
    page.renew()
    page.still.close_clip()
    settle(qtbot, window, page)
    qtbot.waitUntil(lambda: page.still.picture is not None and page.still.size_px[0] < 200, timeout=PATIENCE_MS)
    wide, high = page.still.size_px
    assert (wide, high) == ((160.0, 120.0) if turn_deg == 180 else (120.0, 160.0))
    light = np.argwhere(page.still.picture[..., 1] > 150)
    (top, left), (bottom, right) = light.min(axis=0), light.max(axis=0)
    # where stored pixels (100..103, 20..23) lie once the picture is upright
    expected = {180: (56, 96), 90: (20, 56), -90: (96, 100)}[turn_deg]
    assert abs(left - expected[0]) <= 1
    assert abs(top - expected[1]) <= 1
    middle = (float((left + right) // 2), float((top + bottom) // 2))
    for zoom in (1.0, 5.0):
        page.still.enlarge(zoom, middle)
        QTest.mouseClick(page.still, Qt.MouseButton.LeftButton, pos=point_at(page.still, middle))
        assert page.mark == middle


def test_opening_it_and_marking_do_not_hold_the_window_up(qtbot, open_cameras, library):
    window, page = open_cameras(library)
    for size in ((1366, 768), (2560, 1440)):
        window.resize(*size)
        window.choose_look(Choice("dark"))

        def open_anew():
            page.hide()
            page.show()
            page.renew()

        def is_open():
            return page.still.frame is not None and not len(window.state.line)

        assert min(find_longest_own_s(open_anew, is_open) for _ in range(2)) <= MOST_S
        press = [lambda: QTest.keyClick(page, _Key.Key_Right)] * 2
        assert min(find_longest_own_s(one, lambda: True) for one in press) <= MOST_S
