"""Backup and old clips from the window: by keyboard, beside other work, stopped without harm."""

import shutil
import threading
import time
from dataclasses import replace
from datetime import date, datetime

import pytest
from PyQt5.QtCore import Qt
from waiting import PATIENCE_MS

from review.app.keeping_house import view, words
from review.app.keeping_house.words import RULES, say_backup, say_to_go
from review.app.language import speak
from review.jobs.keeping_house.backing_up import check_backup
from review.jobs.keeping_house.for_window import HouseShown, back_up_library
from review.jobs.keeping_house.thinning import Thinning
from review.library import KeptBackup, Library, OldClip

_Key = Qt.Key


@pytest.fixture
def page(open_window, sample_library, tmp_path, qtbot):
    """The page, by F12 and B."""
    window = open_window(shutil.copytree(sample_library, tmp_path / "library"))
    qtbot.keyClick(window, _Key.Key_F12)
    qtbot.waitUntil(lambda: window.others.name_on == "settings", timeout=PATIENCE_MS)
    qtbot.keyClick(window.others.find("settings").rows, _Key.Key_B)
    qtbot.waitUntil(lambda: window.others.name_on == "house", timeout=PATIENCE_MS)
    page = window.others.find("house")
    qtbot.waitUntil(lambda: page.shown is not None, timeout=PATIENCE_MS)
    return page


def _wait(qtbot, page) -> None:
    qtbot.waitUntil(lambda: not page.is_working and not len(page._state.line), timeout=PATIENCE_MS)


def test_backed_up_by_keyboard_and_the_next_time_the_folder_is_known(page, qtbot, tmp_path):
    assert "no backup yet" in page.backup.text()
    qtbot.keyClick(page.folder, _Key.Key_Return)
    assert "another disk" in page.said.text()
    qtbot.keyClicks(page.folder, str(tmp_path / "stick"))
    qtbot.keyClick(page.folder, _Key.Key_Return)
    _wait(qtbot, page)
    assert "each read back and right" in page.said.text()
    assert "Backed up today" in page.backup.text()
    assert check_backup(tmp_path / "stick")[1] == ()
    qtbot.keyClick(page.folder, _Key.Key_Escape)
    assert page.window().others.name_on == "settings"


def test_refusals_are_said_on_the_page(page, qtbot, tmp_path):
    page.folder.setText(str(tmp_path / "nowhere" / "stick"))
    qtbot.keyClick(page.folder, _Key.Key_Return)
    _wait(qtbot, page)
    assert "Is the disk connected?" in page.said.text()


def test_stopped_it_leaves_the_earlier_backup(page, qtbot, tmp_path, monkeypatch):
    page.folder.setText(str(tmp_path / "stick"))
    page.back_up()
    _wait(qtbot, page)

    def slow(library, to, progress):
        for n in range(10_000):
            progress(n, 10_000)
            time.sleep(0.005)

    monkeypatch.setattr(view, "back_up_library", slow)
    page.back_up()
    qtbot.waitUntil(lambda: "%" in page.said.text(), timeout=PATIENCE_MS)
    qtbot.keyClick(page.stop, _Key.Key_Return)
    _wait(qtbot, page)
    assert page.said.text().startswith("Stopped.")
    assert not page.stop.isVisible()
    assert page.window().others.name_on == "house"
    assert check_backup(tmp_path / "stick")[1] == ()


def test_the_coach_goes_on_meanwhile_and_is_told_at_the_end(page, qtbot, tmp_path, monkeypatch):
    window, may_end = page.window(), threading.Event()

    def until_let(library, to, progress):
        progress(1, 2)
        assert may_end.wait(PATIENCE_MS / 1000)
        return back_up_library(library, to, progress)

    monkeypatch.setattr(view, "back_up_library", until_let)
    page.folder.setText(str(tmp_path / "stick"))
    page.back_up()
    qtbot.waitUntil(lambda: "50 %" in page.said.text(), timeout=PATIENCE_MS)
    qtbot.keyClick(page.stop, _Key.Key_Escape)
    assert window.others.name_on == "settings"
    lesson = window.state.pupils[0].lessons[0]
    with qtbot.waitSignal(window.state.lesson_changed, timeout=PATIENCE_MS):
        window.state.open_lesson(lesson.id)
    with qtbot.waitSignal(window.state.step_told, timeout=PATIENCE_MS) as told:
        may_end.set()
    assert "each read back and right" in told.args[0]
    assert check_backup(tmp_path / "stick")[1] == ()


def test_old_clips_go_by_the_rule_after_a_second_press(page, qtbot, tmp_path):
    assert not page.go.isVisible()
    page.rule.setCurrentIndex(RULES.index(4))
    page.rule.activated.emit(RULES.index(4))
    _wait(qtbot, page)
    n_clips = len(page.shown.thinning.clips)
    assert n_clips > 0
    assert page.go.isVisible()
    page.go.setFocus()
    qtbot.keyClick(page.go, _Key.Key_Space)
    assert "once more" in page.go.text()
    qtbot.keyClick(page.go, _Key.Key_Escape)
    assert "once more" not in page.go.text()
    qtbot.keyClick(page.go, _Key.Key_Return)
    qtbot.keyClick(page.go, _Key.Key_Return)
    _wait(qtbot, page)
    assert f"{n_clips} clips" in page.said.text()
    assert not page.go.isVisible()
    with Library.open(tmp_path / "library", create=False) as library:
        assert len(library.clips_let_go(library.lessons()[0].id)) == n_clips


@pytest.mark.parametrize(("days", "said"), [(0, "today"), (1, "yesterday"), (40, "40 days ago")])
def test_how_old_the_backup_is(days, said):
    made = datetime(2026, 10, 1, 12)
    shown = HouseShown(KeptBackup("id", "stick", made, made), Thinning(None, date(2026, 1, 1)))
    assert said in say_backup(shown, date.fromordinal(made.toordinal() + days))


def test_what_would_go_is_said_in_german_with_a_comma():
    speak("de")
    try:
        clips = (OldClip("clips/a.mp4", date(2026, 1, 1), 1),)
        assert "1 Clip aus Stunden vor 2026-03-01, 1,25 GB" in say_to_go(
            Thinning(4, date(2026, 3, 1), clips, 1_250_000_000)
        )
        staying = Thinning(4, date(2026, 3, 1), clips, 35_000_000, {"chosen": 8, "marked": 2})
        assert "35 MB" in say_to_go(staying)
        assert say_to_go(staying).endswith("\nÄltere Clips, die bleiben: 8 gewählt, 2 mit Ihrer Marke.")
        assert say_to_go(replace(staying, clips=())).startswith("Kein älterer Clip geht.")
        assert words.say_rule(None) == "Alle Clips bleiben"
    finally:
        speak("en")
