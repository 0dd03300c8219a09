"""Settings: by arrow keys alone, taken on at once, kept for the next start."""

import pytest
from PyQt5.QtCore import Qt
from waiting import PATIENCE_MS

from review.app.language import speak
from review.app.look.choice import Choice, read_choice
from review.app.settings.rows import list_rows
from review.app.window import Window


@pytest.fixture(autouse=True)
def _english_after():
    yield
    speak("en")


@pytest.fixture
def window(qtbot, sample_library, tmp_path):
    shown = Window(sample_library, Choice(), tmp_path / "window.json")
    shown.show()
    with qtbot.waitSignal(shown.state.pupils_changed, timeout=PATIENCE_MS):
        shown.state.load_pupils()
    yield shown
    shown.close()
    shown.deleteLater()


def press(qtbot, window, *keys):
    for key in keys:
        qtbot.keyClick(window.others.find("settings").rows, key)


def test_every_setting_is_changed_by_arrows_and_kept(qtbot, window, tmp_path):
    qtbot.keyClick(window, Qt.Key.Key_F12)
    qtbot.waitUntil(lambda: window.others.name_on == "settings", timeout=PATIENCE_MS)
    page = window.others.find("settings")
    assert window.pages.currentWidget() is page
    was = window.look
    press(qtbot, window, Qt.Key.Key_Right)
    press(qtbot, window, Qt.Key.Key_Down, Qt.Key.Key_Right)
    assert not window.look.theme.is_dark
    assert window.look.plain_px > was.plain_px
    press(qtbot, window, Qt.Key.Key_Down, Qt.Key.Key_Down, Qt.Key.Key_Left)
    press(qtbot, window, Qt.Key.Key_Down, Qt.Key.Key_Right, Qt.Key.Key_Right)
    kept = read_choice(tmp_path / "window.json")
    assert kept == Choice("light", 1.15, "en", many_balls=120, idle_s=60)
    press(qtbot, window, Qt.Key.Key_Escape)
    assert window.pages.currentWidget() is window.start_page


def test_another_language_keeps_the_page_and_the_row(qtbot, window):
    qtbot.keyClick(window, Qt.Key.Key_F12)
    qtbot.waitUntil(lambda: window.others.name_on == "settings", timeout=PATIENCE_MS)
    press(qtbot, window, Qt.Key.Key_Down, Qt.Key.Key_Down, Qt.Key.Key_Right)
    page = window.others.find("settings")
    assert window.pages.currentWidget() is page
    assert page.row == 2
    assert page.rows.item(2).text() == "Sprache: Deutsch\nVon allem im Fenster. Auch mit F4."


def test_the_pupil_view_hides_after_the_time_chosen(qtbot, window):
    view = window.two_swings.show_view()
    window.choose_look(Choice(idle_s=30))
    assert view._idle.interval() == 30_000
    view.leave()


def test_steps_end_where_the_values_end():
    choice = Choice(many_balls=500, idle_s=15)
    rows = list_rows(choice)
    assert rows[4].step(1).many_balls == 500
    assert rows[3].step(-1).idle_s == 15
    assert rows[1].step(-1).text_size == 1.3  # of few kinds the last comes before the first
