"""Nothing kills the window and nothing holds it up: mistakes in slots, other builds of Qt, long work."""

import gc
import os
import shutil
import subprocess
import sys
import time

import pytest
from holding_up import Watchdog
from PyQt5.QtCore import QEventLoop, Qt, QTimer
from waiting import PATIENCE_MS

from review.app.start import check_screen, spare_what_stays
from review.app.worker import Task
from review.errors import MachineError

_MISTAKE_IN_A_SLOT = """
import sys
from pathlib import Path
from PyQt5.QtCore import QTimer
from review.app.look.choice import Choice
from review.app.start import make_application, with_net
from review.app.window import Window

application = make_application()
window = Window(Path(sys.argv[1]), Choice())
if sys.argv[2] == "net":
    with_net(window.state.trouble_came.emit)
window.show()
QTimer.singleShot(0, lambda: {}["nothing"])
QTimer.singleShot(200, application.quit)
application.exec()
print("alive", "KeyError" in window.bar.text, window.bar.isVisible())
"""


@pytest.mark.parametrize(("net", "is_alive"), [("net", True), ("none", False)])
def test_a_mistake_in_a_slot_shows_the_bar_and_does_not_kill(tmp_path, net, is_alive):
    """Without the net PyQt ends the program: the second run shows that the first proves something."""
    done = subprocess.run(
        [sys.executable, "-c", _MISTAKE_IN_A_SLOT, str(tmp_path), net], capture_output=True, text=True, timeout=120
    )
    assert (done.stdout.strip() == "alive True True") == is_alive
    assert (done.returncode == 0) == is_alive


@pytest.mark.skipif(shutil.which("Xvfb") is None, reason="needs Xvfb, a screen without a screen")
def test_opencv_before_the_window_under_x11(tmp_path):
    """Other builds of OpenCV bring Qt plug-ins that end the program under X11; the pinned one does not."""
    read, write = os.pipe()
    server = subprocess.Popen(["Xvfb", "-displayfd", str(write), "-screen", "0", "1366x768x24"], pass_fds=[write])
    try:
        os.close(write)
        display = f":{os.read(read, 16).decode().strip()}"
        plain = {name: value for name, value in os.environ.items() if name != "QT_QPA_PLATFORM"}
        done = subprocess.run(
            [sys.executable, "-c", f"import cv2\n{_MISTAKE_IN_A_SLOT}", str(tmp_path), "net"],
            capture_output=True,
            text=True,
            timeout=120,
            env={**plain, "DISPLAY": display},
        )
    finally:
        os.close(read)
        server.terminate()
        server.wait()
    if "system library" in done.stderr:
        pytest.skip("the libraries of Qt's X11 plug-in are not installed")
    assert done.stdout.strip() == "alive True True", done.stderr


def test_no_screen_is_said_in_words(monkeypatch):
    if not sys.platform.startswith("linux"):
        pytest.skip("only Linux runs without a screen")
    for name in ("QT_QPA_PLATFORM", "DISPLAY", "WAYLAND_DISPLAY"):
        monkeypatch.delenv(name, raising=False)
    with pytest.raises(MachineError, match="no screen"):
        check_screen()


def measure_longest(window, begin):
    """How long the window was held up at most, from ``begin`` until its line of work was empty again."""
    watchdog, loop = Watchdog(), QEventLoop()
    window.state.line.changed.connect(lambda: loop.quit() if not len(window.state.line) else None)
    QTimer.singleShot(PATIENCE_MS, loop.quit)
    QTimer.singleShot(0, begin)
    loop.exec()
    return watchdog.stop()


def compare_beside(window):
    """The comparison as the window has it made."""
    window.state.open_lesson(window.state.lesson.lesson.id)


def compare_in_the_slot(window):
    """The wrong way: the same work in the window's own thread, twice since one is over too soon to be told."""
    from review.jobs.showing.lesson import compare_first_and_last

    for _ in range(2):
        compare_first_and_last(window.state.library, window.state.lesson.lesson.id)
    window.state.line.add(Task("", lambda progress: None, lambda result: None, lambda why: None))


def is_held_up(window, begin):
    """Whether work holds the window up, whatever else this machine does: the best of three runs counts.

    Of its own work the window may do 50 ms at a stretch. By the clock it may also wait for a processor, and for work
    beside it to let go: how long that is here, harmless work that only asks for the interpreter shows.
    """

    def harmless(progress):
        end = time.thread_time() + 0.3
        while time.thread_time() < end:
            sum(range(1000))

    task = Task("", harmless, lambda result: None, lambda why: None)
    usual_s = max(measure_longest(window, lambda: window.state.line.add(task))[0] for _ in range(2))
    runs = [measure_longest(window, lambda: begin(window)) for _ in range(3)]
    return min(own_s for _, own_s in runs) > 0.05 or min(clock_s for clock_s, _ in runs) > max(0.1, 4 * usual_s)


def test_the_comparison_does_not_hold_the_window_up(open_lesson, sample_library):
    switch_s = sys.getswitchinterval()
    sys.setswitchinterval(0.001)  # as start.run does
    try:
        window = open_lesson(sample_library)
        assert not is_held_up(window, compare_beside)
        assert is_held_up(window, compare_in_the_slot)
    finally:
        sys.setswitchinterval(switch_s)


def test_what_is_loaded_is_passed_over_once_a_lesson_is_open(qtbot, open_lesson, sample_library):
    """Else the collector looks through all of it while a swing plays."""
    window = open_lesson(sample_library)
    gc.unfreeze()  # another test of this run may have frozen what it loaded
    spare_what_stays(window.state)
    try:
        assert gc.get_freeze_count() < 1000
        with qtbot.waitSignal(window.state.comparison_changed, timeout=PATIENCE_MS):
            window.state.open_lesson(window.state.lesson.lesson.id)
        assert gc.get_freeze_count() > 20_000
    finally:
        gc.unfreeze()


def test_escape_closes_the_message_before_anything_else(qtbot, open_lesson, sample_library):
    window = open_lesson(sample_library)
    window.activateWindow()
    window.bar.say("Something went wrong.")
    qtbot.keyClick(window.chart, Qt.Key.Key_Escape)
    assert window.bar.isHidden()
    assert window.state.lesson is not None
    qtbot.keyClick(window.chart, Qt.Key.Key_Escape)
    assert window.state.lesson is None
