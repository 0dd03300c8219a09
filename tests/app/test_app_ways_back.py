"""Where Esc leads: to the page another one was opened from, and after another language to the same page."""

import pytest
from PyQt5.QtCore import Qt
from waiting import PATIENCE_MS

from review.app.pages_by_name import name_page_on


@pytest.fixture
def window(qtbot, open_lesson, sample_library):
    """The sample lesson with a swing of it open."""
    window = open_lesson(sample_library)
    window.state.open_swing(next(swing.id for swing in window.state.lesson.swings if swing.clips))
    qtbot.waitUntil(lambda: window.swing_page.is_ready, timeout=PATIENCE_MS)
    return window


def _press(qtbot, window, key, name):
    qtbot.keyClick(window.pages.currentWidget(), key)
    qtbot.waitUntil(lambda: name_page_on(window) == name, timeout=PATIENCE_MS)


@pytest.mark.parametrize(
    ("key", "name"),
    [
        (Qt.Key.Key_F6, "tables"),
        (Qt.Key.Key_F7, "questions"),
        (Qt.Key.Key_F9, "cautions"),
        (Qt.Key.Key_F12, "settings"),
    ],
)
def test_a_page_opened_over_a_swing_leads_back_to_it(qtbot, window, key, name):
    player = window.swing_page.player
    _press(qtbot, window, key, name)
    window.others.find(name).left.emit()
    assert name_page_on(window) == "swing"
    assert window.swing_page.player is player


def test_pages_over_pages_are_left_one_by_one(qtbot, window):
    _press(qtbot, window, Qt.Key.Key_F6, "tables")
    _press(qtbot, window, Qt.Key.Key_F12, "settings")
    _press(qtbot, window, Qt.Key.Key_F6, "tables")  # the one that was left open: the settings are over
    window.others.find("tables").left.emit()
    assert name_page_on(window) == "swing"
    _press(qtbot, window, Qt.Key.Key_F6, "tables")
    _press(qtbot, window, Qt.Key.Key_F12, "settings")
    window.others.find("settings").left.emit()
    assert name_page_on(window) == "tables"
    window.others.find("tables").left.emit()
    assert name_page_on(window) == "swing"


@pytest.mark.parametrize("name", ["swing", "pair", "balls", "settings", "tables", "handing_out"])
def test_another_language_stays_on_the_page(qtbot, window, name):
    if name == "pair":
        window.two_swings.show_page()
        qtbot.waitUntil(lambda: window.two_swings.page.is_ready, timeout=PATIENCE_MS)
    elif name != "swing":
        window.others.ask(name)
        qtbot.waitUntil(lambda: name_page_on(window) == name, timeout=PATIENCE_MS)
    chosen = (window.state.swing_id, window.two_swings.chosen)
    window.choose_look(window.choice.with_next_language())
    qtbot.waitUntil(lambda: name_page_on(window) == name and not len(window.state.line), timeout=PATIENCE_MS)
    assert (window.state.swing_id, window.two_swings.chosen) == chosen
    window.choose_look(window.choice.with_next_language())
