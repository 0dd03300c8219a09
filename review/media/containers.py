"""Opening a clip: local files of known containers only, and every failure said in the coach's words."""

import errno
import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import av
from av.container import InputContainer
from av.video.stream import VideoStream

from review.errors import BadInputError, MachineError

CONTAINERS = "mov,mp4,m4a,3gp,3g2,mj2,matroska,webm,avi,mpegts"
"""FFmpeg's names of the containers that are opened; a playlist is none of them."""

_KNOWN = "MP4, MOV, MKV, WebM, AVI or MPEG-TS"
_MACHINE_ERRNOS = {errno.EACCES, errno.EPERM, errno.EIO, errno.ENOMEM, errno.EMFILE, errno.ENFILE, errno.ENOSPC}


def check_local_file(path: str | os.PathLike[str]) -> Path:
    """Return ``path`` as an absolute path once it is known to be a readable local file with something in it.

    Raises
    ------
    BadInputError
        The path is an address, is missing, is no regular file or is empty.
    MachineError
        The file may not be read.
    """
    text = os.fspath(path)
    local = Path(text)
    try:
        if not local.exists():
            if "://" in text or text.startswith(("http:/", "https:/", "rtsp:/", "concat:", "data:")):
                raise BadInputError(
                    f"Expected a video file on this computer, found the address '{text}'. "
                    "Save the clip to this computer first, then give its file name."
                )
            raise BadInputError(f"Expected a video file, but '{text}' does not exist. Check the name and the folder.")
        if local.is_dir():
            raise BadInputError(f"Expected a video file, but '{text}' is a folder. Give the clip inside it.")
        if not local.is_file():
            raise BadInputError(
                f"Expected a video file, but '{text}' is a device or a pipe. Save the clip as an ordinary file first."
            )
        with local.open("rb") as file:
            head = file.read(1)
    except PermissionError as error:
        raise MachineError(
            f"The file '{text}' may not be read by this user. Change its permissions or copy it to a folder of yours."
        ) from error
    except OSError as error:
        raise _machine_error(local, error) from error
    except ValueError as error:
        if isinstance(error, BadInputError):
            raise
        raise BadInputError(f"Expected a file name, found {text!r}. Check the name.") from error
    if not head:
        raise BadInputError(
            f"Expected a video, but '{local.name}' is empty (0 bytes). "
            "Wait until it is fully copied or copy it from the camera again."
        )
    return local.absolute()


def _machine_error(path: Path, error: OSError) -> MachineError:
    reason = error.strerror or str(error)
    return MachineError(f"Reading '{path.name}' failed: {reason}. Check the disk or card it lies on and try again.")


def cut_short(path: Path, detail: str) -> BadInputError:
    """Return the error for a file whose end is missing."""
    return BadInputError(
        f"Expected a whole video, but '{path.name}' is cut short ({detail}). "
        "Copy it again from the camera and wait until the copy is complete."
    )


def damaged(path: Path, detail: str) -> BadInputError:
    """Return the error for a file that opens but does not decode."""
    return BadInputError(
        f"Expected a whole video, but '{path.name}' is damaged ({detail}). Copy it again from the camera."
    )


def no_times(path: Path) -> BadInputError:
    """Return the error for a recording whose frames cannot be told by their times."""
    return BadInputError(
        f"Expected a recording whose frames carry their times, but those of '{path.name}' do not (it is an AVI). Store "
        "it as MP4, with any tool that copies without encoding again, and add that file."
    )


def _begins_like_a_video(path: Path) -> bool:
    with path.open("rb") as file:
        head = file.read(12)
    is_mp4 = head[4:8] in {b"ftyp", b"mdat", b"moov", b"wide", b"free", b"skip"}
    is_avi = head[:4] == b"RIFF" and head[8:12] == b"AVI "
    return is_mp4 or is_avi or head[:4] == b"\x1aE\xdf\xa3"  # the last is Matroska


@contextmanager
def open_container(path: Path) -> Iterator[InputContainer]:
    """Open a file that passed ``check_local_file``; FFmpeg's errors inside the block become ours.

    Raises
    ------
    BadInputError
        The file is no video of a known container, or is damaged.
    MachineError
        The disk or a permission failed.
    """
    # the prefix keeps a file called "concat:a.mp4" from being read as a protocol
    options = {"protocol_whitelist": "file", "format_whitelist": CONTAINERS}
    try:
        container = av.open(f"file:{path}", options=options, metadata_errors="replace")
    except av.FFmpegError as error:
        raise _opening_error(path, error) from error
    with container:
        if not set(container.format.name.split(",")) <= set(CONTAINERS.split(",")):
            raise _not_a_video(path)
        try:
            yield container
        except av.FFmpegError as error:
            if isinstance(error, OSError) and error.errno in _MACHINE_ERRNOS:
                raise _machine_error(path, error) from error
            raise damaged(path, error.strerror or "it does not decode") from error


def _not_a_video(path: Path) -> BadInputError:
    return BadInputError(
        f"Expected a video ({_KNOWN}), but the content of '{path.name}' is something else. "
        "Give the clip as the camera saved it, or export it as MP4."
    )


def _opening_error(path: Path, error: av.FFmpegError) -> BadInputError | MachineError:
    if isinstance(error, OSError) and error.errno in _MACHINE_ERRNOS:
        return _machine_error(path, error)
    if isinstance(error, av.error.InvalidDataError) and _begins_like_a_video(path):
        return cut_short(path, "the table of its frames is missing")
    return _not_a_video(path)


def find_video_stream(container: InputContainer, path: Path) -> VideoStream:
    """Return the stream that holds the moving picture, set to decode on all cores.

    Raises
    ------
    BadInputError
        There is no moving picture, or no decoder for it.
    """
    cover = av.stream.Disposition.attached_pic | av.stream.Disposition.timed_thumbnails
    streams = [s for s in container.streams.video if not s.disposition & cover]
    if not streams:
        what = "sound only" if container.streams.audio else "no picture"
        raise BadInputError(f"Expected a video, but '{path.name}' holds {what}. Give the clip that shows the swing.")
    stream = next((s for s in streams if s.disposition & av.stream.Disposition.default), streams[0])
    if stream.codec_context is None:
        raise BadInputError(
            f"The video in '{path.name}' is stored in a form this tool cannot decode. Export it as H.264 (MP4)."
        )
    stream.thread_type = "AUTO"
    if stream.codec_context.name == "h264":
        # without it, a stream that does not state its reordering depth may lose frames at the start
        stream.codec_context.options = {"strict": "1"}
    return stream
