"""A clip from the pupil's phone in the window: named, measured beside it, put beside the batch; nothing kept."""

import time
from dataclasses import replace
from datetime import date

import pytest
from PyQt5.QtCore import Qt
from PyQt5.QtWidgets import QFileDialog
from said_texts import left_english, list_said
from waiting import PATIENCE_MS

from review.app.language import speak
from review.app.phone_clip import pair, view
from review.errors import BadInputError, Cancelled
from review.jobs.history.phone_clip import measure_phone_clip
from review.jobs.measuring import one_swing
from review.lesson import Consent, Purpose, Swing
from review.library import Library
from tests.jobs.resounded import clip_path, landmarks
from tests.made_years import make_years_library

KEY = Qt.Key
CLIP = clip_path("face_on")


@pytest.fixture(scope="module")
def years_library(tmp_path_factory):
    folder = make_years_library(tmp_path_factory.mktemp("years") / "library")
    with Library.open(folder) as library:
        pupil = library.pupil("years")
        library.update_pupil(replace(pupil, consent=Consent(pupil.name, date(2024, 1, 1), frozenset(Purpose))))
    return folder


@pytest.fixture(scope="module")
def measured(years_library):
    """The clip beside the last batch, from landmarks made before: detecting takes long."""
    with pytest.MonkeyPatch.context() as patch, Library.open(years_library) as library:
        patch.setattr(one_swing, "track_clips", lambda *_: ({"0": landmarks("face_on")}, {}))
        return measure_phone_clip(library, library.pupil("years"), CLIP)


@pytest.fixture(autouse=True)
def _english_after():
    yield
    speak("en")


@pytest.fixture
def window(open_window, years_library):
    opened = open_window(years_library)
    opened.start_page.pupils.setFocus()
    return opened


@pytest.fixture
def page(window, qtbot):
    """The page, reached by keys from the first one."""
    qtbot.keyClick(window.start_page.pupils, KEY.Key_Space)
    qtbot.waitUntil(
        lambda: window.others.pupil is not None and window.others.pupil.shown is not None, timeout=PATIENCE_MS
    )
    qtbot.keyClick(window.others.pupil.overview.lessons, KEY.Key_P)
    qtbot.waitUntil(lambda: window.others.name_on == "phone_clip", timeout=PATIENCE_MS)
    return window.others.find("phone_clip")


def _measure(qtbot, page, named=str(CLIP)):
    page.file.setText(named)
    qtbot.keyClick(page.file, KEY.Key_Return)


def test_a_clip_is_named_measured_and_put_beside_the_batch(window, page, measured, qtbot, monkeypatch):
    asked = []

    def measure(folder, pupil_id, path, *, progress):
        asked.append((folder, pupil_id, path))
        return measured

    monkeypatch.setattr(view, "measure_phone_clip_apart", measure)
    qtbot.keyClick(page.file, KEY.Key_Return)
    assert "Name the file of the clip first" in page.words.toPlainText()
    assert not asked
    _measure(qtbot, page)
    qtbot.waitUntil(lambda: page.measured is measured, timeout=PATIENCE_MS)
    assert asked == [(window.state.library, "years", CLIP)]
    words = page.words.toPlainText()
    assert words.startswith("Jonas Made-Up: the clip, face-on, beside batch 2 of 8 February 2026")
    assert "Could be one more swing of the batch: hip turn at impact" in words
    assert "What no camera gives: club path, club speed." in words
    assert "it is one swing, and one that the pupil chose" in words
    qtbot.waitUntil(
        lambda: page.picture.pixmap() is not None and not page.picture.pixmap().isNull(), timeout=PATIENCE_MS
    )
    qtbot.keyClick(page.words, KEY.Key_Escape)
    assert window.others.name_on == "pupil"


def test_a_file_is_chosen_in_the_usual_way_and_what_is_wrong_with_it_said(page, qtbot, monkeypatch):
    def refuse(*_, progress):
        raise BadInputError("note.mp4 is no clip.")

    monkeypatch.setattr(view, "measure_phone_clip_apart", refuse)
    monkeypatch.setattr(QFileDialog, "getOpenFileName", lambda *_: ("/elsewhere/note.mp4", ""))
    qtbot.keyClick(page.file, KEY.Key_O, Qt.KeyboardModifier.ControlModifier)
    qtbot.waitUntil(lambda: page.words.toPlainText() == "note.mp4 is no clip.", timeout=PATIENCE_MS)
    assert page.file.text() == "/elsewhere/note.mp4"


def test_escape_stops_it(window, page, qtbot, monkeypatch):
    def measure(*_, progress):
        for n in range(PATIENCE_MS):
            progress(n, PATIENCE_MS)
            time.sleep(0.001)
        raise AssertionError("it was not stopped")

    monkeypatch.setattr(view, "measure_phone_clip_apart", measure)
    _measure(qtbot, page)
    qtbot.waitUntil(lambda: page.words.toPlainText() == "Measuring … 0%", timeout=PATIENCE_MS)
    qtbot.keyClick(page, KEY.Key_Escape)
    qtbot.waitUntil(lambda: "Nothing of the clip is kept" in page.words.toPlainText(), timeout=PATIENCE_MS)
    assert window.others.name_on == "phone_clip"
    qtbot.waitUntil(lambda: not len(window.state.long_line), timeout=PATIENCE_MS)
    qtbot.keyClick(page, KEY.Key_Escape)
    assert window.others.name_on == "pupil"


def test_both_are_written_side_by_side_where_the_coach_says(window, page, measured, qtbot, monkeypatch, tmp_path):
    monkeypatch.setattr(view, "measure_phone_clip_apart", lambda *_, progress: measured)
    written = []

    def write(folder, of, to, progress):
        progress(1, 2)
        written.append((folder, of, to))
        return Swing("s7", 7)

    monkeypatch.setattr(pair, "write_pair", write)
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_: (str(tmp_path / "both"), ""))
    assert page.pair.isHidden()
    qtbot.keyClick(page.file, KEY.Key_S, Qt.KeyboardModifier.ControlModifier)  # nothing is measured yet
    _measure(qtbot, page)
    qtbot.waitUntil(lambda: page.measured is measured, timeout=PATIENCE_MS)
    assert not page.pair.isHidden()
    qtbot.keyClick(page.words, KEY.Key_S, Qt.KeyboardModifier.ControlModifier)
    to = tmp_path / "both.mp4"
    qtbot.waitUntil(lambda: page.told.text() == f"Swing 7 and the clip side by side: {to}", timeout=PATIENCE_MS)
    assert written == [(window.state.library, measured, to)]
    assert page.words.toPlainText().startswith("Jonas Made-Up")  # the numbers stay


def test_what_is_in_the_way_of_both_is_said_without_a_command(page, measured, qtbot, monkeypatch, tmp_path):
    monkeypatch.setattr(view, "measure_phone_clip_apart", lambda *_, progress: measured)
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_: (str(measured.path), ""))
    _measure(qtbot, page)
    qtbot.waitUntil(lambda: page.measured is measured, timeout=PATIENCE_MS)
    page.pair.ask_file()
    qtbot.waitUntil(lambda: "is the pupil's own clip" in page.told.text(), timeout=PATIENCE_MS)
    may_not = replace(measured, pupil=replace(measured.pupil, consent=None))
    page.pair.show_measured(may_not)
    page.pair.ask_file()
    qtbot.waitUntil(lambda: "has not agreed that clips are kept" in page.told.text(), timeout=PATIENCE_MS)
    assert "--" not in page.told.text()


def test_without_consent_no_clip_is_taken(page, measured):
    page.open_pupil(replace(measured.pupil, consent=None))
    assert "has not agreed to be measured" in page.words.toPlainText()
    assert not page.file.isEnabled()
    page.file.setText(str(CLIP))
    page.measure()
    assert "has not agreed to be measured" in page.words.toPlainText()


def test_it_is_said_in_german(open_window, years_library, measured, qtbot):
    window = open_window(years_library)
    window.choose_look(replace(window.choice, language="de"))
    page = window.others.show("phone_clip")
    page.open_pupil(measured.pupil)
    page.show_measured(measured)
    qtbot.waitUntil(lambda: not len(window.state.line), timeout=PATIENCE_MS)
    assert "neben Serie 2 vom 8. Februar 2026" in page.words.toPlainText()
    assert "Was keine Kamera liefert: Schlägerweg" in page.words.toPlainText()
    assert left_english(list_said(page), ["Jonas Made-Up"]) == set()


def test_measuring_in_a_process_of_its_own_says_what_is_no_clip(years_library, tmp_path):
    (tmp_path / "note.mp4").write_text("no clip", encoding="utf-8")
    with pytest.raises(BadInputError, match=r"note\.mp4"):
        view.measure_phone_clip_apart(years_library, "years", tmp_path / "note.mp4")

    def stop(*_):
        raise Cancelled("Stopped.")

    with pytest.raises(Cancelled):
        view.measure_phone_clip_apart(years_library, "years", CLIP, progress=stop)
