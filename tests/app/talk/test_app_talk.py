"""A coach talks over a swing by keys: what was on the screen is noted at the samples of the voice."""

import shutil

import pytest
from PyQt5.QtCore import Qt
from waiting import PATIENCE_MS

from review.app.talk.log import TalkLog
from review.app.voice import recorder
from review.lesson import Moment
from review.library import Library
from tests.made_voices import RATE_HZ, MadeDevices, speak


@pytest.fixture
def talk(qtbot, open_lesson, sample_library, tmp_path):
    """A window on a swing of a lesson of its own."""
    folder = tmp_path / "library"
    shutil.copytree(sample_library, folder)
    window = open_lesson(folder)
    window.state.open_swing(next(swing.id for swing in window.state.lesson.swings if swing.clips))
    qtbot.waitUntil(lambda: window.swing_page is not None and window.swing_page.is_ready, timeout=PATIENCE_MS)
    window.folder = folder
    return window


def kept(window):
    with Library.open(window.folder) as library:
        return library.talk_overs(library.latest_lesson().id)


def step_on(qtbot, window, devices, seconds):
    """Speak so long, then one frame on, and wait until it is noted."""
    page, before = window.swing_page, window.swing_page.player.leading.frame
    devices.hear(speak(seconds))
    qtbot.keyClick(page, Qt.Key.Key_Right)
    qtbot.waitUntil(lambda: page.talk.log.moments[-1].frame == before + 1, timeout=PATIENCE_MS)


def test_frames_and_notes_are_noted_at_the_samples_of_the_voice(qtbot, talk, monkeypatch):
    devices = MadeDevices(late_s=0.0)
    monkeypatch.setattr(recorder, "open_devices", lambda: devices)
    page = talk.swing_page
    began = page.player.leading.frame
    qtbot.keyClick(page, Qt.Key.Key_T)
    qtbot.waitUntil(lambda: page.talk.recorder.recording is not None, timeout=PATIENCE_MS)
    qtbot.waitUntil(lambda: bool(page.talk.log.moments), timeout=PATIENCE_MS)
    for seconds in (1.0, 0.5):
        step_on(qtbot, talk, devices, seconds)
    qtbot.keyClick(page, Qt.Key.Key_Return)
    qtbot.keyClicks(page.talk.line, "heel down")
    devices.hear(speak(1.0))
    qtbot.keyClick(page.talk.line, Qt.Key.Key_Return)
    assert page.talk.line.isHidden()
    devices.hear(speak(0.5))
    qtbot.keyClick(page, Qt.Key.Key_T)
    qtbot.waitUntil(lambda: len(kept(talk)) == 1 and not len(talk.state.line), timeout=PATIENCE_MS)
    one = kept(talk)[0]
    assert (one.rate_hz, one.n_samples) == (RATE_HZ, 3 * RATE_HZ)
    assert one.voice_id
    assert [(m.at, m.frame - began, m.note) for m in one.moments] == [
        (0, 0, ""),
        (RATE_HZ, 1, ""),
        (round(1.5 * RATE_HZ), 2, ""),
        (round(2.5 * RATE_HZ), 2, "heel down"),
    ]
    assert not page.talk.isVisible()
    qtbot.keyClick(page, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    qtbot.waitUntil(lambda: not kept(talk) and not len(talk.state.line), timeout=PATIENCE_MS)
    qtbot.keyClick(page, Qt.Key.Key_Y, Qt.KeyboardModifier.ControlModifier)
    qtbot.waitUntil(lambda: kept(talk) == (one,), timeout=PATIENCE_MS)


def test_without_a_microphone_notes_are_taken(qtbot, talk, monkeypatch):
    monkeypatch.setattr(recorder, "open_devices", lambda: MadeDevices(why_not="There is no microphone."))
    page = talk.swing_page
    qtbot.keyClick(page, Qt.Key.Key_T)
    qtbot.waitUntil(lambda: "no microphone" in talk.bar.text, timeout=PATIENCE_MS)
    assert page.talk.is_on
    qtbot.keyClick(page, Qt.Key.Key_Return)
    qtbot.keyClicks(page.talk.line, "heel down")
    qtbot.keyClick(page.talk.line, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: page.talk.log.moments[-1:] and page.talk.log.moments[-1].note != "", timeout=PATIENCE_MS)
    qtbot.keyClick(page, Qt.Key.Key_T)
    qtbot.waitUntil(lambda: len(kept(talk)) == 1, timeout=PATIENCE_MS)
    assert kept(talk)[0].voice_id == ""
    assert kept(talk)[0].moments[-1].note == "heel down"


def test_a_swing_ends_it_and_closing_the_window_keeps_it(qtbot, talk, monkeypatch):
    devices = MadeDevices()
    monkeypatch.setattr(recorder, "open_devices", lambda: devices)
    page = talk.swing_page
    talk._hold_still(True)
    qtbot.keyClick(page, Qt.Key.Key_T)
    assert not page.talk.is_on
    talk._hold_still(False)
    for end in (lambda: talk._hold_still(True), talk.close):
        talk._hold_still(False)
        qtbot.waitUntil(lambda: not page.talk.recorder.is_busy, timeout=PATIENCE_MS)
        qtbot.keyClick(page, Qt.Key.Key_T)
        qtbot.waitUntil(lambda: page.talk.recorder.recording is not None, timeout=PATIENCE_MS)
        qtbot.waitUntil(lambda: bool(page.talk.log.moments), timeout=PATIENCE_MS)
        devices.hear(speak(1.0))
        n = len(kept(talk))
        end()
        qtbot.waitUntil(lambda n=n: len(kept(talk)) == n + 1, timeout=PATIENCE_MS)
        assert not devices.is_open


def test_what_stays_is_noted_once():
    log = TalkLog()
    noted = [log.note(Moment(at, "c", frame)) for at, frame in ((7, 3), (9, 3), (20, 4), (20, 5), (30, 5))]
    assert noted == [True, False, True, True, False]
    assert log.moments == (Moment(0, "c", 3), Moment(20, "c", 5))
