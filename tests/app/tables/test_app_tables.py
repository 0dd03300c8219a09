"""A table nobody has seen, from the file to the lesson, by keyboard alone."""

import csv
import shutil

import pytest
from PyQt5.QtCore import QMimeData, QPoint, QPointF, Qt, QUrl
from PyQt5.QtGui import QDragEnterEvent, QDropEvent
from PyQt5.QtWidgets import QApplication
from waiting import PATIENCE_MS

from review.jobs.sample import find_sample_lesson
from review.jobs.tables.kept_mappings import list_mappings
from review.library import Library
from review.shots import read_mapping

STRANGE = {
    "time [HH:MM:SS]": "Uhr",
    "club": "Eisen",
    "club speed [mph]": "v1",
    "ball speed [mph]": "v2",
    "club path [deg]": "Weg",
    "carry [yd]": "Weite",
}


@pytest.fixture
def strange_table(tmp_path):
    """The sample's rows under headers that are no trade terms, the path counted the other way, carry in metres."""
    with (find_sample_lesson().parent / "shots.csv").open(encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    path = tmp_path / "bay.csv"
    with path.open("w", encoding="utf-8", newline="") as file:
        written = csv.writer(file, delimiter=";")
        written.writerow(STRANGE.values())
        for row in rows:
            values = {**row, "club path [deg]": f"{-float(row['club path [deg]']):.1f}"}
            values["carry [yd]"] = f"{float(row['carry [yd]']) * 0.9144:.1f}"
            written.writerow([values[name] for name in STRANGE])
    return path


@pytest.fixture
def library(library_without_table, tmp_path):
    return shutil.copytree(library_without_table, tmp_path / "library")


def press(qtbot, *keys):
    for key in keys:
        widget = QApplication.focusWidget()
        assert widget is not None, "the keyboard is nowhere"
        qtbot.keyClick(widget, key)


def write(qtbot, text):
    qtbot.keyClicks(QApplication.focusWidget(), text)


def settle(qtbot, window):
    qtbot.waitUntil(lambda: not len(window.state.line), timeout=PATIENCE_MS)


def go_to(qtbot, page, start):
    """Arrow down to the line that begins so, after its mark."""
    row = next(n for n, line in enumerate(page.lines) if line.first.lstrip("✓≈?– ").startswith(start))
    press(qtbot, Qt.Key.Key_Home, *[Qt.Key.Key_Down] * row)
    assert page.list.currentRow() == row


def line_of(page, start):
    return next(line for line in page.lines if line.first.lstrip("✓≈?– ").startswith(start))


def answer(qtbot, page, said):
    """Arrow down to an answer and take it."""
    choices = page.beside.one_of.choices
    (row,) = [n for n in range(choices.count()) if choices.item(n).text() == said]
    press(qtbot, *[Qt.Key.Key_Down] * row, Qt.Key.Key_Return)


@pytest.fixture
def page(qtbot, open_lesson, library, strange_table):
    window = open_lesson(library)
    window.activateWindow()
    qtbot.waitUntil(lambda: QApplication.focusWidget() is not None, timeout=PATIENCE_MS)
    press(qtbot, Qt.Key.Key_F6)
    write(qtbot, str(strange_table))
    press(qtbot, Qt.Key.Key_Return)
    settle(qtbot, window)
    return window.others.find("tables")


def test_from_unknown_headers_to_the_lesson(qtbot, page, library):
    window = page.window()
    assert page.looking.looked is not None, page.refusal.text()
    # what stands there tells times and clubs; numbers under names that say nothing are not guessed
    assert "→ time" in line_of(page, "Uhr").first
    assert "not read" in line_of(page, "Weg").first
    for header, measure, unit in (
        ("v1", "club speed", "mph"),
        ("v2", "ball speed", "mph"),
        ("Weg", "club path", "deg"),
        ("Weite", "carry", "m"),
    ):
        go_to(qtbot, page, header)
        press(qtbot, Qt.Key.Key_Return)
        answer(qtbot, page, measure)
        if page.beside.is_asking:
            answer(qtbot, page, unit)
        settle(qtbot, window)
        assert f"{measure}, in {unit}" in line_of(page, header).first
    go_to(qtbot, page, "Weg")
    press(qtbot, Qt.Key.Key_F)
    settle(qtbot, window)
    assert "sign turned round" in line_of(page, "Weg").first
    go_to(qtbot, page, "Club 6-iron")
    press(qtbot, Qt.Key.Key_Return)
    write(qtbot, "iron six")
    press(qtbot, Qt.Key.Key_Return)
    settle(qtbot, window)
    go_to(qtbot, page, "One reading of club path")
    press(qtbot, Qt.Key.Key_Return)
    write(qtbot, "nothing")
    press(qtbot, Qt.Key.Key_Return)
    assert "number above 0" in page.refusal.text()
    press(qtbot, *[Qt.Key.Key_Backspace] * 7)
    write(qtbot, "0,5")
    press(qtbot, Qt.Key.Key_Return)
    settle(qtbot, window)
    assert "± 0.5°" in line_of(page, "One reading of club path").first
    assert "can be read" in page.state_said.text()
    press(qtbot, Qt.Key.Key_K)
    write(qtbot, "bay 2")
    press(qtbot, Qt.Key.Key_Return)
    settle(qtbot, window)
    assert "Kept as bay 2" in page.state_said.text()
    kept = read_mapping(library / "mappings" / "bay 2.toml")
    assert kept.columns["Weg"] == "club_path_deg"
    assert (kept.units["Weite"], kept.flipped, kept.repeatability) == ("m", {"Weg"}, {"club_path_deg": 0.5})
    with qtbot.waitSignal(window.state.comparison_changed, timeout=PATIENCE_MS):
        press(qtbot, Qt.Key.Key_A)
    settle(qtbot, window)
    with Library.open(library, create=False) as opened:
        shots = opened.shots(opened.latest_lesson().id)
    # row 1 of the sample: 4.8 degrees in-to-out, 116.5 yd
    assert shots[0].values["club_path_deg"] == pytest.approx(4.8)
    assert shots[0].values["carry_yd"] == pytest.approx(116.5, abs=0.06)
    assert shots[0].club == "iron six"
    assert window.pages.currentWidget() is window.chart
    assert ("club_path_deg", "") in window.state.lesson.keys


def test_a_column_is_left_out_and_taken_back(qtbot, page):
    window = page.window()
    go_to(qtbot, page, "Uhr")
    press(qtbot, Qt.Key.Key_X)
    settle(qtbot, window)
    assert "not read" in line_of(page, "Uhr").first
    go_to(qtbot, page, "Uhr")
    press(qtbot, Qt.Key.Key_Return)
    answer(qtbot, page, "as it would be read by itself")
    settle(qtbot, window)
    assert "→ time" in line_of(page, "Uhr").first


def test_what_cannot_be_done_is_said_and_nothing_is_lost(qtbot, page, library):
    window = page.window()
    before = page.lines
    go_to(qtbot, page, "Weg")
    press(qtbot, Qt.Key.Key_F)  # no measure yet
    settle(qtbot, window)
    assert page.refusal.text()
    assert page.lines == before
    press(qtbot, Qt.Key.Key_K)
    press(qtbot, *[Qt.Key.Key_Backspace] * 3)
    write(qtbot, "../out")
    press(qtbot, Qt.Key.Key_Return)
    settle(qtbot, window)
    assert page.refusal.text()
    assert list_mappings(library) == ()
    press(qtbot, Qt.Key.Key_O)
    write(qtbot, "/nowhere/at all.csv")
    press(qtbot, Qt.Key.Key_Return)
    settle(qtbot, window)
    assert "at all.csv" in page.refusal.text()
    assert page.lines == before
    assert window.bar.isHidden()
    press(qtbot, Qt.Key.Key_Escape, Qt.Key.Key_Escape)
    assert window.pages.currentWidget() is window.chart


def test_without_a_lesson_it_is_looked_at_and_not_added(qtbot, open_window, sample_library):
    window = open_window(sample_library)
    page = window.others.show("tables")
    page.open_table(find_sample_lesson().parent / "shots.csv")
    settle(qtbot, window)
    assert all(line.first[0] in "✓≈?–" for line in page.lines if line.kind.name == "COLUMN")
    page.list.setFocus()
    qtbot.keyClick(page.list, Qt.Key.Key_A)
    assert "Open the lesson" in page.refusal.text()


def test_a_dropped_file_is_looked_at(qtbot, open_window, sample_library, strange_table):
    window = open_window(sample_library)
    page = window.others.show("tables")
    data = QMimeData()
    data.setUrls([QUrl.fromLocalFile(str(strange_table))])
    actions, button, key = Qt.DropAction.CopyAction, Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier
    entering = QDragEnterEvent(QPoint(5, 5), actions, data, button, key)
    page.dragEnterEvent(entering)
    assert entering.isAccepted()
    page.dropEvent(QDropEvent(QPointF(5, 5), actions, data, button, key))
    settle(qtbot, window)
    assert "Weg" in line_of(page, "Weg").first


def test_a_doubt_about_several_columns_is_a_line_of_its_own(qtbot, open_window, sample_library, tmp_path):
    table = tmp_path / "swapped.csv"
    table.write_text("Club Speed [mph],Ball Speed [mph]\n94,70\n95,71\n")
    window = open_window(sample_library)
    page = window.others.show("tables")
    page.open_table(table)
    settle(qtbot, window)
    assert page.lines[0].kind.name == "DOUBT"
    assert page.lines[0].more.startswith("Ball speed of about 70.5 mph is 0.75 times club speed")
    assert page.state_said.text().startswith("1 question first: it is marked ?")
    qtbot.keyClick(page.list, Qt.Key.Key_Return)
    assert not page.beside.is_asking
    assert "Right as it is: K keeps it." in page.refusal.text()
    page.looking.say_column("Club Speed [mph]", "ball_speed_mph", "mph")
    page.looking.say_column("Ball Speed [mph]", "club_speed_mph", "mph")
    settle(qtbot, window)
    assert "DOUBT" not in {line.kind.name for line in page.lines}


def test_signs_in_headers_and_clubs_do_not_confuse(qtbot, open_window, sample_library, tmp_path):
    table = tmp_path / "signs.csv"
    table.write_text("club,a=b [mph],Carry [yd]\n7=I,92,150\n7=I,93,151\n")
    window = open_window(sample_library)
    page = window.others.show("tables")
    page.open_table(table)
    settle(qtbot, window)
    page.looking.say_column("a=b [mph]", "ball_speed_mph", "mph")
    page.looking.name_club("7=I", "7-iron")
    settle(qtbot, window)
    assert "ball speed, in mph" in line_of(page, "a=b").first
    assert line_of(page, "Club 7=I").first == "Club 7=I → 7-iron"


def test_what_was_said_and_not_kept_is_not_lost_on_adding(qtbot, page, library):
    window = page.window()
    go_to(qtbot, page, "Weg")
    press(qtbot, Qt.Key.Key_Return)
    answer(qtbot, page, "club path")
    if page.beside.is_asking:
        answer(qtbot, page, "deg")
    settle(qtbot, window)
    press(qtbot, Qt.Key.Key_A)
    settle(qtbot, window)
    assert "Keep what you said of it first" in page.refusal.text()
    with Library.open(library) as opened:
        assert opened.shots(window.state.lesson.lesson.id) == ()
