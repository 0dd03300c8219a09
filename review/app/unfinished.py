"""What the coach has begun and would lose if the pages were made anew."""

from __future__ import annotations

from typing import TYPE_CHECKING, cast

from PyQt5 import sip
from PyQt5.QtCore import QObject
from PyQt5.QtWidgets import QLineEdit, QPlainTextEdit, QWidget

from review.app.language import tr
from review.app.voice.recorder import Recorder
from review.app.worker import Line

if TYPE_CHECKING:
    from review.app.ground.page import GroundPage
    from review.app.window import Window


def say_why_not_now(window: Window) -> str:
    """Why the pages cannot be made anew now; '' where nothing would be lost."""
    page, swing_page = window.pages.currentWidget(), window.swing_page
    if (swing_page is not None and swing_page.is_unfinished) or (page is not None and _is_written_in(page)):
        return tr("Begun and not finished: Enter keeps it or Esc leaves it, then choose the language.")
    ground = cast("GroundPage | None", window.others.find("ground"))
    if ground is not None and ground.live is not None:
        return tr("The pressure is shown live: Esc ends that, then choose the language.")
    if any(recorder.is_busy for recorder in window.findChildren(Recorder)):
        return tr("The microphone or the loudspeaker is on: end that, then choose the language.")
    for line in window.findChildren(Line):  # those of the state, and of pages that work for long
        for task in line.expected:
            if task.keeps or _is_within(task.whose, window.pages):
                return tr("Not yet: {what}. Choose the language when it is done.", what=task.name)
    return ""


def _is_within(part: QObject | None, whole: QObject) -> bool:
    while part is not None and not sip.isdeleted(part) and part is not whole:
        part = part.parent()
    return part is whole


def _is_written_in(page: QWidget) -> bool:
    lines = any(line.isModified() and line.text().strip() for line in page.findChildren(QLineEdit) if _is_up(line))
    notes = (note for note in page.findChildren(QPlainTextEdit) if _is_up(note))
    return lines or any(_is_changed(note) for note in notes)


def _is_changed(note: QPlainTextEdit) -> bool:
    document = note.document()
    return document is not None and document.isModified()


def _is_up(field: QWidget) -> bool:
    return field.isVisible() and field.isEnabled()
