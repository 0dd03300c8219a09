"""Any picture of a review copy, by its number."""

import os
import zlib
from pathlib import Path
from types import TracebackType
from typing import Self

import av
import cv2
import numpy as np
from av.container import InputContainer
from av.video.codeccontext import VideoCodecContext
from numpy.typing import NDArray

from review.errors import BadInputError
from review.media.copy_map import CopyMap, DamagedCopyError


class ReviewCopy:
    """Any picture of a review copy by its number; use it in a ``with`` block and from one thread.

    Raises
    ------
    DamagedCopyError
        The file is not the one that the map speaks of.
    """

    def __init__(self, path: Path, copy_map: CopyMap) -> None:
        self.map = copy_map
        self.path = path
        try:
            size = path.stat().st_size
            if size != copy_map.file_bytes:
                raise DamagedCopyError(f"{path} has {size} bytes, not {copy_map.file_bytes}")
            self._file = path.open("rb")
            try:
                self._container, self._decoder = _open_decoder(path)
            except BaseException:
                self._file.close()
                raise
        except (OSError, av.FFmpegError, BadInputError) as error:
            raise DamagedCopyError(f"{path} cannot be used: {error}") from error

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, traceback: TracebackType | None
    ) -> None:
        self.close()

    def close(self) -> None:
        """Let go of the file."""
        self._file.close()
        self._container.close()

    def read(self, index: int) -> NDArray[np.uint8]:
        """Return picture ``index`` as stored: planes Y, U, V beneath each other, (3/2 h, w).

        Raises
        ------
        DamagedCopyError
            The picture is not the one that was written.
        """
        if not 0 <= index < self.map.n_frames:
            raise IndexError(f"frame must lie in 0..{self.map.n_frames - 1}, got {index}")
        try:
            self._file.seek(int(self.map.begin_byte[index]))
            data = self._file.read(int(self.map.n_bytes[index]))
        except OSError as error:
            raise DamagedCopyError(f"{self.path} cannot be read: {error}") from error
        if zlib.crc32(data) != self.map.crc32[index]:
            raise DamagedCopyError(f"frame {index} of {self.path} is not as it was written")
        packet = av.Packet(data)
        packet.pts = packet.dts = index
        try:
            frames = self._decoder.decode(packet)
        except av.FFmpegError as error:
            raise DamagedCopyError(f"frame {index} of {self.path} does not decode: {error}") from error
        # every picture stands alone and slices are all that is shared out, so a packet gives its own picture at once
        if len(frames) != 1 or frames[0].pts != index:
            raise DamagedCopyError(f"frame {index} of {self.path} does not come by itself")
        return frames[0].to_ndarray().astype(np.uint8, copy=False)

    def to_rgb(self, stored: NDArray[np.uint8]) -> NDArray[np.uint8]:
        """Return the picture (h, w, 3) of what ``read`` gave."""
        return self._convert(stored, cv2.COLOR_YUV2RGB_I420)

    def to_screen(self, stored: NDArray[np.uint8]) -> NDArray[np.uint8]:
        """Return the picture (h, w, 4), blue, green, red, 255, of what ``read`` gave."""
        return self._convert(stored, cv2.COLOR_YUV2BGRA_I420)

    def _convert(self, stored: NDArray[np.uint8], how: int) -> NDArray[np.uint8]:
        picture = cv2.cvtColor(stored, how)[: self.map.height_px, : self.map.width_px]
        return np.ascontiguousarray(picture).astype(np.uint8, copy=False)


def _open_decoder(path: Path) -> tuple[InputContainer, VideoCodecContext]:
    container = av.open(f"file:{path}", options={"protocol_whitelist": "file"}, format="mp4")
    try:
        stream = container.streams.video[0]
        decoder = stream.codec_context
        if decoder is None or decoder.name != "h264":
            raise DamagedCopyError(f"{path} is no review copy")
        decoder.thread_type = "SLICE"
        decoder.thread_count = min(4, os.cpu_count() or 1)
        return container, decoder
    except BaseException as error:
        container.close()
        if isinstance(error, IndexError):
            raise DamagedCopyError(f"{path} holds no pictures") from error
        raise
