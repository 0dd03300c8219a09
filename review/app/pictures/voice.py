"""Pictures of a cue being spoken and of a coach who talks over a swing; nothing is heard, nothing of it is kept."""

from collections.abc import Callable

import numpy as np

from review.app.language import tr
from review.app.window import Window
from review.lesson import VoiceOf
from review.media import Audio, Playing
from review.media.sound_devices import OpenMicrophone, TakeBlock

Draw = Callable[[str], None]
WaitUntil = Callable[[Callable[[], bool]], None]


def draw_voice(window: Window, draw: Draw, wait_until: WaitUntil) -> None:
    """Draw the strip of the chart on which the cue of the chosen swing's batch is being spoken."""
    shown, strip = window.state.lesson, window.chart.strip if window.chart is not None else None
    if shown is None or strip is None or not shown.lesson.batches:
        return
    voice = strip.voice
    voice.recorder.devices = _Tone(2.6)
    voice.press(shown.lesson.batches[0], VoiceOf.CUE)
    if not voice.is_recording:  # something is spoken there already
        voice.speak()
    wait_until(lambda: voice.sign.level > 0)
    draw("voice")
    voice.stop(drop=True)
    wait_until(lambda: not voice.recorder.is_busy)
    voice.recorder.devices = None
    voice.close_strip()


def draw_talk(window: Window, draw: Draw, wait_until: WaitUntil) -> None:
    """Draw the strip of a swing over which the coach talks, a note half written."""
    page = window.swing_page
    if page is None or page.player is None:
        return
    talk = page.talk
    talk.recorder.devices = _Tone(8.0)
    talk.begin(page.player)
    wait_until(lambda: talk.sign.level > 0)
    talk.write_note(tr("top"))
    draw("talk")
    talk.drop()
    wait_until(lambda: not talk.recorder.is_busy)
    talk.recorder.devices = None


class _Tone:
    """A microphone that has caught a tone of some seconds when it is opened, and no more; it plays nothing."""

    rate_hz = 16000

    def __init__(self, seconds: float) -> None:
        self._samples = np.sin(np.arange(round(seconds * self.rate_hz)) * 0.1).astype(np.float32) * 0.4

    def record(self, take: TakeBlock) -> OpenMicrophone:
        take(self._samples, 0.0)
        return self

    def play(self, audio: Audio) -> Playing:
        return self

    def now_s(self) -> float:
        return len(self._samples) / self.rate_hz

    def is_on(self) -> bool:
        return False

    def close(self) -> None:
        """Nothing is open."""

    stop = close
