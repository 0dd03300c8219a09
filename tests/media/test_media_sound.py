"""A knock put in at a known time is found there, on the clock of the pictures."""

from collections.abc import Callable
from fractions import Fraction
from pathlib import Path

import av
import numpy as np
import pytest
from media_clips import H264_B, SOUND_HZ, Made, click_at, make_clip

from review.media import Audio, probe_video, read_audio

Getter = Callable[[str], Made]
TICKS = tuple(range(0, 60 * 512, 512))
BASE = Fraction(1, 15360)


def knock_s(audio: Audio) -> float:
    return audio.start_s + int(np.argmax(np.abs(audio.samples))) / audio.rate_hz


@pytest.mark.parametrize(("name", "knock"), [("h264_b_frames", 1.7), ("late_start", 1.25), ("avi", 0.9)])
def test_knock_is_found_within_a_millisecond(made: Getter, name: str, knock: float) -> None:
    audio = read_audio(made(name).path)
    assert audio is not None
    assert knock_s(audio) == pytest.approx(knock, abs=0.001)


def test_knock_in_a_transport_stream_relative_to_its_pictures(made: Getter) -> None:
    clip = made("transport_stream")
    audio = read_audio(clip.path)
    assert audio is not None
    first_s = float(probe_video(clip.path).time_s[0])
    assert first_s > 0.0  # such a stream does not begin at 0: the clock is shared, not reset
    assert knock_s(audio) - first_s == pytest.approx(0.9, abs=0.001)


@pytest.mark.parametrize("suffix", [".mp4", ".mov", ".mkv"])
@pytest.mark.parametrize("rate_hz", [44100, 48000, 16000])
def test_late_sound_at_other_rates(tmp_path: Path, suffix: str, rate_hz: int) -> None:
    path = tmp_path / f"c{suffix}"
    sound = click_at(0.6, 1.5, rate_hz)
    make_clip(path, TICKS, BASE, options=H264_B, sound=sound, sound_start_s=0.3, sound_hz=rate_hz)
    for wanted_hz in (48000, 22050):
        audio = read_audio(path, wanted_hz)
        assert audio is not None
        assert audio.rate_hz == wanted_hz
        assert knock_s(audio) == pytest.approx(0.9, abs=0.001)
        whole_frames_s = 2 * 1024 / rate_hz  # AAC codes 1024 samples at a time
        assert audio.duration_s == pytest.approx(1.5, abs=whole_frames_s)


def test_resampling_keeps_a_tone(tmp_path: Path) -> None:
    """A 1 kHz tone stays 1 kHz at its level: closed form, far below half of either rate."""
    time_s = np.arange(44100) / 44100
    tone = (0.5 * np.sin(2 * np.pi * 1000 * time_s)).astype(np.float32)
    make_clip(tmp_path / "t.mp4", TICKS, BASE, sound=tone, sound_hz=44100)
    audio = read_audio(tmp_path / "t.mp4", 48000)
    assert audio is not None
    middle = audio.samples[8000:40000]
    spectrum = np.abs(np.fft.rfft(middle * np.hanning(len(middle))))
    assert np.argmax(spectrum) * 48000 / len(middle) == pytest.approx(1000, abs=1.5)  # one bin
    assert np.sqrt(2 * np.mean(middle.astype(np.float64) ** 2)) == pytest.approx(0.5, rel=0.02)  # AAC is lossy


def test_gap_in_the_sound_is_silence_and_channels_are_averaged(tmp_path: Path) -> None:
    """A recorder that drops sound for a second must not move what is heard after it."""
    path = tmp_path / "gap.mkv"
    with av.open(str(path), "w") as out:
        stream = out.add_stream("pcm_s16le", rate=SOUND_HZ, layout="stereo")
        for start_s, knock in ((0.0, 0.2), (1.5, 0.3)):
            both = np.zeros(2 * SOUND_HZ // 2, dtype=np.int16)
            both[2 * round(knock * SOUND_HZ)] = 20000  # left only
            frame = av.AudioFrame.from_ndarray(both[None, :], format="s16", layout="stereo")
            frame.sample_rate, frame.time_base, frame.pts = SOUND_HZ, Fraction(1, SOUND_HZ), round(start_s * SOUND_HZ)
            out.mux(stream.encode(frame))
        out.mux(stream.encode(None))
    audio = read_audio(path)
    assert audio is not None
    heard = np.flatnonzero(np.abs(audio.samples) > 0.1)
    np.testing.assert_allclose(audio.start_s + heard / SOUND_HZ, [0.2, 1.8], atol=0.001)  # the container counts ms
    np.testing.assert_allclose(audio.samples[heard], 20000 / 32768 / 2, rtol=1e-6)
    assert audio.duration_s == pytest.approx(2.0, abs=0.001)


def test_sound_that_overlaps_itself_does_not_come_ever_later(tmp_path: Path) -> None:
    path = tmp_path / "overlap.mkv"
    length, knock_at_s, every = 1024, 8.0, 10
    early = SOUND_HZ // 100  # each tenth packet begins 10 ms before the one before it has ended
    with av.open(str(path), "w") as out:
        stream = out.add_stream("pcm_s16le", rate=SOUND_HZ, layout="mono")
        for i in range(480):
            start = i * length - early * (i // every)
            samples = np.zeros((1, length), dtype=np.int16)
            if 0 <= knock_at_s * SOUND_HZ - start < length:
                samples[0, round(knock_at_s * SOUND_HZ) - start] = 20000
            block = av.AudioFrame.from_ndarray(samples, format="s16", layout="mono")
            block.sample_rate, block.time_base, block.pts = SOUND_HZ, Fraction(1, SOUND_HZ), start
            out.mux(stream.encode(block))
        out.mux(stream.encode(None))
    audio = read_audio(path)
    assert audio is not None
    assert knock_s(audio) == pytest.approx(knock_at_s, abs=0.021)  # steps up to 20 ms are taken for jitter


def test_no_sound_is_none(made: Getter) -> None:
    clip = made("variable_rate")
    assert read_audio(clip.path) is None
    assert not probe_video(clip.path).has_audio
    assert probe_video(made("h264_b_frames").path).has_audio


def test_audio_is_checked() -> None:
    with pytest.raises(ValueError, match=r"float32 of shape \(n,\)"):
        Audio(np.zeros((2, 5), dtype=np.float32), 48000, 0.0)
    with pytest.raises(ValueError, match="rate_hz"):
        Audio(np.zeros(5, dtype=np.float32), 0, 0.0)
