"""After a kill the window opens where it was; after a close, or when the lesson is gone, it does not."""

import json
import shutil
import signal
import subprocess
import sys

import pytest
from waiting import PATIENCE_MS

from review.app.left_off import LeftOff, Place, read_place, write_place
from review.app.look.choice import Choice
from review.app.window import Window
from review.library import Library

_KILLED_ON_A_SWING = """
import os, signal, sys
from pathlib import Path
from PyQt5.QtCore import QTimer
from review.app.left_off import LeftOff
from review.app.look.choice import Choice
from review.app.start import make_application
from review.app.window import Window

application = make_application()
window, kept = Window(Path(sys.argv[1]), Choice()), Path(sys.argv[2])
left_off = LeftOff(window, kept)
state = window.state
state.pupils_changed.connect(lambda: state.open_lesson(state.pupils[0].lessons[0].id))
state.lesson_changed.connect(lambda: state.open_swing(state.lesson.swings[3].id))

def look():
    if left_off.place is not None and left_off.place.page == "swing" and kept.exists():
        os.kill(os.getpid(), signal.SIGKILL)

timer = QTimer()
timer.timeout.connect(look)
timer.start(50)
window.show()
state.load_pupils()
QTimer.singleShot(60_000, application.quit)
application.exec()
"""


@pytest.fixture
def begin(qtbot):
    """Open a window that looks where it was left, its pupils read."""
    opened = []

    def begin_on(library, kept):
        window = Window(library, Choice())
        opened.append(window)
        LeftOff(window, kept)
        window.show()
        with qtbot.waitSignal(window.state.pupils_changed, timeout=PATIENCE_MS):
            window.state.load_pupils()
        return window

    yield begin_on
    for window in opened:
        window.close()
        window.deleteLater()


def settle(qtbot, window):
    qtbot.waitUntil(lambda: not len(window.state.line), timeout=PATIENCE_MS)


def find_lesson(folder):
    with Library.open(folder) as library:
        lesson = library.latest_lesson()
        return lesson, library.swings(lesson.id)


@pytest.mark.skipif(sys.platform == "win32", reason="Windows knows no such signal")
def test_a_killed_window_opens_at_the_same_swing(qtbot, begin, sample_library, tmp_path):
    kept = tmp_path / "left_off.json"
    done = subprocess.run(
        [sys.executable, "-c", _KILLED_ON_A_SWING, str(sample_library), str(kept)], timeout=120, check=False
    )
    assert done.returncode == -signal.SIGKILL
    window = begin(sample_library, kept)
    lesson, swings = find_lesson(sample_library)
    qtbot.waitUntil(lambda: window.swing_page is not None and window.swing_page.is_ready, timeout=PATIENCE_MS)
    assert window.pages.currentWidget() is window.swing_page
    assert (window.state.lesson.lesson.id, window.state.swing_id) == (lesson.id, swings[3].id)
    settle(qtbot, window)


def test_what_is_kept_names_nobody(qtbot, begin, sample_library, tmp_path):
    kept = tmp_path / "left_off.json"
    window = begin(sample_library, kept)
    with qtbot.waitSignal(window.state.comparison_changed, timeout=PATIENCE_MS):
        window.state.open_lesson(window.state.pupils[0].lessons[0].id)
    qtbot.waitUntil(kept.exists, timeout=PATIENCE_MS)
    said = kept.read_text(encoding="utf-8")
    pupil = window.state.lesson.pupil
    assert not any(name in said for name in pupil.name.split())
    assert set(json.loads(said)) == {"library", "lesson_id", "swing_id", "page"}


def test_a_closed_window_begins_anew(qtbot, begin, sample_library, tmp_path):
    kept, (lesson, _) = tmp_path / "left_off.json", find_lesson(sample_library)
    write_place(Place(str(sample_library.resolve()), lesson.id, page="balls"), kept)
    window = begin(sample_library, kept)
    qtbot.waitUntil(lambda: window.others.find("balls") is not None, timeout=PATIENCE_MS)
    settle(qtbot, window)
    window.close()
    assert not kept.exists()


def test_a_lesson_that_is_gone_leaves_nothing_behind(begin, sample_library, tmp_path):
    kept, folder, (lesson, _) = tmp_path / "left_off.json", tmp_path / "library", find_lesson(sample_library)
    shutil.copytree(sample_library, folder)
    write_place(Place(str(folder.resolve()), lesson.id), kept)
    with Library.open(folder) as library:
        library.forget_pupil(lesson.pupil_id)
    window = begin(folder, kept)
    assert window.state.lesson is None
    assert not kept.exists()


@pytest.mark.parametrize("text", ["", "[]", "{}", '{"library": 1}', '{"library": "a", "lesson_id": 2}'])
def test_what_cannot_be_used_is_nothing(tmp_path, text):
    kept = tmp_path / "left_off.json"
    kept.write_text(text)
    assert read_place(kept) is None
