"""A voice as a file: one channel, compressed without loss; sample i of what was spoken is sample i of the file."""

from pathlib import Path

import av
import numpy as np
from av.audio.frame import AudioFrame
from numpy.typing import NDArray

from review.errors import BadInputError, MachineError
from review.media.sound import Audio

VOICE_SUFFIX = ".flac"
_BLOCK = 4096


def write_voice(path: Path, audio: Audio) -> None:
    """Write a voice as 16-bit FLAC, whatever the ending of ``path``; its first sample is the first of ``audio``.

    Raises
    ------
    MachineError
        When the disk is full or may not be written.
    """
    pcm = np.round(np.clip(audio.samples, -1.0, 1.0) * 32767.0).astype("<i2")
    try:
        with av.open(str(path), "w", format="flac") as container:
            stream = container.add_stream("flac", rate=audio.rate_hz, layout="mono", format="s16")
            for first in range(0, len(pcm), _BLOCK):
                frame = AudioFrame.from_ndarray(pcm[None, first : first + _BLOCK], format="s16", layout="mono")
                frame.sample_rate, frame.pts = audio.rate_hz, first
                container.mux(stream.encode(frame))
            container.mux(stream.encode(None))
    except (av.FFmpegError, OSError) as error:
        raise MachineError(
            f"The voice could not be written to {path.parent}: {error}. Make room, then again."
        ) from error


def read_voice(path: Path) -> Audio:
    """Read what ``write_voice`` wrote.

    Raises
    ------
    BadInputError
        When it is not there or damaged.
    """
    pieces: list[NDArray[np.float32]] = []
    try:
        with av.open(str(path)) as container:
            stream = container.streams.audio[0]
            pieces += [_to_floats(frame) for frame in container.decode(stream)]
            rate_hz = stream.rate
    except (av.FFmpegError, OSError, IndexError) as error:
        raise _damaged(path) from error
    if not pieces:
        raise _damaged(path)
    return Audio(np.concatenate(pieces), rate_hz, 0.0)


def _damaged(path: Path) -> BadInputError:
    return BadInputError(
        f"The voice recorded here cannot be played: its file ({path.name}) is missing or damaged. Record it anew."
    )


def _to_floats(frame: AudioFrame) -> NDArray[np.float32]:
    samples: NDArray[np.float32] = (frame.to_ndarray().reshape(-1) / 32768.0).astype(np.float32)
    return samples
