"""The mat's table and steps, named on their page by keys alone; a mat's table among those of shots leads there."""

import shutil
from dataclasses import replace
from pathlib import Path

import pytest
from PyQt5.QtCore import Qt
from PyQt5.QtWidgets import QApplication
from waiting import PATIENCE_MS

from review.app.language import speak
from review.app.sentences import say_sentences
from review.jobs.adding import add_lesson
from review.jobs.lesson_file import read_lesson_file
from review.jobs.pressure.mats import load_mat
from review.library import Library

SAMPLE = Path(__file__).parents[3] / "sample_clips"
TRACE, STEPS = SAMPLE / "pressure.csv", SAMPLE / "pressure_calibration.csv"


@pytest.fixture(scope="module")
def bare(tmp_path_factory):
    """The sample lesson before its mat was added."""
    folder = tmp_path_factory.mktemp("bare") / "library"
    with Library.open(folder) as library:
        add_lesson(library, replace(read_lesson_file(SAMPLE / "lesson.toml"), pressure=None, mat=None))
    return folder


@pytest.fixture
def window(qtbot, bare, tmp_path, open_window):
    folder = shutil.copytree(bare, tmp_path / "library")
    window = open_window(folder)
    with Library.open(folder) as library:
        window.state.open_lesson(library.lessons()[0].id)
    settle(qtbot, window)
    return window


def settle(qtbot, window):
    qtbot.waitUntil(lambda: not len(window.state.line), timeout=PATIENCE_MS)


def press(qtbot, *keys):
    for key in keys:
        qtbot.keyClick(QApplication.focusWidget(), key)


def write(qtbot, text):
    field = QApplication.focusWidget()
    field.clear()
    qtbot.keyClicks(field, text)


def ask_mat(qtbot, window):
    press(qtbot, Qt.Key.Key_G)
    qtbot.waitUntil(lambda: window.others.name_on == "ground", timeout=PATIENCE_MS)
    press(qtbot, Qt.Key.Key_M)
    qtbot.waitUntil(lambda: window.others.name_on == "mat", timeout=PATIENCE_MS)
    return window.others.find("mat")


def read_mat(window):
    with Library.open(window.state.library) as library:
        lesson_id = window.state.lesson.lesson.id
        n_traces = sum(swing.trace is not None for swing in library.swings(lesson_id))
        return load_mat(library, lesson_id), n_traces


def test_by_keys_table_and_steps_are_kept_and_replaced_only_after_asking(qtbot, window):
    page = ask_mat(qtbot, window)
    write(qtbot, str(TRACE))
    press(qtbot, Qt.Key.Key_Tab, Qt.Key.Key_Tab)
    write(qtbot, str(STEPS))
    press(qtbot, Qt.Key.Key_Tab, *[Qt.Key.Key_Tab] * 3)
    assert QApplication.focusWidget() is page.stance
    settle(qtbot, window)
    assert page.trace_said.text() == "Time, x, y, force · 6080 samples, about 100 a second"
    assert page.mat_said.text().startswith("Mat turned by 3.")
    write(qtbot, "43.5")
    assert read_mat(window) == (None, 0)
    press(qtbot, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: window.others.name_on == "ground", timeout=PATIENCE_MS)
    settle(qtbot, window)
    mat, n_traces = read_mat(window)
    assert mat.placement.stance_cm == 43.5
    assert n_traces > 10

    page = ask_mat_again(qtbot, window)
    press(qtbot, *[Qt.Key.Key_Tab] * 4)
    write(qtbot, "10")
    press(qtbot, Qt.Key.Key_Return)
    settle(qtbot, window)
    assert "replaces how the mat lay" in page.refusal.text()
    assert read_mat(window) == (mat, n_traces)
    press(qtbot, Qt.Key.Key_Escape)
    assert window.others.name_on == "ground"
    assert read_mat(window) == (mat, n_traces)
    page = ask_mat_again(qtbot, window)
    press(qtbot, *[Qt.Key.Key_Tab] * 4)
    write(qtbot, "10")
    press(qtbot, Qt.Key.Key_Return)
    settle(qtbot, window)
    press(qtbot, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: window.others.name_on == "ground", timeout=PATIENCE_MS)
    settle(qtbot, window)
    now, still = read_mat(window)
    assert (now.placement.angle_deg, still) == (10.0, n_traces)


def ask_mat_again(qtbot, window):
    press(qtbot, Qt.Key.Key_M)
    qtbot.waitUntil(lambda: window.others.name_on == "mat", timeout=PATIENCE_MS)
    return window.others.find("mat")


def test_steps_that_are_refused_are_told_beneath_their_table_and_nothing_is_kept(qtbot, window):
    page = ask_mat(qtbot, window)
    press(qtbot, Qt.Key.Key_Tab, Qt.Key.Key_Tab)
    write(qtbot, str(TRACE))
    press(qtbot, Qt.Key.Key_Return)
    settle(qtbot, window)
    assert "three stretches held still" in page.mat_said.text()
    assert page.refusal.text()
    assert read_mat(window) == (None, 0)
    speak("de")
    try:
        said = say_sentences(page.mat_said.text())
    finally:
        speak("en")
    assert said.startswith("pressure.csv: erwartet drei still gehaltene Abschnitte")


def test_a_mats_table_among_those_of_shots_leads_to_the_page(qtbot, window):
    press(qtbot, Qt.Key.Key_F6)
    qtbot.waitUntil(lambda: window.others.name_on == "tables", timeout=PATIENCE_MS)
    write(qtbot, str(TRACE))
    press(qtbot, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: window.others.name_on == "mat", timeout=PATIENCE_MS)
    settle(qtbot, window)
    page = window.others.find("mat")
    assert page.trace.path == TRACE
    assert "6080 samples" in page.trace_said.text()
    assert page.told.text() == "pressure.csv is the table of a pressure mat: here it is added."
    assert not page.refusal.text()
