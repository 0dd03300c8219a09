"""The library measured again from the window: what changes is read, then answered; measuring itself is replaced."""

import shutil
import time
from dataclasses import replace

import pytest
from PyQt5.QtCore import Qt
from waiting import PATIENCE_MS

from review.app.keeping_house.again_words import say_change, say_measured
from review.app.language import speak
from review.jobs.keeping_house import answering
from review.jobs.keeping_house.answering import Waiting
from review.jobs.keeping_house.measuring_again import Again, describe_inputs
from review.jobs.keeping_house.what_changed import Change
from review.lesson import Measure
from review.library import Library, MeasuredAgain

_Key = Qt.Key
_OLD = Measure("hip_turn_deg", 30.0, "impact", 27.0, 33.0)
_NEW = replace(_OLD, value=35.0, low=33.0, high=37.0)


@pytest.fixture
def page(open_lesson, sample_library, tmp_path, qtbot):
    """The page over an open lesson whose first swing has a number of an older method."""
    folder = shutil.copytree(sample_library, tmp_path / "library")
    with Library.open(folder) as library:
        library.set_measures(library.swings(library.latest_lesson().id)[0].id, [_OLD], "body 1 thorough")
    window = open_lesson(folder)
    window.others.ask("house")
    qtbot.waitUntil(lambda: window.others.name_on == "house", timeout=PATIENCE_MS)
    page = window.others.find("house")
    qtbot.waitUntil(lambda: page.again.waiting is not None, timeout=PATIENCE_MS)
    return page


@pytest.fixture
def newer(monkeypatch):
    """A newer method that finds another number for the first swing."""

    def measure_again(folder, progress):
        progress(0, 1)
        with Library.open(folder) as library:
            lesson = library.latest_lesson()
            swing_id = library.swings(lesson.id)[0].id
            made_from = describe_inputs(library, lesson)[swing_id]
            library.put_aside([MeasuredAgain(swing_id, "body 2 thorough", made_from, (_NEW,))])
        return Again(1, ())

    monkeypatch.setattr(answering, "measure_again", measure_again)


def _wait(qtbot, page) -> None:
    qtbot.waitUntil(lambda: not page.is_working and not len(page._state.line), timeout=PATIENCE_MS)


def _in_use(page) -> float:
    with Library.open(page._state.library) as library:
        (measures,) = library.measures(library.latest_lesson().id).values()
        return measures[0].value


def test_new_numbers_are_read_then_taken_after_a_second_press(page, newer, qtbot):
    again, state = page.again, page._state
    assert not again.list.isVisible()
    again.measure.setFocus()
    qtbot.keyClick(again.measure, _Key.Key_Return)
    _wait(qtbot, page)
    assert "nothing has changed yet" in page.said.text()
    assert again.list.item(0).text() == (
        "hip turn at impact: 1 swing · usually +5°, at most +5° · 1 beyond the interval told before"
    )
    again.take.setFocus()
    qtbot.keyClick(again.take, _Key.Key_Return)
    assert "once more" in again.take.text()
    qtbot.keyClick(again.take, _Key.Key_Escape)
    assert "once more" not in again.take.text()
    assert page.window().others.name_on == "house"
    assert _in_use(page) == _OLD.value
    for _ in range(2):
        qtbot.keyClick(again.take, _Key.Key_Return)
    _wait(qtbot, page)
    assert "1 swing" in page.said.text()
    assert _in_use(page) == _NEW.value
    assert not again.list.isVisible()
    assert state.lesson.measures[state.lesson.swings[0].id]["hip_turn_deg", "impact"].value == _NEW.value


def test_new_numbers_are_let_go(page, newer, qtbot):
    page.again.measure.click()
    _wait(qtbot, page)
    for _ in range(2):
        page.again.drop.click()
    _wait(qtbot, page)
    assert page.said.text() == "Let go: new numbers of 1 swing."
    assert _in_use(page) == _OLD.value
    assert not page.again.drop.isVisible()


def test_stopped_it_says_that_nothing_has_changed(page, qtbot, monkeypatch):
    def slow(folder, progress):
        for n in range(10_000):
            progress(n, 10_000)
            time.sleep(0.005)

    monkeypatch.setattr(answering, "measure_again", slow)
    page.again.measure.click()
    qtbot.waitUntil(lambda: "%" in page.said.text(), timeout=PATIENCE_MS)
    assert not page.again.isEnabled()
    qtbot.keyClick(page.stop, _Key.Key_Return)
    _wait(qtbot, page)
    assert page.said.text().startswith("Stopped. Nothing has changed")


def test_nothing_to_measure_again_is_said():
    assert "by today's method" in say_measured(Again(0, ()), Waiting(0, 0, ()))


def test_changes_in_german_with_a_comma():
    speak("de")
    try:
        said = say_change(Change("trail_heel_lift_cm", "impact", 3, -0.42, 1.26, 0, 1, 2))
    finally:
        speak("en")
    assert "3 Schwünge · meist −0,4" in said
    assert "höchstens +1,3" in said
    assert said.endswith("1, die noch keine hatten · 2, die keine mehr haben")
