"""A long message takes two lines of the window, all of it is one key away, and nothing of it is kept."""

from PyQt5.QtCore import Qt
from PyQt5.QtTest import QTest

from review.app.error_bar import FEW_LINES


def test_a_long_message_takes_two_lines_and_all_of_it_is_one_key_away(qtbot, open_window, tmp_path):
    window = open_window(tmp_path / "empty")
    long = " ".join(f"word{n}" for n in range(120))
    window.bar.say(long)
    qtbot.waitUntil(lambda: len(window.bar.lines) == FEW_LINES)
    assert window.bar.lines[-1].endswith("…")
    height = window.bar.sizeHint().height()
    assert window.width() == 1366
    QTest.keyClick(window.start_page, Qt.Key.Key_F11)
    assert " ".join(window.bar.lines) == long
    assert window.bar.sizeHint().height() > height
    QTest.keyClick(window.start_page, Qt.Key.Key_F11)
    assert len(window.bar.lines) == FEW_LINES
    window.bar.say("short")
    assert window.bar.lines == ["short"]
    assert window.bar._more.isHidden()


def test_a_word_longer_than_the_window_does_not_widen_it(qtbot, open_window, tmp_path):
    window = open_window(tmp_path / "empty")
    window.bar.say("x" * 4000)
    qtbot.waitUntil(lambda: len(window.bar.lines) == FEW_LINES)
    assert window.width() == 1366


def test_in_a_low_window_one_line_has_to_do(qtbot, open_window, tmp_path):
    window = open_window(tmp_path / "empty")
    window.resize(800, 480)
    window.bar.say(" ".join(f"word{n}" for n in range(120)))
    qtbot.waitUntil(lambda: len(window.bar.lines) == 1 and window.bar.lines[0].endswith("…"))
    shown = window.bar._shown
    assert shown.fontMetrics().horizontalAdvance(shown.text()) <= shown.width()
