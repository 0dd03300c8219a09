"""Every page can be told and worked by those who do not see it or use no mouse: names, the order of Tab, the focus."""

import shutil

import pytest
from page_walk import walk_live, walk_pages
from PyQt5.QtCore import Qt
from PyQt5.QtGui import QColor, QImage
from PyQt5.QtTest import QTest
from PyQt5.QtWidgets import QAbstractButton, QComboBox, QLineEdit, QListWidget, QPlainTextEdit, QTextBrowser, QWidget
from waiting import PATIENCE_MS

from review.app.other_pages import PAGES
from review.app.voice import recorder
from review.library import Library
from tests.made_voices import MadeDevices

FIELDS = (QAbstractButton, QComboBox, QLineEdit, QListWidget, QPlainTextEdit, QTextBrowser)


@pytest.fixture
def pages(qtbot, open_lesson, sample_library):
    """A window and the page of its pupil."""
    window = open_lesson(sample_library)
    page = window.others.show("pupil")
    page.open_pupil(window.state.lesson.pupil.id)
    qtbot.waitUntil(lambda: not len(window.state.line), timeout=PATIENCE_MS)
    return {"window": window, "pupil": page}


def needs_name(part):
    """Whether a part is a field, takes the keyboard or paints itself; what only lays out others has their names."""
    is_ours = type(part).__module__.startswith("review.")
    has_own_look = is_ours and ("paintEvent" in vars(type(part)) or part.focusPolicy() != Qt.FocusPolicy.NoFocus)
    return isinstance(part, FIELDS) or has_own_look


def list_nameless(steps):
    """Visible panels, fields and buttons without a name, with the page they are on."""
    nameless, walked = set(), set()
    for name, page in steps:
        walked.add(name)
        on = page.pages.currentWidget() if hasattr(page, "pages") else page
        for part in (on, *on.findChildren(QWidget)):
            if needs_name(part) and part.isVisibleTo(on) and not part.accessibleName():
                nameless.add(f"{name}: {type(part).__name__} in {type(part.parent()).__name__}")
    return nameless, walked


def test_every_page_panel_and_field_has_a_name(qtbot, open_lesson, sample_library, tmp_path, monkeypatch):
    monkeypatch.setattr(recorder, "open_devices", MadeDevices)
    window = open_lesson(shutil.copytree(sample_library, tmp_path / "library"))
    nameless, walked = list_nameless(walk_pages(qtbot, window))
    assert set(PAGES) | {"chart", "swing", "pair", "keys", "pupils", "pupil view"} <= walked
    assert not nameless, "\n".join(sorted(nameless))


def test_a_lesson_that_goes_on_has_names(qtbot, open_window, tmp_path):
    (tmp_path / "clips").mkdir()
    Library.open(tmp_path / "library").close()
    nameless, _ = list_nameless(walk_live(qtbot, open_window(tmp_path / "library"), str(tmp_path / "clips")))
    assert not nameless, "\n".join(sorted(nameless))


def test_tab_reaches_every_field_of_a_form_in_the_order_it_is_read(qtbot, pages):
    window, page = pages["window"], pages["pupil"]
    page.show()
    window.pages.setCurrentWidget(page)
    window.activateWindow()
    page.details.show_pupil(page.shown.pupil)
    page.parts.setCurrentWidget(page.details)
    page.details.take_focus()
    fields = [part for part in page.details.findChildren(QWidget) if isinstance(part, FIELDS) and part.isVisible()]
    seen = []
    for _ in fields:
        seen.append(window.focusWidget())
        QTest.keyClick(window.focusWidget(), Qt.Key.Key_Tab)
    tops = [part.mapTo(page, part.rect().topLeft()).y() for part in seen if part in fields]
    assert len(tops) >= 4
    assert tops == sorted(tops)


def test_the_field_that_has_the_keyboard_has_a_border_in_the_accent(qtbot, pages):
    """Two pixels wide, in the theme's accent, whose contrast is tested with the themes."""
    window, page = pages["window"], pages["pupil"]
    window.pages.setCurrentWidget(page)
    window.activateWindow()
    page.details.show_pupil(page.shown.pupil)
    page.parts.setCurrentWidget(page.details)
    page.details.take_focus()
    qtbot.waitUntil(lambda: window.focusWidget() is not None and window.focusWidget().hasFocus())
    field = window.focusWidget()
    assert isinstance(field, FIELDS)
    accent = QColor(window.look.theme.accent)

    def edge(part: QWidget) -> list[bool]:
        shown: QImage = part.grab().toImage()
        return [shown.pixelColor(part.width() // 2, y) == accent for y in (0, 1)]

    assert edge(field) == [True, True]
    QTest.keyClick(field, Qt.Key.Key_Tab)
    assert edge(field) == [False, False]
