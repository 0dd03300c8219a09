"""Pages beside the lesson: every panel and field can be told by those who cannot see it."""

from PyQt5.QtWidgets import QLineEdit, QListWidget, QPlainTextEdit, QPushButton, QWidget
from waiting import PATIENCE_MS


def test_every_panel_and_field_has_an_accessible_name(qtbot, open_lesson, sample_library):
    window = open_lesson(sample_library)
    pages = [window.others.show("pupil"), window.others.show("tables"), window.others.show("questions")]
    pages[0].open_pupil(window.state.lesson.pupil.id)
    qtbot.waitUntil(lambda: not len(window.state.line), timeout=PATIENCE_MS)
    pages.append(window.others.show("cautions"))
    parts = [part for page in pages for part in (page, *page.findChildren(QWidget))]
    fields = [part for part in parts if isinstance(part, (QLineEdit, QListWidget, QPlainTextEdit, QPushButton))]
    ours = [part for part in parts if type(part).__module__.startswith("review.")]
    nameless = [
        f"{type(part).__name__} in {type(part.parent()).__name__}"
        for part in (*ours, *fields)
        if not part.accessibleName()
    ]
    assert len(fields) > 15
    assert nameless == []
