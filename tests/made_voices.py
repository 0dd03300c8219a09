"""A stand-in for microphone and loudspeaker: what is spoken is given block by block, the clock is the test's."""

import numpy as np

from review.errors import MachineError
from review.media import Audio

RATE_HZ = 16000
BLOCK = 320


def speak(seconds: float, rate_hz: int = RATE_HZ, pitch_hz: float = 220.0) -> np.ndarray:
    """A tone, half as loud as can be."""
    return (0.5 * np.sin(2 * np.pi * pitch_hz * np.arange(round(seconds * rate_hz)) / rate_hz)).astype(np.float32)


class MadeDevices:
    """Records what ``hear`` gives; ``played`` are the voices that were played."""

    def __init__(self, late_s: float = 0.05, why_not: str = "") -> None:
        self.rate_hz, self.late_s, self.why_not = RATE_HZ, late_s, why_not
        self.caught_until_s, self.clock_s = 100.0, 100.0 + late_s
        self.is_open = self.is_sounding = False
        self.played: list[Audio] = []
        self._take = None

    def record(self, take):
        if self.why_not:
            raise MachineError(self.why_not)
        self._take, self.is_open = take, True
        return self

    def hear(self, samples: np.ndarray) -> None:
        """Let the microphone catch samples; each block comes ``late_s`` after its last sample was caught."""
        for first in range(0, len(samples), BLOCK):
            block, caught_s = samples[first : first + BLOCK], self.caught_until_s
            self.caught_until_s += len(block) / self.rate_hz
            self.clock_s = self.caught_until_s + self.late_s
            if self._take is not None:
                self._take(block, caught_s)

    def now_s(self) -> float:
        return self.clock_s

    def close(self) -> None:
        self._take, self.is_open = None, False

    def play(self, audio: Audio):
        if self.why_not:
            raise MachineError(self.why_not)
        self.played.append(audio)
        self.is_sounding = True
        return self

    def is_on(self) -> bool:
        return self.is_sounding

    def stop(self) -> None:
        self.is_sounding = False
