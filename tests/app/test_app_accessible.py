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
    """Every page of the window, made and filled, by name."""
    window = open_lesson(sample_library)
    lesson = window.state.lesson
    made = {"pupils": window.start_page, "keys": window.keys_page, "chart": window.chart}
    window.state.open_swing(next(swing.id for swing in lesson.swings if swing.clips))
    made["swing"] = window.swing_page
    qtbot.waitUntil(lambda: window.swing_page.is_ready, timeout=PATIENCE_MS)
    made["pair"] = window.two_swings.show_page()
    qtbot.waitUntil(lambda: made["pair"].is_ready, timeout=PATIENCE_MS)
    window.others.show("balls")
    made["balls"] = window.others.find("balls")
    window.others.show("settings")
    made["settings"] = window.others.find("settings")
    made["pupil"] = window.others.show("pupil")
    made["pupil"].open_pupil(lesson.pupil.id)
    made["tables"] = window.others.show("tables")
    made["questions"] = window.others.show("questions")
    qtbot.waitUntil(lambda: not len(window.state.line), timeout=PATIENCE_MS)
    made["cautions"] = window.others.show("cautions")
    made["pupil view"] = window.two_swings.show_view()
    qtbot.waitUntil(lambda: not len(window.state.line), timeout=PATIENCE_MS)
    made["window"] = window
    yield made
    window.two_swings.view.leave()


def test_every_page_panel_and_field_has_a_name(pages):
    nameless = set()
    for name, page in pages.items():
        for part in (page, *page.findChildren(QWidget)):
            is_ours = type(part).__module__.startswith("review.") and type(part).__name__ != "Window"
            if (is_ours or isinstance(part, FIELDS)) and not part.accessibleName():
                nameless.add(f"{name}: {type(part).__name__} in {type(part.parent()).__name__}")
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
