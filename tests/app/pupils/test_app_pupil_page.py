"""A pupil's page used as a coach would, by keyboard alone."""

import shutil
import subprocess
import sys
from datetime import date, datetime, timedelta

import pytest
from PyQt5.QtCore import Qt
from PyQt5.QtWidgets import QApplication
from waiting import PATIENCE_MS

from review.cli.main import main
from review.errors import BadInputError
from review.jobs.measuring.whole_lesson import measure_lesson
from review.lesson import Handedness, Purpose
from review.library import Library
from review.pose import Effort

TODAY = date.today()


@pytest.fixture
def library(sample_library, tmp_path):
    """A copy of the sample lesson's library, to be changed."""
    return shutil.copytree(sample_library, tmp_path / "library")


@pytest.fixture
def coach(qtbot):
    """Presses keys where the keyboard is, and waits until nothing runs."""

    class Coach:
        def press(self, *keys):
            for key in keys:
                widget = QApplication.focusWidget()
                assert widget is not None, "the keyboard is nowhere"
                qtbot.keyClick(widget, key)

        def write(self, text):
            qtbot.keyClicks(QApplication.focusWidget(), text)

        def settle(self, window):
            qtbot.waitUntil(lambda: not len(window.state.line), timeout=PATIENCE_MS)

        def open(self, window):
            window.activateWindow()
            self.settle(window)
            qtbot.waitUntil(lambda: QApplication.focusWidget() is not None, timeout=PATIENCE_MS)
            self.press(Qt.Key.Key_Space)
            self.settle(window)
            return window.others.pupil

    return Coach()


def pupils_of(folder):
    with Library.open(folder, create=False) as opened:
        return {pupil.name: pupil for pupil in opened.pupils()}


def test_before_the_pupil_arrives(open_window, coach, library):
    page = coach.open(open_window(library))
    glance = page.overview
    assert glance.name.text() == "Ines Calder"
    # the sample's own table: batch 1 mean 5.9, batch 3 mean 1.9 degrees in-to-out
    assert glance.last.text() == "Club path: clear, 4.0° less in-to-out"
    assert "hardly feels like I hit it" in glance.feel.text()
    assert glance.look_first.text() == "Club path: the last batch ended at 1.9° in-to-out"
    assert "Given by Ines Calder on 14 March 2026" in glance.consent.text()
    assert "Not to: keep the voice" in glance.consent_more.text()
    coach.press(Qt.Key.Key_Return)
    coach.settle(page.window())
    assert page._state.lesson is not None


def test_what_was_handed_over_is_on_the_page_the_latest_first(open_window, coach, library):
    with Library.open(library, create=False) as held:
        lesson_id = held.lessons()[0].id
        for day in range(1, 8):
            held.note_handout(lesson_id, f"take-home in folder {day}", "Ines Calder", datetime(2026, 3, day, 12))
    glance = coach.open(open_window(library)).overview
    lines = glance.handed_out.text().splitlines()
    assert lines[0] == "take-home in folder 7, to Ines Calder on 2026-03-07"
    assert lines[-1] == "and 2 before"
    assert len(lines) == 6


def test_a_new_minor_with_guardian_and_the_guardians_consent(open_window, coach, tmp_path):
    folder = tmp_path / "empty"
    with Library.open(folder):
        pass
    window = open_window(folder)
    window.activateWindow()
    coach.settle(window)
    coach.press(Qt.Key.Key_Plus)
    page, form = window.others.pupil, window.others.pupil.details
    coach.write("Kim Example")
    coach.press(Qt.Key.Key_Return)
    assert "from which side" in form.refusal.text()
    coach.press(Qt.Key.Key_Tab, Qt.Key.Key_Right, Qt.Key.Key_Space)
    assert form.hands[Handedness.LEFT].isChecked()
    coach.press(Qt.Key.Key_Tab)
    coach.write("4'9")
    coach.press(Qt.Key.Key_Tab, Qt.Key.Key_Space, Qt.Key.Key_Return)
    coach.settle(window)
    assert "guardian's name" in form.refusal.text()
    assert pupils_of(folder) == {}
    coach.press(Qt.Key.Key_Tab)
    coach.write("Mo Example")
    coach.press(Qt.Key.Key_Return)
    coach.settle(window)
    kim = pupils_of(folder)["Kim Example"]
    # 57 in * 2.54 cm
    assert (kim.handedness, kim.stature_m, kim.is_minor, kim.guardian) == (Handedness.LEFT, 1.448, True, "Mo Example")
    assert page.parts.currentWidget() is page.overview
    assert "Ask the guardian" in page.overview.consent.text()
    coach.press(Qt.Key.Key_C, Qt.Key.Key_Space, Qt.Key.Key_Return)  # keep, and nothing else
    coach.settle(window)
    kim = pupils_of(folder)["Kim Example"]
    assert kim.consent.given_by == "Mo Example"
    assert kim.consent.purposes == {Purpose.KEEP}
    assert "Not to: " in page.overview.consent_more.text()
    coach.press(Qt.Key.Key_Escape)
    assert window.pages.currentWidget() is window.start_page
    assert window.start_page.pupils.count() == 1


def test_consent_refused_nothing_is_measured_or_handed_out(open_window, coach, library, tmp_path, capsys):
    window = open_window(library)
    page = coach.open(window)
    coach.press(Qt.Key.Key_C)
    for toggle in page.consent.purposes.values():
        if toggle.isChecked():
            assert QApplication.focusWidget() is toggle
            coach.press(Qt.Key.Key_Space)
        coach.press(Qt.Key.Key_Tab)
    coach.press(Qt.Key.Key_Return)
    coach.settle(window)
    assert "Withdrawn on" in page.overview.consent.text()
    assert main(["takehome", "--to", str(tmp_path / "out"), "--library", str(library)]) == 2
    assert "without consent to share" in capsys.readouterr().err.replace("\n", " ")
    assert not (tmp_path / "out").exists()
    with Library.open(library) as opened:
        lesson = opened.latest_lesson()
        with pytest.raises(BadInputError, match="withdrawn on"):
            measure_lesson(opened, lesson, Effort.QUICK)


def test_age_and_guardian_on_the_consent_form_and_what_is_left_half_written_stays(open_window, coach, library):
    page = coach.open(open_window(library))
    coach.press(Qt.Key.Key_C)
    form = page.consent
    form.minor.setFocus()
    coach.press(Qt.Key.Key_Space, Qt.Key.Key_Tab)
    coach.write("Rana Calder")
    assert form.given_by.text() == "Rana Calder"
    coach.press(Qt.Key.Key_Escape)
    assert "Not kept yet" in page.window().status.accessibleDescription()
    assert not pupils_of(library)["Ines Calder"].is_minor
    coach.press(Qt.Key.Key_C)
    assert (form.minor.isChecked(), form.guardian.text()) == (True, "Rana Calder")
    coach.press(Qt.Key.Key_Return)
    coach.settle(page.window())
    ines = pupils_of(library)["Ines Calder"]
    assert (ines.is_minor, ines.guardian, ines.consent.given_by) == (True, "Rana Calder", "Rana Calder")
    coach.press(Qt.Key.Key_C)  # nothing half written is left
    assert form.on_record.text().startswith("Consent of Ines Calder: Given by Rana Calder")


def test_a_last_day_is_kept_and_one_that_is_none_is_refused(open_window, coach, library):
    window = open_window(library)
    page = coach.open(window)
    coach.press(Qt.Key.Key_C)
    coach.press(*[Qt.Key.Key_Tab] * 5)
    assert QApplication.focusWidget() is page.consent.until
    coach.write("soon")
    coach.press(Qt.Key.Key_Return)
    assert "such as 2027-03-31; got soon" in page.consent.refusal.text()
    coach.press(*[Qt.Key.Key_Backspace] * 4)
    last = TODAY + timedelta(days=90)
    coach.write(last.isoformat())
    coach.press(Qt.Key.Key_Return)
    coach.settle(window)
    kept = pupils_of(library)["Ines Calder"].consent
    assert (kept.until, kept.given_on) == (last, TODAY)
    assert Purpose.MEASURE in kept.purposes


def test_a_private_note_is_kept_and_shown_only_when_asked_for(qtbot, open_window, coach, library, tmp_path):
    window = open_window(library)
    page = coach.open(window)
    coach.press(Qt.Key.Key_N)
    coach.write("left-knee-zq7")
    coach.press(Qt.Key.Key_Escape)
    coach.settle(window)
    assert pupils_of(library)["Ines Calder"].private_note == "left-knee-zq7"
    shown = [label.text() for label in page.overview.findChildren(type(page.overview.note))]
    assert not any("zq7" in text for text in shown)
    assert "There is one" in page.overview.note.text()
    assert main(["takehome", "--to", str(tmp_path / "out"), "--library", str(library)]) == 0
    for path in (tmp_path / "out").rglob("*"):
        assert path.is_dir() or b"zq7" not in path.read_bytes()
    # what is written last is kept though the window is closed at once
    coach.press(Qt.Key.Key_N)
    coach.write("both-")
    coach.press(Qt.Key.Key_Escape)
    window.close()
    assert pupils_of(library)["Ines Calder"].private_note == "both-left-knee-zq7"


def test_a_walk_in_is_chosen_when_the_coach_comes_back(open_window, coach, library):
    window = open_window(library)
    coach.open(window)
    coach.press(Qt.Key.Key_Escape, Qt.Key.Key_Plus)
    coach.write("Walk In")
    coach.press(Qt.Key.Key_Tab, Qt.Key.Key_Space, Qt.Key.Key_Return)
    coach.settle(window)
    coach.press(Qt.Key.Key_Escape)
    assert window.pages.currentWidget() is window.start_page
    assert window.start_page.chosen_pupil == pupils_of(library)["Walk In"].id


def test_a_wrong_name_is_corrected(open_window, coach, library):
    window = open_window(library)
    page = coach.open(window)
    coach.press(Qt.Key.Key_E, Qt.Key.Key_End)
    coach.write(" Sample")
    coach.press(Qt.Key.Key_Return)
    coach.settle(window)
    assert page.overview.name.text() == "Ines Calder Sample"
    assert list(pupils_of(library)) == ["Ines Calder Sample"]
    assert "Ines Calder Sample" in window.start_page.pupils.item(0).text()


def test_forget_with_a_wrong_then_the_right_name(open_window, coach, library):
    window = open_window(library)
    page = coach.open(window)
    coach.press(Qt.Key.Key_Delete)
    coach.settle(window)
    form = page.forgetting
    assert "1 lesson, 20 clips" in form.what.text()
    assert "Beyond reach" in form.what.text()
    coach.write("Ines")
    coach.press(Qt.Key.Key_Return)
    coach.settle(window)
    assert "nothing was removed" in form.refusal.text()
    assert list(pupils_of(library)) == ["Ines Calder"]
    coach.press(*[Qt.Key.Key_Backspace] * 4)
    coach.write("Ines Calder")
    coach.press(Qt.Key.Key_Return)
    coach.settle(window)
    assert "Removed: 1 lesson, 20 clips." in form.what.text()
    assert pupils_of(library) == {}
    assert not list((library / "clips").iterdir())
    coach.press(Qt.Key.Key_Return)
    assert window.pages.currentWidget() is window.start_page
    assert window.start_page.pupils.count() == 0


def test_esc_forgets_nobody(open_window, coach, library):
    window = open_window(library)
    page = coach.open(window)
    coach.press(Qt.Key.Key_Delete)
    coach.settle(window)
    coach.press(Qt.Key.Key_Escape)
    assert page.parts.currentWidget() is page.overview
    assert list(pupils_of(library)) == ["Ines Calder"]


def test_a_page_asked_for_at_once_comes_when_it_is_loaded(qtbot, library):
    """In a program of its own: here everything is loaded already."""
    script = """
import sys
from pathlib import Path
from PyQt5.QtCore import QEventLoop, QTimer
from review.app.look.choice import Choice
from review.app.start import make_application
from review.app.window import Window

application = make_application()
window = Window(Path(sys.argv[1]), Choice())
window.show()
window.state.pupils_changed.connect(lambda: window.start_page.pupil_asked.emit(window.start_page.chosen_pupil))
window.state.load_pupils()
assert "review.compare" not in sys.modules
loop = QEventLoop()
window.state.line.changed.connect(lambda: loop.quit() if not len(window.state.line) else None)
QTimer.singleShot(100_000, loop.quit)
loop.exec()
print(window.others.pupil.overview.name.text(), "review.compare" in sys.modules)
window.close()
"""
    done = subprocess.run(
        [sys.executable, "-c", script, str(library)], capture_output=True, text=True, timeout=120, check=False
    )
    assert done.stdout.strip() == "Ines Calder True", done.stderr
