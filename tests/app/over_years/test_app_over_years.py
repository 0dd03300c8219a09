"""The pupil's years and the search in the window: by keyboard, in both languages, beside the library's numbers."""

import pytest
from PyQt5.QtCore import Qt
from said_texts import left_english, list_said
from waiting import PATIENCE_MS

from review.app.language import speak
from review.app.look.choice import Choice
from review.library import Library
from tests.made_years import BELT, FIVE_VISITS, POCKET, make_years_library

KEY = Qt.Key


@pytest.fixture(scope="module")
def years_library(tmp_path_factory):
    folder = make_years_library(tmp_path_factory.mktemp("years") / "library")
    with Library.open(folder) as library:
        pupil = library.pupil("years")
        library.update_pupil(type(pupil)(pupil.id, pupil.name, pupil.handedness, private_note="sore belt side"))
    return folder


@pytest.fixture(autouse=True)
def _english_after():
    yield
    speak("en")


def _settle(qtbot, window):
    qtbot.waitUntil(lambda: not len(window.state.line), timeout=PATIENCE_MS)


@pytest.fixture
def window(open_window, years_library, qtbot):
    """The window with its pupil chosen."""
    opened = open_window(years_library)
    opened.start_page.pupils.setFocus()
    return opened


@pytest.fixture
def pupil_page(window, qtbot):
    qtbot.keyClick(window.start_page.pupils, KEY.Key_Space)
    qtbot.waitUntil(
        lambda: window.others.pupil is not None and window.others.pupil.shown is not None, timeout=PATIENCE_MS
    )
    _settle(qtbot, window)
    return window.others.pupil


def test_the_pupils_page_tells_the_cue_that_worked_best_over_all_lessons(pupil_page):
    assert BELT in pupil_page.overview.feel.text()
    assert "last batch ended at" in pupil_page.overview.look_first.text()


def test_years_by_one_key_another_measure_and_back(window, pupil_page, qtbot):
    qtbot.keyClick(pupil_page.overview.lessons, KEY.Key_Y)
    qtbot.waitUntil(lambda: window.others.name_on == "years", timeout=PATIENCE_MS)
    page = window.others.find("years")
    _settle(qtbot, window)
    words = page.words.toPlainText()
    assert page.title.text() == "Jonas Made-Up: club path"
    assert "as before the change of 14 March 2024." in words
    assert f"told “{BELT}”, felt “{POCKET}”" in words
    qtbot.waitUntil(
        lambda: page.picture.pixmap() is not None and not page.picture.pixmap().isNull(), timeout=PATIENCE_MS
    )
    qtbot.keyClick(page.words, KEY.Key_Right)
    _settle(qtbot, window)
    assert page.title.text() == "Jonas Made-Up: hip turn at impact"
    assert "camera was not set up the same way" in page.words.toPlainText()
    qtbot.keyClick(page.words, KEY.Key_Left)
    _settle(qtbot, window)
    assert page.title.text() == "Jonas Made-Up: club path"
    qtbot.keyClick(page.words, KEY.Key_Escape)
    assert window.others.name_on == "pupil"


def test_a_coachs_words_are_no_markup(window, pupil_page, qtbot):
    from review.app.over_years.view import _as_html
    from review.jobs.history.words import HistorySaid, VisitSaid

    page = window.others.show("years")
    page.words.setHtml(_as_html(HistorySaid("t", (), (VisitSaid("day", "<b>aim</b> & <img src='x'>", ()),), (), ())))
    assert "<b>aim</b> & <img src='x'>" in page.words.toPlainText()


def test_what_cannot_be_shown_says_why(window, qtbot, years_library):
    page = window.others.show("years")
    page.open_pupil("nobody")
    _settle(qtbot, window)
    assert page.words.toPlainText() == "That pupil is no longer in the library."


def test_years_in_german(window, pupil_page, qtbot):
    window.choose_look(Choice(language="de"))
    page = window.others.show("years")
    page.open_pupil("years")
    _settle(qtbot, window)
    own = [
        BELT,
        POCKET,
        "path less in-to-out",
        "Jonas Made-Up",
        "quiet hands",
        "hands wait",
        "belt leads",
        "slower back",
    ]
    assert "war der alte Wert wieder da" in page.words.toPlainText()
    for choice in page.history.choices:
        page.open_pupil("years", choice)
        _settle(qtbot, window)
        assert left_english(list_said(page), own) == set()


def test_search_while_writing_and_open_the_lesson(window, qtbot):
    qtbot.keyClick(window.start_page.pupils, KEY.Key_Slash)
    qtbot.waitUntil(lambda: window.others.name_on == "search", timeout=PATIENCE_MS)
    page = window.others.find("search")
    qtbot.keyClicks(page.field, "BELT tu")
    _settle(qtbot, window)
    found = [one.words for one in page.found]
    assert found.count(BELT) == 4
    assert [words for words in found if words != BELT] == ["belt leads"]  # felt where that was the cue
    assert page.said.text() == "5 texts"
    qtbot.keyClick(page.field, KEY.Key_Down)
    assert page.list.currentRow() == 1
    held_on = page.found[1].held_on
    qtbot.keyClick(page.field, KEY.Key_Return)
    qtbot.waitUntil(lambda: window.state.lesson is not None, timeout=PATIENCE_MS)
    assert window.state.lesson.lesson.held_on == held_on
    assert held_on in [visit.held_on for visit in FIVE_VISITS]


def test_a_private_note_is_named_not_shown(window, qtbot):
    page = window.others.show("search")
    page.field.setText("sore")
    _settle(qtbot, window)
    (row,) = [page.list.item(n).text() for n in range(page.list.count())]
    assert "private note" in row
    assert "sore" not in row
    qtbot.keyClick(page.field, KEY.Key_Return)
    qtbot.waitUntil(lambda: window.others.name_on == "pupil", timeout=PATIENCE_MS)


@pytest.mark.parametrize("text", ['"', "* OR", "'; DROP TABLE pupil; --", "zzz"])
def test_odd_queries_find_nothing_and_say_so(window, qtbot, text):
    page = window.others.show("search")
    page.field.setText(text)
    _settle(qtbot, window)
    assert page.said.text() == "Nothing was written with these words."
