"""The window used as a coach would, on the sample lesson, by keyboard alone."""

import shutil
from datetime import date
from pathlib import Path

import pytest
from PyQt5.QtCore import Qt
from PyQt5.QtWidgets import QApplication, QWidget
from waiting import PATIENCE_MS

from review.app.look import DARK, Look
from review.app.look.choice import Choice, read_choice, write_choice
from review.errors import MachineError
from review.lesson import Handedness, Lesson, Pupil
from review.lesson.words import say_value
from review.library import Library


def press(qtbot, window, *keys):
    """Press keys where the keyboard is."""
    for key in keys:
        qtbot.keyClick(QApplication.focusWidget() or window.pages.currentWidget(), key)


def activate(qtbot, window):
    window.activateWindow()
    qtbot.waitUntil(lambda: QApplication.focusWidget() is not None, timeout=PATIENCE_MS)


def test_from_the_first_page_to_an_opened_swing_by_keyboard_alone(qtbot, open_window, sample_library):
    window = open_window(sample_library)
    activate(qtbot, window)
    state = window.state
    assert window.pages.currentWidget() is window.start_page
    assert "Ines Calder" in window.start_page.pupils.item(0).text()
    with qtbot.waitSignal(state.comparison_changed, timeout=PATIENCE_MS):
        press(qtbot, window, Qt.Key.Key_Return)
    chart = window.chart
    assert window.pages.currentWidget() is chart
    assert state.measures == (("club_path_deg", ""),)  # the aim's first
    press(qtbot, window, Qt.Key.Key_Right, Qt.Key.Key_Right)
    second = state.lesson.swings[1]
    assert state.swing_id == second.id
    value = say_value("club_path_deg", second.shot.values["club_path_deg"], state.lesson.pupil.handedness)
    assert chart.readings == (f"Swing 2: {value}",)
    press(qtbot, window, Qt.Key.Key_End)
    assert state.swing_id == state.lesson.swings[-1].id
    press(qtbot, window, Qt.Key.Key_Right)  # there is none after it
    assert state.swing_id == state.lesson.swings[-1].id
    with qtbot.waitSignal(state.swing_opened) as opened:
        press(qtbot, window, Qt.Key.Key_Return)
    assert opened.args == [state.lesson.swings[-1].id]


def test_measures_are_chosen_and_stacked_by_keyboard(qtbot, open_lesson, sample_library):
    window = open_lesson(sample_library)
    activate(qtbot, window)
    state, chart = window.state, window.chart
    keys = state.lesson.keys
    press(qtbot, window, Qt.Key.Key_Down)
    assert state.measures == (keys[1],)
    press(qtbot, window, Qt.Key.Key_Up, Qt.Key.Key_Up)
    assert state.measures == (keys[-1],)  # round and round
    press(qtbot, window, Qt.Key.Key_Down, Qt.Key.Key_Plus, Qt.Key.Key_Plus, Qt.Key.Key_Plus)
    assert [drawing.key for drawing in chart.drawings] == list(keys[:3])
    press(qtbot, window, Qt.Key.Key_Minus, Qt.Key.Key_Minus, Qt.Key.Key_Minus)
    assert [drawing.key for drawing in chart.drawings] == [keys[0]]


def test_first_against_last_is_what_the_job_says(open_lesson, sample_library):
    window = open_lesson(sample_library)
    said = window.chart.said
    # the sample's own table, batch 1 and 3: (4.8+4.2+6.7+5.5+7.9+6.4)/6 = 5.9, (0.3+1.6+2.5+3.3+2.0)/5 = 1.9
    assert (said.first_words, said.last_words) == ("5.9° in-to-out", "1.9° in-to-out")
    assert said.change == "4.0° less in-to-out"
    assert said.verdict == "Clear"


def test_back_to_the_pupils_and_the_keys_page(qtbot, open_lesson, sample_library):
    window = open_lesson(sample_library)
    activate(qtbot, window)
    press(qtbot, window, Qt.Key.Key_Question)
    assert window.pages.currentWidget() is window.keys_page
    press(qtbot, window, Qt.Key.Key_Escape)
    assert window.pages.currentWidget() is window.chart
    press(qtbot, window, Qt.Key.Key_Escape)
    assert window.state.lesson is None
    assert window.pages.currentWidget() is window.start_page


def test_look_and_language_by_key(qtbot, open_lesson, sample_library):
    window = open_lesson(sample_library)
    activate(qtbot, window)
    before = window.look
    press(qtbot, window, Qt.Key.Key_F2, Qt.Key.Key_F3)
    assert not window.look.theme.is_dark
    assert window.look.number_px > before.number_px
    press(qtbot, window, Qt.Key.Key_F4)
    assert window.chart.accessibleName() == "Verlauf der Stunde"
    press(qtbot, window, Qt.Key.Key_F4)
    assert window.chart.accessibleName() == "Lesson chart"
    assert len(window.chart.drawings) == 1


def test_the_status_line_is_out_of_the_way_until_wanted(qtbot, open_lesson, sample_library, monkeypatch):
    monkeypatch.setattr("review.app.status_line.find_free_bytes", lambda folder: 10**12)
    window = open_lesson(sample_library)
    activate(qtbot, window)
    window.status.show_if_needed()
    assert window.status.isHidden()
    press(qtbot, window, Qt.Key.Key_F8)
    assert window.status.isVisible()
    monkeypatch.setattr("review.app.status_line.find_free_bytes", lambda folder: 10**9)
    press(qtbot, window, Qt.Key.Key_F8)
    assert window.status.isVisible()  # little room is said unasked


def test_every_panel_has_an_accessible_name(open_lesson, sample_library):
    window = open_lesson(sample_library)
    ours = [w for w in window.findChildren(QWidget) if type(w).__module__.startswith("review.")]
    laid_out_only = ("MeasurePlot", "PageHead")  # what is in them has names
    nameless = [type(w).__name__ for w in ours if not w.accessibleName() and type(w).__name__ not in laid_out_only]
    assert len(ours) > 8
    assert nameless == []


def test_a_left_hander_is_told_in_his_words(open_lesson, left_handed_library):
    window = open_lesson(left_handed_library)
    assert window.chart.said.first_words == "5.9° out-to-in"
    assert window.chart.drawings[0].up == "more out-to-in"


def test_a_lesson_without_a_table_opens_and_says_what_is_missing(qtbot, open_window, library_without_table):
    window = open_window(library_without_table)
    with qtbot.waitSignal(window.state.comparison_changed, timeout=PATIENCE_MS):
        window.state.open_lesson(window.state.pupils[0].lessons[0].id)
    (drawing,) = window.chart.drawings
    assert [mark.swing_id for mark in drawing.marks] == [swing.id for swing in window.state.lesson.swings]
    assert {band.batch.number for band in drawing.bands if band.batch} == {
        batch.number for batch in window.state.lesson.lesson.batches
    }
    assert window.chart.notes == "No number of this lesson yet: no row and no measured clip."
    window.state.step_swing(1)
    window.state.step_measure(1)
    window.state.stack(1)
    assert window.bar.isHidden()


def test_no_library_is_said_and_the_window_stays(qtbot, open_window, tmp_path):
    window = open_window(tmp_path / "nothing")
    assert "There is no library" in window.bar.text
    assert window.pages.currentWidget() is window.start_page
    assert not (tmp_path / "nothing").exists()
    assert "F10 begins a lesson" in window.start_page._empty.text()
    qtbot.keyClick(window.start_page, Qt.Key.Key_Escape)
    qtbot.keyClick(window.start_page, Qt.Key.Key_F10)
    qtbot.waitUntil(lambda: window.live.begin_page is not None, timeout=PATIENCE_MS)
    assert window.pages.currentWidget() is window.live.begin_page


def test_a_lesson_closed_while_it_opens_does_not_come_back(qtbot, open_window, sample_library):
    window = open_window(sample_library)
    window.state.open_lesson(window.state.pupils[0].lessons[0].id)
    window.state.close_lesson()
    qtbot.waitUntil(lambda: not len(window.state.line), timeout=PATIENCE_MS)
    assert window.state.lesson is None
    assert window.pages.currentWidget() is window.start_page


def test_who_was_taught_last_on_a_day_comes_first(open_window, tmp_path):
    with Library.open(tmp_path / "library") as library:
        for n, name in enumerate(("Abe", "Cleo", "Bob")):
            library.add_pupil(Pupil(f"p{n}", name, Handedness.RIGHT))
        for n in (1, 2, 0):
            library.add_lesson(Lesson(f"l{n}", f"p{n}", date(2026, 3, 14)))
        library.add_pupil(Pupil("p3", "Never", Handedness.LEFT))
    window = open_window(tmp_path / "library")
    assert [shown.pupil.name for shown in window.state.pupils] == ["Abe", "Bob", "Cleo", "Never"]


def test_a_removal_that_was_broken_off_is_finished_and_told(open_window, library_without_table, tmp_path, monkeypatch):
    folder = tmp_path / "library"
    shutil.copytree(library_without_table, folder)

    def held(self: Path, missing_ok: bool = False) -> None:
        raise PermissionError(13, "The process cannot access the file")

    with Library.open(folder) as library, monkeypatch.context() as patch:
        patch.setattr(Path, "unlink", held)
        with pytest.raises(MachineError):
            library.forget_pupil(library.pupils()[0].id)
    window = open_window(folder)
    assert window.state.pupils == ()
    assert "broken off is finished: 2 clips gone" in window.bar.text


def test_numbers_are_large_enough_for_two_metres():
    small, large = Look.fit(DARK, 1366, 768), Look.fit(DARK, 2560, 1440)
    assert small.number_px >= 28
    assert large.number_px / 1440 >= 28 / 768


def test_the_choice_is_kept_and_nonsense_is_not_taken(tmp_path):
    kept = tmp_path / "deep" / "window.json"
    assert read_choice(kept) == Choice()
    write_choice(Choice("light", 1.15, "de"), kept)
    assert read_choice(kept) == Choice("light", 1.15, "de")
    kept.write_text('{"theme_name": "pink", "text_size": [1], "language": "de"}')
    assert read_choice(kept) == Choice(language="de")
    kept.write_text("{")
    assert read_choice(kept) == Choice()


@pytest.mark.parametrize("held", [Qt.KeyboardModifier.NoModifier, Qt.KeyboardModifier.ShiftModifier])
def test_the_question_mark_shows_the_keys_on_every_page_and_goes_back(qtbot, open_window, sample_library, held):
    window = open_window(sample_library)
    window.activateWindow()
    lists = window.start_page.pupils
    qtbot.keyClick(lists, Qt.Key.Key_Question, held)
    assert window.pages.currentWidget() is window.keys_page
    qtbot.keyClick(window.keys_page, Qt.Key.Key_Question, held)
    assert window.pages.currentWidget() is window.start_page
    window.others.ask_pupil(window.state.pupils[0].pupil.id)
    qtbot.waitUntil(lambda: window.others.pupil is not None and not len(window.state.line), timeout=PATIENCE_MS)
    page = window.others.pupil
    qtbot.keyClick(page.overview.lessons, Qt.Key.Key_Question, held)
    assert window.pages.currentWidget() is window.keys_page
    qtbot.keyClick(window.keys_page, Qt.Key.Key_Escape)
    assert window.pages.currentWidget() is page
    page.note.text.setFocus()
    page._show(page.note)
    qtbot.keyClick(page.note.text, "?", held)
    assert page.note.text.toPlainText().endswith("?")  # where something is written it is a letter
