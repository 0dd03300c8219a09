"""Every page, walked once by a German window: nothing says English but the coach's own words, nothing lacks a name."""

import re
import shutil

import pytest
from page_walk import walk_live, walk_pages
from PyQt5.QtCore import Qt
from PyQt5.QtWidgets import (
    QAbstractButton,
    QComboBox,
    QLabel,
    QLineEdit,
    QListWidget,
    QPlainTextEdit,
    QTextBrowser,
    QWidget,
)
from said_texts import left_english, list_said, record_painted
from waiting import PATIENCE_MS

from review.app.language import speak
from review.app.look.choice import Choice
from review.app.other_pages import PAGES
from review.app.voice import recorder
from review.jobs.sample import find_sample_lesson
from review.library import Library
from tests.made_voices import MadeDevices

FIELDS = (QAbstractButton, QComboBox, QLineEdit, QListWidget, QPlainTextEdit, QTextBrowser)
POINT = re.compile(r"\d\.\d")


@pytest.fixture(autouse=True)
def _english_after():
    yield
    speak("en")


@pytest.fixture
def walked(qtbot, open_lesson, sample_library, tmp_path, monkeypatch):
    """A German window on a copy of the sample lesson, a microphone at hand."""
    monkeypatch.setattr(recorder, "open_devices", MadeDevices)
    window = open_lesson(shutil.copytree(sample_library, tmp_path / "library"))
    window.choose_look(Choice(language="de"))
    with qtbot.waitSignal(window.state.comparison_changed, timeout=PATIENCE_MS):
        window.state.open_lesson(window.state.pupils[0].lessons[0].id)
    return window


def look_at(window, steps, painted):
    """Everything that is said on the way, each text with the page it was said on first; pages; parts without a name."""
    said, named, nameless = {}, set(), set()
    for name, page in steps:
        page.grab()
        on = window.pages.currentWidget() if page is window else page
        new = list_said(on) | list_said(window.status) | list_said(window.bar) | painted
        said = {**dict.fromkeys(new, name), **said}
        named.add(name)
        painted.clear()
        for part in (on, *on.findChildren(QWidget)):
            if needs_name(part) and part.isVisibleTo(on) and not part.accessibleName():
                nameless.add(f"{name}: {type(part).__name__} in {type(part.parent()).__name__}")
    return said, named, sorted(nameless)


def needs_name(part):
    """Whether a part is a field, takes the keyboard or paints itself; what only lays out others has their names."""
    is_ours = type(part).__module__.startswith("review.")
    has_own_look = is_ours and ("paintEvent" in vars(type(part)) or part.focusPolicy() != Qt.FocusPolicy.NoFocus)
    is_empty_line = isinstance(part, QLabel) and not part.text()  # nothing is shown of it, and nothing to tell
    return isinstance(part, FIELDS) or (has_own_look and not is_empty_line)


def test_no_page_of_the_lesson_speaks_english_or_lacks_a_name(qtbot, monkeypatch, walked):
    shown, painted = walked.state.lesson, record_painted(monkeypatch)
    own = [text for batch in shown.lesson.batches for text in (batch.cue, batch.feel, batch.target) if text]
    own += [
        *shown.lesson.practice_plan,
        shown.lesson.check_alone,
        shown.lesson.aim,
        *(clip.original_name for swing in shown.swings for clip in swing.clips),
    ]
    own += [swing.left_out for swing in shown.swings if swing.left_out] + [shown.pupil.name, str(walked.state.library)]
    own += [pupil.pupil.name for pupil in walked.state.pupils]
    table = find_sample_lesson().parent / "shots.csv"
    own += [table.name, *table.read_text(encoding="utf-8").split("\n", 1)[0].split(",")]
    said, named, nameless = look_at(walked, walk_pages(qtbot, walked), painted)
    assert set(PAGES) | {"chart", "swing", "pair", "keys", "pupils", "pupil view"} <= named
    assert nameless == []
    assert len(said) > 600
    assert {text: said[text] for text in left_english(said, own)} == {}
    assert {text: said[text] for text in filter(POINT.search, said)} == {}


def test_a_lesson_that_goes_on_speaks_no_english_and_has_names(qtbot, monkeypatch, open_window, tmp_path):
    clips = tmp_path / "clips"
    clips.mkdir()
    Library.open(tmp_path / "library").close()
    window = open_window(tmp_path / "library")
    window.choose_look(Choice(language="de"))
    painted = record_painted(monkeypatch)
    said, named, nameless = look_at(window, walk_live(qtbot, window, str(clips)), painted)
    assert named == {"begin", "live"}
    assert nameless == []
    assert {text: said[text] for text in left_english(said, [str(tmp_path)])} == {}
