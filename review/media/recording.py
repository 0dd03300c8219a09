"""A voice while it is being recorded: how long it is, how loud, and which of its samples is being caught now."""

import math
import threading

import numpy as np
from numpy.typing import NDArray

from review.media.sound import Audio
from review.media.sound_devices import SoundDevices

_LEAST_DB = -60.0
_LEVEL_OVER_S = 0.3


class Recording:
    """Records from when it is made until ``stop``, or for ``longest_s``; use it from any thread.

    Raises
    ------
    MachineError
        When the microphone cannot be used.
    """

    def __init__(self, devices: SoundDevices, longest_s: float) -> None:
        self._lock = threading.Lock()
        self._blocks: list[NDArray[np.float32]] = []
        self._n, self._last, self._longest_s = 0, (0, 0.0), longest_s
        self._microphone = devices.record(self._take)
        self.rate_hz = self._microphone.rate_hz

    def _take(self, samples: NDArray[np.float32], caught_s: float) -> None:
        with self._lock:
            self._last = (self._n, caught_s)
            self._blocks.append(samples)
            self._n += len(samples)

    @property
    def n_samples(self) -> int:
        """Samples so far."""
        return min(self._n, self._n_most)

    @property
    def seconds(self) -> float:
        """Length so far."""
        return self.n_samples / self.rate_hz

    @property
    def is_full(self) -> bool:
        """Whether it is as long as it may be."""
        return self._n >= self._n_most

    @property
    def level(self) -> float:
        """How loud it was a moment ago: 0 (as good as silent, -60 dB) to 1 (as loud as can be)."""
        n, parts = round(_LEVEL_OVER_S * self.rate_hz), []
        with self._lock:
            for block in reversed(self._blocks):
                parts.append(block)
                n -= len(block)
                if n <= 0:
                    break
        loudest = max((float(np.max(np.abs(part), initial=0.0)) for part in parts), default=0.0)
        return 0.0 if loudest <= 0 else min(max(1.0 - 20.0 * math.log10(loudest) / _LEAST_DB, 0.0), 1.0)

    def position(self) -> int:
        """The sample that is being caught now, by the device's own clock.

        What happens now belongs to that sample, however long the sound takes to come here and however the device's
        clock drifts against the computer's.
        """
        with self._lock:
            first, caught_s = self._last
            if not self._blocks:
                return 0
            at = first + round((self._microphone.now_s() - caught_s) * self.rate_hz)
            return min(max(at, first), self._n_most)

    def stop(self) -> Audio:
        """Close the microphone and return what was recorded."""
        self._microphone.close()
        samples = np.concatenate([np.zeros(0, np.float32), *self._blocks])[: self._n_most]
        return Audio(samples, self.rate_hz, 0.0)

    @property
    def _n_most(self) -> int:
        return math.floor(self._longest_s * self.rate_hz)


def is_silent(audio: Audio) -> bool:
    """Whether nothing at all was recorded: a microphone that is muted, or not allowed for this program."""
    return not len(audio.samples) or float(np.max(np.abs(audio.samples))) < 1e-6
