"""The page of the balls: words and pictures of the first and the last batch, by keyboard."""

from PyQt5.QtCore import Qt
from waiting import PATIENCE_MS


def _show_balls(window, qtbot):
    qtbot.keyClick(window.chart, Qt.Key.Key_F)
    qtbot.waitUntil(lambda: window.others.name_on == "balls", timeout=PATIENCE_MS)
    page = window.others.find("balls")
    if page.instead.text():
        qtbot.waitUntil(lambda: "…" not in page.instead.text(), timeout=PATIENCE_MS)
    return page


def test_flight_and_strike_by_one_key_and_back(open_lesson, sample_library, qtbot):
    window = open_lesson(sample_library)
    page = _show_balls(window, qtbot)
    assert all(not picture.pixmap().isNull() for picture in page.pictures.values())
    assert "draw" in page.lines.accessibleDescription()
    assert "because the face was" in page.lines.accessibleDescription()
    qtbot.keyClick(page, Qt.Key.Key_Escape)
    assert window.pages.currentWidget() is window.chart


def test_a_left_handers_balls_have_the_words_of_the_other_side(open_lesson, left_handed_library, qtbot):
    """The sample's balls start right and curve left: pushed draws of a right-hander, pulled fades of a left-hander."""
    page = _show_balls(open_lesson(left_handed_library), qtbot)
    assert "fade" in page.lines.accessibleDescription()
    assert "draw" not in page.lines.accessibleDescription()


def test_without_a_table_it_says_what_is_missing(open_lesson, library_without_table, qtbot):
    page = _show_balls(open_lesson(library_without_table), qtbot)
    assert page.instead.text()
    assert all(picture.pixmap() is None or picture.pixmap().isNull() for picture in page.pictures.values())
