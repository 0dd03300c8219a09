"""The list of keys is true: each listed key does something on its page; all fit on one screen and one sheet."""

import re
import shutil

import pytest
from PyQt5.QtCore import QEvent, Qt
from PyQt5.QtGui import QKeyEvent
from PyQt5.QtWidgets import QApplication
from waiting import PATIENCE_MS

from review.app import keys
from review.app.key_map import lay_out, write_pdf
from review.app.keys import (
    list_batch_keys,
    list_chart_keys,
    list_drawing_keys,
    list_groups,
    list_pair_keys,
    list_pupil_keys,
    list_remote_keys,
    list_swing_keys,
    list_window_keys,
)
from review.app.language import speak
from review.app.look.choice import Choice
from review.app.pupil_view.remote import remote_actions
from review.errors import MachineError

NAMED = {
    **{"←": Qt.Key.Key_Left, "→": Qt.Key.Key_Right, "↑": Qt.Key.Key_Up, "↓": Qt.Key.Key_Down},
    **{"+": Qt.Key.Key_Plus, "−": Qt.Key.Key_Minus, ",": Qt.Key.Key_Comma, ".": Qt.Key.Key_Period},
    **{"[": Qt.Key.Key_BracketLeft, "]": Qt.Key.Key_BracketRight, "?": Qt.Key.Key_Question},
    **{"Home": Qt.Key.Key_Home, "End": Qt.Key.Key_End, "Enter": Qt.Key.Key_Return, "Esc": Qt.Key.Key_Escape},
    **{"Space": Qt.Key.Key_Space, "Tab": Qt.Key.Key_Tab, "Del": Qt.Key.Key_Delete},
    **{"Backspace": Qt.Key.Key_Backspace},
    **{"Page up": Qt.Key.Key_PageUp, "page down": Qt.Key.Key_PageDown, "Page down": Qt.Key.Key_PageDown},
    **{f"F{n}": Qt.Key.Key_F1 + n - 1 for n in range(1, 13)},
}
CONTROL = Qt.KeyboardModifier.ControlModifier
PLAIN = Qt.KeyboardModifier.NoModifier


@pytest.fixture(autouse=True)
def _english_after():
    yield
    speak("en")


def presses(listed):
    """Keys and modifiers that one entry of the list means."""
    if listed == "Ctrl + arrows":
        return [(NAMED[arrow], CONTROL) for arrow in "←→↑↓"]
    if listed.startswith("Shift "):
        return [(key, Qt.KeyboardModifier.ShiftModifier) for key, _ in presses(listed.removeprefix("Shift "))]
    if listed.startswith("Ctrl+"):
        return [(Qt.Key(ord(letter)), CONTROL) for letter in re.findall(r"Ctrl\+(\w)", listed)]
    names = sorted(NAMED, key=len, reverse=True)
    parts = re.findall("|".join((*map(re.escape, names), r"\w")), re.sub(r"(?<=\w), | or ", " ", listed))
    return [(NAMED[part] if part in NAMED else Qt.Key(ord(part)), PLAIN) for part in parts]


def is_taken(widget, key, held):
    """Whether the page, or the window behind it, takes a key."""
    event = QKeyEvent(QEvent.Type.KeyPress, key, held)
    QApplication.sendEvent(widget, event)
    return event.isAccepted()


def find_dead(window, show, listed):
    """Listed keys that nothing takes; the page is shown anew before each."""
    dead = []
    for label, _ in listed:
        for key, held in presses(label):
            if not is_taken(show(), key, held):
                dead.append(label)
    return dead


def test_keys_of_the_lesson(qtbot, open_lesson, sample_library, monkeypatch):
    window = open_lesson(sample_library)
    monkeypatch.setattr(window, "close", lambda: True)
    monkeypatch.setattr(window.others, "measure", lambda: None)
    lesson = window.state.lesson

    def show():
        if window.state.lesson is None:
            window.state.lesson = lesson
        window.pages.setCurrentWidget(window.chart)
        return window.chart

    assert not is_taken(show(), Qt.Key.Key_J, PLAIN)  # so that the others prove something
    assert find_dead(window, show, (*list_chart_keys(), *list_window_keys())) == []


def test_keys_that_put_batches_right(qtbot, open_lesson, tmp_path, sample_library):
    library = tmp_path / "library"
    shutil.copytree(sample_library, library)
    window = open_lesson(library)
    window.pages.setCurrentWidget(window.chart)

    def show():
        window.chart.put_right()
        window.chart.strip.form.hide()
        return window.chart.strip

    named = [(label.replace(" to ", " "), what) for label, what in list_batch_keys()]
    assert not is_taken(show(), Qt.Key.Key_F35, PLAIN)
    assert find_dead(window, show, named) == []
    qtbot.waitUntil(lambda: not len(window.state.line), timeout=PATIENCE_MS)


def test_keys_of_a_swing(qtbot, open_lesson, sample_library):
    window = open_lesson(sample_library)
    window.state.open_swing(next(swing.id for swing in window.state.lesson.swings if swing.clips))
    qtbot.waitUntil(lambda: window.swing_page.is_ready, timeout=PATIENCE_MS)
    page = window.swing_page
    last = ("D", "↑ ↓", "K N Del")  # draw; leave for another swing; type a mark's name
    listed = [entry for entry in list_swing_keys() if entry[0] not in last]
    assert not is_taken(page, Qt.Key.Key_J, PLAIN)
    assert find_dead(window, lambda: page, listed) == []
    assert find_dead(window, lambda: page, [("Del K N", "")]) == []
    assert page.marks.strip.is_asking
    page.marks.stop()
    assert find_dead(window, lambda: page, [(last[0], "")]) == []
    assert page.desk.is_on

    def draw():
        page.desk.begin(page.player)
        return page

    assert not is_taken(draw(), Qt.Key.Key_J, PLAIN)
    assert find_dead(window, draw, list_drawing_keys()) == []
    page.desk.end()
    assert find_dead(window, lambda: page, [(last[1], "")]) == []
    qtbot.waitUntil(lambda: not len(window.state.line), timeout=PATIENCE_MS)


def test_keys_of_two_swings_and_of_the_remote(qtbot, open_lesson, sample_library):
    window = open_lesson(sample_library)
    page = window.two_swings.show_page()
    qtbot.waitUntil(lambda: page.player is not None, timeout=PATIENCE_MS)
    assert not is_taken(page, Qt.Key.Key_J, PLAIN)
    assert find_dead(window, lambda: page, list_pair_keys()) == []
    view = window.two_swings.show_view()
    remote = {key for label, _ in list_remote_keys() if label != "any of them" for key, _ in presses(label)}
    assert remote == set(remote_actions(view))
    view.leave()


def test_keys_of_a_pupil(qtbot, open_lesson, sample_library):
    window = open_lesson(sample_library)
    page = window.others.show("pupil")
    page.open_pupil(window.state.lesson.pupil.id)
    qtbot.waitUntil(lambda: page.shown is not None, timeout=PATIENCE_MS)

    def show():
        page.parts.setCurrentWidget(page.overview)
        return page

    own = [entry for entry in list_pupil_keys() if "first page" not in entry[1] and "form" not in entry[1]]
    assert not is_taken(show(), Qt.Key.Key_J, PLAIN)
    assert find_dead(window, show, own) == []
    first = [entry for entry in list_pupil_keys() if "first page" in entry[1]]
    assert find_dead(window, lambda: window.start_page, first) == []


def test_every_list_of_keys_stands_in_the_map():
    listed = {what for _, group in list_groups() for _, what in group}
    for name in dir(keys):
        if re.fullmatch(r"list_\w*keys", name):
            assert {what for _, what in getattr(keys, name)()} <= listed, name


def test_all_keys_fit_at_a_size_that_can_be_read_at_a_desk(open_window, tmp_path):
    window = open_window(tmp_path / "empty")
    for choice in (Choice(), Choice(language="de")):
        window.choose_look(choice)
        page = window.keys_page
        window.pages.setCurrentWidget(page)
        page.grab()
        columns = lay_out(list_groups(), 4, page.width() - 28, page.size_px)
        assert page.size_px >= 11
        assert max(column.height for column in columns) <= page.height()
        written = " ".join(word for column in columns for line in column.lines for word in (line.key, *line.words))
        assert all(what in written for _, group in list_groups() for _, what in group)
        assert "…" not in written


def test_one_sheet_of_paper_in_each_language(qapp, tmp_path):
    for code in ("en", "de"):
        speak(code)
        write_pdf(tmp_path / f"{code}.pdf")
        written = (tmp_path / f"{code}.pdf").read_bytes()
        assert written.startswith(b"%PDF")
        assert len(re.findall(rb"/Type\s*/Page\b(?!s)", written)) == 1
    assert sorted(path.name for path in tmp_path.iterdir()) == ["de.pdf", "en.pdf"]


def test_a_sheet_that_cannot_be_written_is_said(qapp, tmp_path):
    with pytest.raises(MachineError, match="could not be written"):
        write_pdf(tmp_path / "nowhere" / "keys.pdf")


def test_p_asks_where_and_says_what_was_written(qtbot, open_window, tmp_path, monkeypatch):
    window = open_window(tmp_path / "empty")
    to = tmp_path / "keys.pdf"
    monkeypatch.setattr("review.app.key_map.QFileDialog.getSaveFileName", lambda *_: (str(to), ""))
    window.pages.setCurrentWidget(window.keys_page)
    qtbot.keyClick(window.keys_page, Qt.Key.Key_P)
    assert to.exists()
    assert str(to) in window.keys_page.said


def test_columns_are_about_as_long_and_lose_nothing(qapp):
    groups = tuple((f"{n}", (("x", "short"),) * size) for n, size in enumerate((20, 11, 15, 5, 17, 7)))
    columns = lay_out(groups, 3, 900.0, 12)
    assert sum(len(column.lines) for column in columns) == sum(1 + len(group) for _, group in groups)
    heights = [column.height for column in columns]
    assert max(heights) < 1.4 * min(heights)
