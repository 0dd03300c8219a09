"""What came of long work is told wherever the coach is, and nothing the coach asked for is lost on the way."""

import threading

import pytest
from PyQt5.QtCore import Qt
from waiting import PATIENCE_MS

from review.app.handing_out import view
from review.app.keeping_house import view as house_view
from review.app.voice.recorder import Recorder
from review.app.worker import Task
from review.errors import BadInputError, MachineError
from review.jobs.handing_out import HandedOut
from review.jobs.measuring import apart
from review.jobs.measuring.whole_lesson import LessonMeasured

_Key = Qt.Key


class Held:
    """Work that ends when the test says so, as it says."""

    def __init__(self, result=None, error=None):
        self.may_end, self.result, self.error = threading.Event(), result, error

    def __call__(self, *given, progress=None):
        progress = progress or given[-1]
        while not self.may_end.wait(0.01):
            progress(1, 2)
        if self.error is not None:
            raise self.error
        return self.result


def show(window, qtbot, name):
    window.others.ask(name)
    qtbot.waitUntil(lambda: window.others.name_on == name and not len(window.state.line), timeout=PATIENCE_MS)
    return window.others.find(name)


@pytest.fixture
def window(open_lesson, sample_library):
    return open_lesson(sample_library)


@pytest.mark.parametrize(
    ("error", "said"),
    [(None, "It lies in"), (MachineError("The disk is full."), "The disk is full.")],
)
def test_a_take_home_is_told_elsewhere_and_is_still_said_on_its_page(window, qtbot, tmp_path, monkeypatch, error, said):
    work = Held(HandedOut(tmp_path / "out" / "index.html", ()), error)
    monkeypatch.setattr(view, "hand_out_apart", work)
    page = show(window, qtbot, "handing_out")
    page.folder.setText(str(tmp_path / "out"))
    title = page._title.text()
    qtbot.keyClick(page.folder, _Key.Key_Return)
    show(window, qtbot, "tables")
    show(window, qtbot, "handing_out")
    assert page.folder.text() == str(tmp_path / "out")
    assert "…" in page.said.text()
    show(window, qtbot, "tables")
    told = window.state.step_told if error is None else window.state.trouble_came
    with qtbot.waitSignal(told, timeout=PATIENCE_MS) as heard:
        work.may_end.set()
    assert title in heard.args[0]
    assert said in heard.args[0]
    show(window, qtbot, "handing_out")
    assert said in page.said.text()
    assert (page.page is not None) == (error is None)
    show(window, qtbot, "tables")
    show(window, qtbot, "handing_out")
    assert page.said.text() == ""


def test_a_failed_backup_is_told_elsewhere_and_is_still_said_on_its_page(window, qtbot, tmp_path, monkeypatch):
    work = Held(error=BadInputError("Is the disk connected?"))
    monkeypatch.setattr(house_view, "back_up_library", work)
    page = show(window, qtbot, "house")
    page.folder.setText(str(tmp_path))
    page.back_up()
    show(window, qtbot, "tables")
    with qtbot.waitSignal(window.state.trouble_came, timeout=PATIENCE_MS):
        work.may_end.set()
    show(window, qtbot, "house")
    assert page.said.text() == "Is the disk connected?"


def test_esc_on_the_take_home_stops_it_and_nothing_else(window, qtbot, tmp_path, monkeypatch):
    monkeypatch.setattr(view, "hand_out_apart", Held())
    page = show(window, qtbot, "handing_out")
    page.folder.setText(str(tmp_path / "out"))
    page.write()
    may_end, came = threading.Event(), []
    window.state.line.add(Task("other", lambda _: may_end.wait(PATIENCE_MS / 1000), came.append, came.append))
    window.state.long_line.add(Task("later", lambda _: "later", came.append, came.append))
    qtbot.keyClick(page, _Key.Key_Escape)
    qtbot.waitUntil(lambda: page.said.text().startswith("Stopped."), timeout=PATIENCE_MS)
    may_end.set()
    qtbot.waitUntil(lambda: len(came) == 2, timeout=PATIENCE_MS)
    assert set(came) == {True, "later"}


def test_measuring_goes_on_when_the_lesson_is_left_and_says_that_it_is_done(window, qtbot, monkeypatch):
    work = Held(LessonMeasured(1, 1, {3: "Too dark."}))
    monkeypatch.setattr(apart, "measure_apart", work)
    name = window.state.lesson.pupil.name
    qtbot.keyClick(window.chart, _Key.Key_M)
    with qtbot.waitSignal(window.state.pupils_changed, timeout=PATIENCE_MS):
        qtbot.keyClick(window.chart, _Key.Key_Escape)  # the pupils are read beside it
    assert window.state.lesson is None
    with qtbot.waitSignal(window.state.trouble_came, timeout=PATIENCE_MS) as told:
        work.may_end.set()
    assert name in told.args[0]
    assert "the lesson is measured" in told.args[0]
    assert "Too dark." in told.args[0]


def test_measured_it_leaves_the_coach_on_the_page_the_coach_went_on_to(window, qtbot, monkeypatch):
    work = Held(LessonMeasured(2, 2, {}))
    monkeypatch.setattr(apart, "measure_apart", work)
    qtbot.keyClick(window.chart, _Key.Key_M)
    show(window, qtbot, "balls")
    with qtbot.waitSignal(window.state.lesson_renewed, timeout=PATIENCE_MS):
        work.may_end.set()
    assert window.others.name_on == "balls"


@pytest.mark.parametrize("where", ["line", "long_line", "house"])
def test_the_language_waits_until_work_is_done(window, qtbot, tmp_path, monkeypatch, where):
    work = Held()
    qtbot.waitUntil(lambda: not len(window.state.line), timeout=PATIENCE_MS)
    if where == "house":
        house = show(window, qtbot, "house")
        line = house.line
    else:
        line = getattr(window.state, where)
    line.add(Task("Writing", work, lambda _: None, lambda _: None, owner=window.chart))
    qtbot.keyClick(window, _Key.Key_F4)
    assert window.choice.language == "en"
    assert "Not yet: Writing." in window.status._said.text()
    work.may_end.set()
    qtbot.waitUntil(lambda: not len(line) and not len(window.state.line), timeout=PATIENCE_MS)
    qtbot.keyClick(window, _Key.Key_F4)
    assert window.choice.language == "de"
    qtbot.waitUntil(lambda: not len(window.state.line), timeout=PATIENCE_MS)
    qtbot.keyClick(window, _Key.Key_F4)


def test_the_language_waits_while_the_microphone_is_on(window, qtbot, monkeypatch):
    qtbot.waitUntil(lambda: not len(window.state.line), timeout=PATIENCE_MS)
    recorder = Recorder(window.chart)
    monkeypatch.setattr(Recorder, "is_busy", property(lambda self: self is recorder))
    qtbot.keyClick(window, _Key.Key_F4)
    assert window.choice.language == "en"
    assert "microphone" in window.status._said.text()
