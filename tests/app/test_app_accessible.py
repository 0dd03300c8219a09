"""Every page can be told and worked by those who do not see it or use no mouse: names, the order of Tab, the focus."""

import pytest
from PyQt5.QtCore import Qt
from PyQt5.QtGui import QColor, QImage
from PyQt5.QtTest import QTest
from PyQt5.QtWidgets import QAbstractButton, QComboBox, QLineEdit, QListWidget, QPlainTextEdit, QTextBrowser, QWidget
from waiting import PATIENCE_MS

FIELDS = (QAbstractButton, QComboBox, QLineEdit, QListWidget, QPlainTextEdit, QTextBrowser)


@pytest.fixture
def pages(qtbot, open_lesson, sample_library):
    """A window and the page of its pupil."""
    window = open_lesson(sample_library)
    page = window.others.show("pupil")
    page.open_pupil(window.state.lesson.pupil.id)
    qtbot.waitUntil(lambda: not len(window.state.line), timeout=PATIENCE_MS)
    return {"window": window, "pupil": page}


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
