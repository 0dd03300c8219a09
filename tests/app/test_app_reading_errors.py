"""A lesson taught without a stated error of the device gets its verdict when the coach says it, by keyboard."""

import shutil
from dataclasses import replace

from PyQt5.QtCore import Qt
from waiting import PATIENCE_MS

from review.library import Library


def test_the_verdict_comes_once_the_error_is_said(qtbot, open_lesson, sample_library, tmp_path):
    folder = tmp_path / "library"
    shutil.copytree(sample_library, folder)
    with Library.open(folder) as library:
        lesson = library.latest_lesson()
        library.update_lesson(replace(lesson, repeatability=()))
    window = open_lesson(folder)
    assert window.chart.said.verdict == ""
    assert "repeatability of club path is not known" in window.chart.said.why
    qtbot.keyClick(window.chart, Qt.Key.Key_R)
    qtbot.waitUntil(lambda: window.others.find("reading_errors") is not None, timeout=PATIENCE_MS)
    page = window.others.find("reading_errors")
    field = page.fields["club_path_deg"]
    qtbot.keyClicks(field, "half")
    qtbot.keyClick(field, Qt.Key.Key_Return)
    assert "a number such as 0.5" in page.form.refusal.text()
    field.clear()
    qtbot.keyClicks(field, "0,5")
    with qtbot.waitSignal(window.state.comparison_changed, timeout=PATIENCE_MS):
        qtbot.keyClick(field, Qt.Key.Key_Return)
    assert window.chart.said.verdict == "Clear"
    with Library.open(folder) as library:
        assert dict(library.latest_lesson().repeatability) == {"club_path_deg": 0.5}
