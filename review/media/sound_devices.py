"""Microphone and loudspeaker: a small protocol, and the computer's own, loaded only when it is used."""

import sys
from collections.abc import Callable
from types import ModuleType
from typing import Any, Protocol

import numpy as np
from numpy.typing import NDArray

from review.errors import MachineError
from review.media.sound import Audio

TakeBlock = Callable[[NDArray[np.float32], float], None]
"""Gets samples (n,) in [-1, 1] and when the first was caught, in seconds of the device's clock (``now_s``)."""

_BLOCK_S = 0.02
_BUSY = -9985
_NOTHING = "Nothing can be spoken or played: this computer lacks the part for microphone and loudspeaker."
_GO_ON = "Everything else goes on; words can be typed."


class OpenMicrophone(Protocol):
    """A microphone that records until it is closed."""

    rate_hz: int

    def now_s(self) -> float:
        """The device's clock."""
        ...

    def close(self) -> None:
        """Stop recording; no block comes after it returns."""
        ...


class Playing(Protocol):
    """A voice that is being played."""

    def is_on(self) -> bool:
        """Whether it still sounds."""
        ...

    def stop(self) -> None:
        """Let it be silent."""
        ...


class SoundDevices(Protocol):
    """Where voices come from and go to."""

    def record(self, take: TakeBlock) -> OpenMicrophone:
        """Open the microphone; ``take`` is called from another thread.

        Raises
        ------
        MachineError
            When there is none, it is in use or may not be used.
        """
        ...

    def play(self, audio: Audio) -> Playing:
        """Play a voice from its beginning; raises as ``record``."""
        ...


def open_sound_devices() -> SoundDevices:
    """Return the computer's own microphone and loudspeaker.

    Raises
    ------
    MachineError
        When the sound library of the system, or the package that uses it, is missing.
    """
    try:
        import sounddevice
    except ImportError as error:
        raise MachineError(f"{_NOTHING} Install the tool again: it brings that part. {_GO_ON}") from error
    except OSError as error:  # the package is there, PortAudio is not
        is_linux = sys.platform == "linux"  # elsewhere the package brings it
        what = "Ask whoever looks after it to install libportaudio2." if is_linux else "Install the tool again."
        raise MachineError(f"{_NOTHING} {what} {_GO_ON}") from error
    return _PortAudio(sounddevice)


class _PortAudio:
    def __init__(self, library: ModuleType) -> None:
        self._library: Any = library

    def record(self, take: TakeBlock) -> OpenMicrophone:
        library = self._library
        try:
            rate_hz = round(library.query_devices(kind="input")["default_samplerate"])

            def take_block(samples: NDArray[np.float32], n: int, time: Any, _: Any) -> None:
                caught_s = time.inputBufferAdcTime
                if not time.currentTime - 1.0 < caught_s <= time.currentTime:  # some drivers do not tell
                    caught_s = time.currentTime - n / rate_hz
                take(samples[:, 0].copy(), caught_s)

            stream = library.InputStream(
                samplerate=rate_hz,
                channels=1,
                dtype="float32",
                blocksize=round(_BLOCK_S * rate_hz),
                callback=take_block,
            )
            stream.start()
        except library.PortAudioError as error:
            raise _explain(error, "microphone") from error
        except ValueError as error:  # no device of that kind
            raise _explain(error, "microphone") from error
        return _Stream(stream, rate_hz)

    def play(self, audio: Audio) -> Playing:
        library = self._library
        at = 0

        def give_block(out: NDArray[np.float32], n: int, *_: Any) -> None:
            nonlocal at
            piece = audio.samples[at : at + n]
            out[: len(piece), 0], out[len(piece) :, 0] = piece, 0.0
            at += n
            if at >= len(audio.samples):
                raise library.CallbackStop

        try:
            stream = library.OutputStream(samplerate=audio.rate_hz, channels=1, dtype="float32", callback=give_block)
            stream.start()
        except (library.PortAudioError, ValueError) as error:
            raise _explain(error, "loudspeaker") from error
        return _Stream(stream, audio.rate_hz)


class _Stream:
    """A stream of PortAudio, in or out."""

    def __init__(self, stream: Any, rate_hz: int) -> None:
        self._stream, self.rate_hz = stream, rate_hz

    def now_s(self) -> float:
        return float(self._stream.time)

    def is_on(self) -> bool:
        return bool(self._stream.active)

    def close(self) -> None:
        self._stream.close()

    stop = close


def _explain(error: Exception, device: str) -> MachineError:
    """Say why a device cannot be used, and what to do."""
    number = error.args[1] if len(error.args) > 1 else None
    detail = str(error.args[0] if error.args else error)
    if number == _BUSY or "unavailable" in detail.lower():
        return MachineError(
            f"The {device} is in use by another program, or not allowed for this one. Close the other program, or "
            f"allow it in the system's settings. {_GO_ON}"
        )
    if "querying device" in detail.lower() or "no default" in detail.lower() or "no input device" in detail.lower():
        return MachineError(
            f"There is no {device} on this computer. Plug one in, or choose one in the system's settings. {_GO_ON}"
        )
    return MachineError(f"The {device} cannot be used ({detail}). Check it in the system's settings. {_GO_ON}")
