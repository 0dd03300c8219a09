"""The page of the pressure: picture and words of the sample lesson, live on the whole screen and back."""

import json
from pathlib import Path

import pytest
from PyQt5.QtCore import Qt
from PyQt5.QtGui import QPalette
from PyQt5.QtTest import QTest
from PyQt5.QtWidgets import QLabel, QListView
from waiting import PATIENCE_MS

from review.app.ground.page import GroundPage
from review.app.ground.start import GroundAlone
from review.app.ground.words import say_foot
from review.app.language import speak
from review.app.look import DARK, LIGHT, Look
from review.app.look.choice import Choice, read_choice
from review.app.look.dress import dress
from review.app.look.files import make_file_dialog
from review.app.state import ReviewState
from review.body.foot import QUICK
from review.jobs.adding import add_lesson
from review.jobs.lesson_file import read_lesson_file
from review.jobs.pressure.live_mat import LiveMat
from review.jobs.pressure.live_source import GrowingFile
from review.jobs.pressure.live_trace import LiveTrace
from review.jobs.pressure.trail_foot import FootMean
from review.lesson import Handedness, KeyFrame, Measure
from review.library import Library

SAMPLE = Path(__file__).parents[3] / "sample_clips"


@pytest.fixture(scope="module")
def sample(tmp_path_factory):
    """The sample lesson with true key frames and two numbers of the trail foot."""
    truth = json.loads((SAMPLE / "truth.json").read_text(encoding="utf-8"))
    keys = {Path(clip["file"]).name: clip["key_frames_s"] for clip in truth["clips"]}
    folder = tmp_path_factory.mktemp("ground") / "library"
    with Library.open(folder) as library:
        lesson = add_lesson(library, read_lesson_file(SAMPLE / "lesson.toml")).lesson
        for swing in library.swings(lesson.id):
            for clip in swing.clips:
                times = (keys[clip.original_name] | {"arm level": keys[clip.original_name]["impact"] - 0.08}).items()
                library.set_key_frames(clip.id, [KeyFrame(n, t, round(60 * t), 1.0, "pose") for n, t in times])
            library.set_measures(
                swing.id,
                [
                    Measure("trail_foot_twist_deg", 4.0, "impact"),
                    Measure("heel_off_ms", float("nan"), why_missing=QUICK),
                ],
                "pose",
            )
    return folder, lesson.id


@pytest.fixture
def page(qtbot, sample):
    state = ReviewState(sample[0])
    page = GroundPage(state)
    qtbot.addWidget(page)
    page.resize(1366, 700)
    page.set_look(Look.fit(LIGHT, 1366, 768))
    page.show()
    with qtbot.waitSignal(page.came, timeout=PATIENCE_MS):
        state.open_lesson(sample[1])
    yield page
    page.finish()
    state.line.close()


def test_the_picture_and_what_each_batch_does(page, qtbot):
    said = page.words.text()
    assert said.startswith("Batch 1\nAt top ")  # quick sample: impact by the fastest move
    assert "The moment of impact is known to 0.15 s only" in said
    assert "Trail-foot twist at impact: toe turned 4° toward target" in said
    assert "Heel-off: the quick run cannot tell it" in said
    qtbot.waitUntil(lambda: page.picture.pixmap() is not None, timeout=PATIENCE_MS)
    # as large as its place, nothing of it cut
    assert page.picture.pixmap().size() == page.picture.size()
    assert page.picture.height() > 400


def test_words_are_as_large_as_there_is_room_for_and_else_are_moved_by_keys(page, qtbot):
    large = page.words.height_of_words()
    page.words.setFixedHeight(large - 1)
    assert page.words.height_of_words() < large
    page.words.setFixedHeight(60)
    bar = page.words.verticalScrollBar()
    qtbot.waitUntil(lambda: bar.maximum() > 0, timeout=PATIENCE_MS)
    QTest.keyClick(page, Qt.Key.Key_Down)
    assert bar.value() > 0
    QTest.keyClick(page, Qt.Key.Key_Up)
    assert bar.value() == 0


def test_live_fills_the_screen_and_esc_comes_back(page, tmp_path, qtbot):
    table = tmp_path / "live.csv"
    table.write_text("time,x [cm],y [cm],force [N]\n0,3,4,600\n", encoding="utf-8")
    page.go_live(table)
    assert page.isFullScreen()
    assert page.live.isVisible()
    qtbot.waitUntil(lambda: "held" in page.live.accessibleDescription(), timeout=PATIENCE_MS)
    QTest.keyClick(page.live, Qt.Key.Key_Escape)
    assert page.live is None
    assert not page.isFullScreen()


def test_the_dialog_says_which_file_can_be_read_in_dark_and_begins_where_the_last_one_was(page, tmp_path, monkeypatch):
    folder, asked = tmp_path / "mat", []
    folder.mkdir()
    monkeypatch.setattr("review.app.ground.page.ask_file", lambda *a: asked.append(a[1:]) or folder / "now.csv")
    page._state.kept_in = tmp_path
    QTest.keyClick(page, Qt.Key.Key_L)
    page.end_live()
    page._folder = ""  # as at the next start
    page.ask_live()
    page.end_live()
    wanted = "The table that the mat's program is writing"
    assert asked == [(wanted, None), (wanted, folder)]

    dress(DARK)
    try:
        dialog = make_file_dialog(page, wanted, folder)
        assert dialog.directory().absolutePath() == str(folder)
        assert wanted in [label.text() for label in dialog.findChildren(QLabel)]
        for part in dialog.findChildren(QListView):
            ground, ink = (part.palette().color(role) for role in (QPalette.Base, QPalette.Text))
            assert abs(ground.lightness() - ink.lightness()) > 128
        dialog.deleteLater()
    finally:
        dress(LIGHT)


def test_live_keeps_on_when_colours_language_or_keys_are_asked_for(open_window, sample, tmp_path, qtbot):
    window = open_window(sample[0])
    table = tmp_path / "live.csv"
    table.write_text("time,x [cm],y [cm]\n0,3,4\n", encoding="utf-8")
    page = window.others.show("ground")
    page.go_live(table)
    live = page.live
    for key in (Qt.Key.Key_F2, Qt.Key.Key_F4, Qt.Key.Key_F1):
        QTest.keyClick(live, key)
    assert (window.choice.theme_name, window.choice.language) == ("light", "en")
    assert live.grab().toImage().pixelColor(2, live.height() // 2).name().upper() == LIGHT.ground
    assert window.pages.currentWidget() is window.keys_page
    assert window.keys_page.groups[0][0] == "Keys of the pressure under the feet"
    QTest.keyClick(window, Qt.Key.Key_Escape)
    assert window.pages.currentWidget() is page
    assert page.live is live
    QTest.keyClick(live, Qt.Key.Key_Escape)
    assert page.live is None


def test_alone_it_has_keys_for_colours_language_and_the_list_of_keys(qtbot, tmp_path):
    view = GroundAlone(LiveTrace(GrowingFile(tmp_path / "now.csv")), LiveMat(), Choice(), tmp_path / "window.json")
    qtbot.addWidget(view)
    before = view.grab().toImage()
    QTest.keyClick(view, Qt.Key.Key_F1)
    assert view.grab().toImage() != before
    QTest.keyClick(view, Qt.Key.Key_Escape)
    assert view.grab().toImage() == before
    try:
        QTest.keyClick(view, Qt.Key.Key_F2)
        QTest.keyClick(view, Qt.Key.Key_F4)
        assert view.windowTitle() == "Druck, live"
        assert read_choice(tmp_path / "window.json") == Choice("light", language="de")
    finally:
        speak("en")


def test_of_how_many_a_mean_is_said_where_not_all_swings_have_it():
    mean = FootMean("heel_off_ms", "", 92.0, 5)
    assert say_foot(mean, 5, Handedness.RIGHT) == "Heel-off: 92 ms before impact"
    assert say_foot(mean, 6, Handedness.RIGHT) == "Heel-off: 92 ms before impact (mean of 5)"
