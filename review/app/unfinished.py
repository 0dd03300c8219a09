"""What the coach has begun on a page and would lose if the page were made anew."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PyQt5.QtWidgets import QLineEdit, QPlainTextEdit, QWidget

if TYPE_CHECKING:  # loaded with the first swing
    from review.app.swing_view.page import SwingPage


def is_unfinished(page: QWidget | None, swing_page: SwingPage | None) -> bool:
    """Whether words are half written on ``page``, or something is in the making on ``swing_page``."""
    return (swing_page is not None and swing_page.is_unfinished) or (page is not None and _is_written_in(page))


def _is_written_in(page: QWidget) -> bool:
    lines = any(line.isModified() and line.text().strip() for line in page.findChildren(QLineEdit) if _is_up(line))
    notes = (note for note in page.findChildren(QPlainTextEdit) if _is_up(note))
    return lines or any(_is_changed(note) for note in notes)


def _is_changed(note: QPlainTextEdit) -> bool:
    document = note.document()
    return document is not None and document.isModified()


def _is_up(field: QWidget) -> bool:
    return field.isVisible() and field.isEnabled()
