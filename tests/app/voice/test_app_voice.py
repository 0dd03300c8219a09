"""Cue and feel spoken by keys, with a stand-in for the microphone; and without any."""

import shutil
import threading
from dataclasses import replace
from datetime import date

import numpy as np
import pytest
from PyQt5.QtCore import Qt
from waiting import PATIENCE_MS

from review.app.voice import recorder
from review.app.voice.words import say_beside, say_left
from review.jobs.voices import load_voice_in
from review.lesson import Consent, Purpose, VoiceOf
from review.library import Library
from tests.made_voices import MadeDevices, speak


@pytest.fixture
def devices(monkeypatch):
    made = MadeDevices()
    monkeypatch.setattr(recorder, "open_devices", lambda: made)
    return made


@pytest.fixture
def put(qtbot, open_lesson, sample_library, tmp_path):
    """A window on a lesson of its own whose pupil agreed, its strip open; a call presses keys and waits."""
    folder = tmp_path / "library"
    shutil.copytree(sample_library, folder)
    with Library.open(folder) as library:
        pupil = library.pupils()[0]
        consent = Consent(pupil.name, date(2026, 1, 1), frozenset(Purpose))
        library.update_pupil(replace(pupil, consent=consent, is_minor=False))
    window = open_lesson(folder)

    def press(*keys):
        for key in keys:
            qtbot.keyClick(window.focusWidget(), key)
        qtbot.waitUntil(lambda: not len(window.state.line), timeout=PATIENCE_MS)

    press.window, press.folder = window, folder
    press(Qt.Key.Key_Right, Qt.Key.Key_E)
    press.voice = window.chart.strip.voice
    return press


def voices(put):
    return {of: round(v.duration_s, 2) for (_, of), v in put.window.state.lesson.voices.items()}


def record(qtbot, put, devices, seconds, key, end=None):
    put(key)
    qtbot.waitUntil(lambda: put.voice.recorder.recording is not None, timeout=PATIENCE_MS)
    devices.hear(speak(seconds))
    if end is not None:
        put(end)
    qtbot.waitUntil(lambda: not put.voice.is_recording and not len(put.window.state.line), timeout=PATIENCE_MS)
    assert not devices.is_open


def test_one_key_begins_the_same_key_or_ten_seconds_end(qtbot, put, devices):
    put(Qt.Key.Key_F)
    assert put.voice.sign.isVisible()
    qtbot.waitUntil(lambda: put.voice.recorder.recording is not None, timeout=PATIENCE_MS)
    devices.hear(speak(3.5))
    qtbot.waitUntil(lambda: put.voice.sign.seconds == "7 s", timeout=PATIENCE_MS)
    assert put.voice.sign.level > 0.8
    put(Qt.Key.Key_F)
    qtbot.waitUntil(lambda: voices(put) == {VoiceOf.FEEL: 3.5}, timeout=PATIENCE_MS)
    assert "spoken" in put.voice.title.text()
    record(qtbot, put, devices, 11.0, Qt.Key.Key_F)  # anew, until it is full
    qtbot.waitUntil(lambda: voices(put) == {VoiceOf.FEEL: 10.0}, timeout=PATIENCE_MS)
    put(Qt.Key.Key_Escape)
    assert put.voice.isHidden()
    put(Qt.Key.Key_U)
    assert voices(put) == {VoiceOf.FEEL: 3.5}


def test_played_taken_off_and_undone_words_beside_it(qtbot, put, devices):
    record(qtbot, put, devices, 2.0, Qt.Key.Key_Q, Qt.Key.Key_Q)
    put(Qt.Key.Key_Space)
    qtbot.waitUntil(lambda: devices.is_sounding, timeout=PATIENCE_MS)
    np.testing.assert_allclose(devices.played[0].samples, speak(2.0), atol=1e-4)
    put(Qt.Key.Key_Space)
    qtbot.waitUntil(lambda: not put.voice.recorder.is_busy and not put.voice.is_playing, timeout=PATIENCE_MS)
    assert not devices.is_sounding
    put(Qt.Key.Key_Delete)
    assert voices(put) == {}
    put(Qt.Key.Key_U)
    assert voices(put) == {VoiceOf.CUE: 2.0}
    put(Qt.Key.Key_W)
    assert put.window.focusWidget() is put.window.chart.strip.form.fields[0]
    put(Qt.Key.Key_Return)
    assert voices(put) == {VoiceOf.CUE: 2.0}


def test_spoken_in_a_line_that_is_written_in(qtbot, put, devices):
    put(Qt.Key.Key_W, Qt.Key.Key_Tab)
    field = put.window.focusWidget()
    qtbot.keyClick(field, Qt.Key.Key_R, Qt.KeyboardModifier.ControlModifier)
    qtbot.waitUntil(lambda: put.voice.recorder.recording is not None, timeout=PATIENCE_MS)
    devices.hear(speak(1.0))
    field.clear()
    qtbot.keyClicks(field, "slow")  # letters are still written
    qtbot.keyClick(field, Qt.Key.Key_R, Qt.KeyboardModifier.ControlModifier)
    qtbot.waitUntil(lambda: voices(put) == {VoiceOf.FEEL: 1.0}, timeout=PATIENCE_MS)
    put(Qt.Key.Key_Return)
    assert put.window.state.lesson.lesson.batches[0].feel == "slow"


def test_thrown_away_and_closed_in_the_middle(qtbot, put, devices):
    record(qtbot, put, devices, 2.0, Qt.Key.Key_Q, Qt.Key.Key_Escape)
    assert voices(put) == {}
    put(Qt.Key.Key_Q)
    qtbot.waitUntil(lambda: put.voice.recorder.recording is not None, timeout=PATIENCE_MS)
    devices.hear(speak(1.5))
    batch, lesson_id = put.window.state.lesson.lesson.batches[0], put.window.state.lesson.lesson.id
    put.window.close()
    assert not devices.is_open
    assert load_voice_in(put.folder, lesson_id, batch.id, VoiceOf.CUE).duration_s == pytest.approx(1.5)


def test_while_a_swing_is_on_nothing_is_recorded_and_nothing_sounds(qtbot, put, devices):
    put(Qt.Key.Key_Q)
    qtbot.waitUntil(lambda: put.voice.recorder.recording is not None, timeout=PATIENCE_MS)
    devices.hear(speak(1.0))
    put.voice.set_swing_on(True)
    qtbot.waitUntil(lambda: voices(put) == {VoiceOf.CUE: 1.0}, timeout=PATIENCE_MS)  # what was said is kept
    put(Qt.Key.Key_Space, Qt.Key.Key_Q)
    assert not put.voice.recorder.is_busy
    assert not devices.played
    put.voice.set_swing_on(False)
    put(Qt.Key.Key_Space)
    qtbot.waitUntil(lambda: devices.is_sounding, timeout=PATIENCE_MS)
    put.voice.set_swing_on(True)
    qtbot.waitUntil(lambda: not devices.is_sounding, timeout=PATIENCE_MS)


def test_a_pupil_who_has_not_agreed_is_not_recorded(qtbot, put, devices):
    with Library.open(put.folder) as library:
        library.update_pupil(replace(library.pupils()[0], consent=None))
    put(Qt.Key.Key_F)
    qtbot.waitUntil(lambda: "consent" in put.window.bar.text, timeout=PATIENCE_MS)
    assert not devices.is_open
    assert voices(put) == {}
    put.window.bar.dismiss()
    put.window.chart.strip.take_focus()
    record(qtbot, put, devices, 1.0, Qt.Key.Key_Q, Qt.Key.Key_Q)  # the coach may speak
    qtbot.waitUntil(lambda: voices(put) == {VoiceOf.CUE: 1.0}, timeout=PATIENCE_MS)


def test_without_a_microphone_everything_else_goes_on(qtbot, put, monkeypatch):
    monkeypatch.setattr(recorder, "open_devices", lambda: MadeDevices(why_not="There is no microphone."))
    put(Qt.Key.Key_Q)
    qtbot.waitUntil(lambda: "no microphone" in put.window.bar.text, timeout=PATIENCE_MS)
    assert not put.voice.is_recording
    put.window.bar.dismiss()
    put.window.chart.strip.take_focus()
    put(Qt.Key.Key_W)
    assert put.window.focusWidget() is put.window.chart.strip.form.fields[0]


def test_the_microphone_is_opened_beside_the_window(qtbot, put, monkeypatch):
    opened_in = []

    def open_slowly():
        opened_in.append(threading.current_thread())
        return MadeDevices(why_not="busy")

    monkeypatch.setattr(recorder, "open_devices", open_slowly)
    put(Qt.Key.Key_Q)
    qtbot.waitUntil(lambda: bool(opened_in) and not put.voice.recorder.is_busy, timeout=PATIENCE_MS)
    assert opened_in[0] is not threading.main_thread()


def test_words():
    assert [say_left(10.0, seconds) for seconds in (0.0, 0.1, 9.2, 10.0)] == ["10 s", "10 s", "1 s", "0 s"]
    assert say_beside("tall", None) == "tall"


def test_what_is_said_of_a_batch_goes_with_another_swing(qtbot, put, devices):
    record(qtbot, put, devices, 1.0, Qt.Key.Key_Q, Qt.Key.Key_Q)
    assert put.voice.isVisible()
    put(Qt.Key.Key_Right)
    assert put.voice.isHidden()
    assert put.window.focusWidget() is put.window.chart.strip


def test_another_swing_does_not_end_what_is_being_spoken(qtbot, put, devices):
    put(Qt.Key.Key_Q)
    qtbot.waitUntil(lambda: put.voice.recorder.recording is not None, timeout=PATIENCE_MS)
    put.window.state.step_swing(1)
    assert put.voice.isVisible()
    assert put.voice.is_recording
    devices.hear(speak(1.0))
    put(Qt.Key.Key_Q)
    qtbot.waitUntil(lambda: voices(put) == {VoiceOf.CUE: 1.0}, timeout=PATIENCE_MS)
