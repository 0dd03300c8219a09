"""Writing a video that a phone plays: written aside, moved in when it is whole."""

import contextlib
import os
import subprocess
import threading
from collections import deque
from fractions import Fraction
from pathlib import Path
from types import TracebackType
from typing import IO, Self
from uuid import uuid4

import imageio_ffmpeg
import numpy as np
from numpy.typing import NDArray

from review.errors import BadInputError, MachineError
from review.media.encoder import encoder_error
from review.media.encoder_settings import EncoderSettings
from review.media.planes import Planes
from review.media.sound import Audio, write_wav

_CRF = 20
_END_TIMEOUT_S = 120.0
"""After the last picture the encoder only empties its queue and moves the index to the front."""
_STDERR_LINES = 40


class VideoWriter:
    """Write pictures, and sound if given, as an MP4 that any phone plays; use it in a ``with`` block.

    H.264 high profile, 8-bit 4:2:0, constant frame rate, BT.709 colours, index at the front, no
    metadata. ``path`` appears, or is replaced, only when the block ends well; on an error or a
    cancel the encoder is ended and nothing is left behind.

    Parameters
    ----------
    path
        Target; its folder must exist.
    width_px, height_px
        Size of every picture; both even, as 4:2:0 stores colour for 2 x 2 pixels.
    frame_rate_hz
        Pictures per second.
    audio
        Sound whose ``start_s`` counts from the first picture written (negative: begins before it).
        It is cut or followed by silence to the length of the pictures.
    crf
        How coarse: the encoder's constant rate factor, 0 finest to 51.
    most_bits_per_s
        Bound on what the pictures take, over any second; None = what their fineness needs.
    pictures_per_start
        A player that jumps has to decode from the last whole picture; every so many is whole. None = the encoder's
        choice (few).
    takes_planes
        Pictures come as :class:`review.media.Planes`, which are not converted any more, not as RGB.

    Raises
    ------
    BadInputError
        The target is a folder or lies in a folder that does not exist.
    MachineError
        The folder is not writable, the disk is full or the encoder is missing or fails.
    """

    def __init__(
        self,
        path: str | os.PathLike[str],
        width_px: int,
        height_px: int,
        frame_rate_hz: float,
        audio: Audio | None = None,
        crf: int = _CRF,
        pictures_per_start: int | None = None,
        most_bits_per_s: float | None = None,
        takes_planes: bool = False,
    ) -> None:
        if width_px < 2 or height_px < 2 or width_px % 2 or height_px % 2:
            raise ValueError(f"width_px and height_px must be even and positive, got {width_px} x {height_px}")
        if not 0 < frame_rate_hz <= 1000:
            raise ValueError(f"frame_rate_hz must lie in 0..1000, got {frame_rate_hz}")
        self.path = Path(path).absolute()
        self._shape = (height_px, width_px, 3)
        rate_hz = Fraction(frame_rate_hz).limit_denominator(1001)
        self._settings = EncoderSettings(
            width_px, height_px, rate_hz, crf, pictures_per_start, most_bits_per_s, takes_planes
        )
        self._audio = audio
        mark = f".{self.path.stem}.{uuid4().hex[:8]}"
        self._part = self.path.with_name(f"{mark}.part")
        self._sound = self.path.with_name(f"{mark}.wav.part")
        self._process: subprocess.Popen[bytes] | None = None
        self._stderr: deque[str] = deque(maxlen=_STDERR_LINES)
        self._drain: threading.Thread | None = None
        self.n_written = 0

    def __enter__(self) -> Self:
        try:
            self._start()
        except BaseException:
            self._abandon()
            raise
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, traceback: TracebackType | None
    ) -> None:
        try:
            if kind is None:
                self._finish()
        finally:
            self._abandon()

    def write(self, picture: NDArray[np.uint8] | Planes) -> None:
        """Append one picture: RGB (height_px, width_px, 3), or planes where the writer takes them.

        Raises
        ------
        MachineError
            The encoder stopped: disk full or no longer writable.
        """
        if isinstance(picture, Planes) is not self._settings.takes_planes:
            raise ValueError(f"this writer takes {'planes' if self._settings.takes_planes else 'RGB'}, got the other")
        parts = picture.parts if isinstance(picture, Planes) else (picture,)
        shape = self._shape[:2] if isinstance(picture, Planes) else self._shape
        if parts[0].shape != shape or any(part.dtype != np.uint8 for part in parts):
            raise ValueError(f"a picture must be uint8 of shape {shape}, got {parts[0].dtype} {parts[0].shape}")
        stdin = self._stdin()
        try:
            for part in parts:
                stdin.write(np.ascontiguousarray(part).data)
        except OSError as error:  # the pipe broke: the encoder says why
            raise self._encoder_error() from error
        self.n_written += 1

    def _stdin(self) -> IO[bytes]:
        if self._process is None or self._process.stdin is None:
            raise ValueError("a VideoWriter must be used inside a with block")
        return self._process.stdin

    def _start(self) -> None:
        if self.path.is_dir():
            raise BadInputError(f"Expected a file name to write to, but '{self.path}' is a folder. Add a name.")
        if not self.path.parent.is_dir():
            raise BadInputError(
                f"Expected a folder to write to, but '{self.path.parent}' does not exist. Make it or choose another."
            )
        try:
            self._part.touch(exist_ok=False)
            if self._audio is not None:
                write_wav(self._sound, self._audio)
        except OSError as error:
            raise self._disk_error(error) from error
        try:
            program = imageio_ffmpeg.get_ffmpeg_exe()
            graph = self._settings.make_graph(self._part, None if self._audio is None else self._sound)
            self._process = graph.run_async(cmd=program, pipe_stdin=True, pipe_stderr=True)
        except (RuntimeError, OSError) as error:
            raise MachineError(
                "Expected the video encoder that is installed with this tool, but it is missing or does not run. "
                "Install the tool again (package imageio-ffmpeg)."
            ) from error
        self._drain = threading.Thread(target=self._read_stderr, name="encoder messages", daemon=True)
        self._drain.start()

    def _read_stderr(self) -> None:
        stderr = self._process.stderr if self._process else None
        for line in stderr or ():
            self._stderr.append(line.decode("utf-8", "replace").strip())

    def _finish(self) -> None:
        process = self._process
        if process is None:
            return
        if not self.n_written:
            raise ValueError("a video needs at least one picture")
        try:
            self._stdin().close()
            code = process.wait(_END_TIMEOUT_S)
        except (OSError, subprocess.TimeoutExpired) as error:
            raise self._encoder_error() from error
        if code:
            raise self._encoder_error()
        try:
            with self._part.open("rb+") as part:
                os.fsync(part.fileno())
            self._part.replace(self.path)
        except OSError as error:
            raise self._disk_error(error) from error

    def _abandon(self) -> None:
        """End the encoder and remove what is not whole; harmless after a good end."""
        process = self._process
        if process is not None:
            if process.poll() is None:
                process.kill()
            if process.stdin is not None:
                with contextlib.suppress(OSError):
                    process.stdin.close()
            process.wait()
            if self._drain is not None:
                self._drain.join()
            if process.stderr is not None:
                process.stderr.close()
            self._process = None
        for path in (self._part, self._sound):
            with contextlib.suppress(OSError):
                path.unlink()

    def _encoder_error(self) -> MachineError:
        """Say in the coach's words why the encoder stopped."""
        if self._process is not None:
            with contextlib.suppress(subprocess.TimeoutExpired):
                self._process.wait(5.0)
            if self._process.poll() is None:
                self._process.kill()
        if self._drain is not None:
            self._drain.join()
        return encoder_error(self.path, list(self._stderr))

    def _disk_error(self, error: OSError) -> MachineError:
        return encoder_error(self.path, [error.strerror or str(error)])
