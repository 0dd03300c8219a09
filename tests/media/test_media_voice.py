"""A voice recorded by a stand-in for the microphone, kept as a file, and what is said where there is no sound."""

import subprocess
import sys
from types import SimpleNamespace

import numpy as np
import pytest

from review.errors import BadInputError, MachineError
from review.media import Audio, Recording, is_silent, open_sound_devices, read_voice, write_voice
from review.media.sound_devices import _PortAudio
from tests.made_voices import RATE_HZ, MadeDevices, speak


def test_a_voice_comes_back_sample_by_sample(tmp_path):
    audio = Audio(speak(2.345), RATE_HZ, 0.0)
    write_voice(tmp_path / "voice.part", audio)
    back = read_voice(tmp_path / "voice.part")
    assert back.rate_hz == RATE_HZ
    assert len(back.samples) == len(audio.samples)
    np.testing.assert_allclose(back.samples, audio.samples, atol=1e-4)  # 16 bits
    assert (tmp_path / "voice.part").stat().st_size < 2 * len(audio.samples)


@pytest.mark.parametrize("content", [None, b"", b"no sound at all" * 50])
def test_a_missing_or_damaged_voice_is_told(tmp_path, content):
    if content is not None:
        (tmp_path / "voice.flac").write_bytes(content)
    with pytest.raises(BadInputError, match="Record it anew"):
        read_voice(tmp_path / "voice.flac")


def test_a_recording_knows_its_length_level_and_the_sample_that_is_caught_now():
    devices = MadeDevices(late_s=0.05)
    recording = Recording(devices, longest_s=3.0)
    assert (recording.position(), recording.level) == (0, 0.0)
    devices.hear(speak(1.0))
    assert recording.seconds == 1.0
    # what is caught now comes 50 ms later
    assert recording.position() == round(1.05 * RATE_HZ)
    # half of full scale is -6 dB; 60 dB are the whole scale
    assert recording.level == pytest.approx(1 - 6.02 / 60, abs=0.005)
    devices.hear(speak(2.5))
    assert recording.is_full
    audio = recording.stop()
    assert len(audio.samples) == 3 * RATE_HZ
    assert not devices.is_open
    assert not is_silent(audio)
    assert is_silent(Audio(np.zeros(100, np.float32), RATE_HZ, 0.0))


def test_without_portaudio_a_plain_message_says_what_to_install():
    # the package is there, the system's library is not: as on a computer without sound
    code = """
import ctypes.util
ctypes.util.find_library = lambda name: None
import ctypes, review.media as media
from review.errors import MachineError
try:
    media.open_sound_devices()
except MachineError as error:
    print(error)
"""
    ran = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, timeout=60)
    if not ran.stdout and not ran.stderr:
        pytest.skip("sounddevice brings a PortAudio of its own on this system")
    assert "lacks the part for microphone and loudspeaker. Ask whoever looks after it" in ran.stdout, ran.stderr
    assert "words can be typed" in ran.stdout
    if sys.platform == "linux":
        assert "libportaudio2" in ran.stdout


def test_without_the_package_it_says_to_install_again(monkeypatch):
    monkeypatch.setitem(sys.modules, "sounddevice", None)
    with pytest.raises(MachineError, match="Install the tool again"):
        open_sound_devices()


class _PortAudioError(Exception):
    pass


@pytest.mark.parametrize(
    ("error", "said"),
    [
        (_PortAudioError("Error opening InputStream: Device unavailable", -9985), "in use by another program"),
        (_PortAudioError("Error querying device -1"), "no microphone"),
        (ValueError("No input device matching 'default'"), "no microphone"),
        (_PortAudioError("Error opening InputStream: Invalid sample rate", -9997), "Invalid sample rate"),
    ],
)
def test_why_a_microphone_cannot_be_used(error, said):
    def fail(**_):
        raise error

    library = SimpleNamespace(
        PortAudioError=_PortAudioError, query_devices=lambda kind: {"default_samplerate": 48000.0}, InputStream=fail
    )
    with pytest.raises(MachineError, match=said) as told:
        _PortAudio(library).record(lambda *_: None)
    assert "words can be typed" in str(told.value)


def test_blocks_come_with_the_time_they_were_caught_and_a_voice_is_played_to_its_end():
    class Stream:
        active, time = True, 7.0

        def __init__(self, callback, **asked):
            self.callback, self.asked = callback, asked

        def start(self):
            pass

        close = start

    class CallbackStop(Exception):
        pass

    library = SimpleNamespace(
        PortAudioError=_PortAudioError,
        CallbackStop=CallbackStop,
        query_devices=lambda kind: {"default_samplerate": 44100.0},
        InputStream=Stream,
        OutputStream=Stream,
    )
    got = []
    microphone = _PortAudio(library).record(lambda block, caught_s: got.append((len(block), caught_s)))
    assert microphone.rate_hz == microphone._stream.asked["samplerate"] == 44100
    for caught_s in (6.95, 0.0):  # 0: a driver that does not tell
        at = SimpleNamespace(inputBufferAdcTime=caught_s, currentTime=7.0)
        microphone._stream.callback(np.ones((441, 1), np.float32), 441, at, None)
    assert got == [(441, 6.95), (441, pytest.approx(6.99))]
    playing = _PortAudio(library).play(Audio(np.ones(500, np.float32), 44100, 0.0))
    out = np.full((400, 1), 9.0, np.float32)
    playing._stream.callback(out, 400, None, None)
    assert out.min() == 1.0
    with pytest.raises(CallbackStop):
        playing._stream.callback(out, 400, None, None)
    assert (out[:100].min(), out[100:].max()) == (1.0, 0.0)
