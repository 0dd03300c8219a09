"""Copies a part out of a long file, packet by packet: nothing is encoded again and all times stay."""

from pathlib import Path

import av
import numpy as np
from av.container import OutputContainer

from review.errors import BadInputError, MachineError
from review.lesson import FloatArray
from review.media.containers import damaged, find_video_stream, no_times, open_container
from review.media.decoding import places_to_begin
from review.media.footage import Footage
from review.media.frames import read_frames
from review.media.index import FrameIndex, read_index
from review.media.probing import info_of

_SOUND_MARGIN_S = 0.3
_SLACK_S = 1e-3
"""Times of a copy may be rounded to the millisecond by its container."""


def copy_part(footage: Footage, target: Path) -> str:
    """Write the part of a file as a file of its own; return the ending that its container usually has.

    Parameters
    ----------
    footage
        The part. The copy begins at the keyframe before it, since nothing can be decoded without that one, and shows
        every frame at the presentation time it has in the whole file: ``footage`` read from the copy is the same.
    target
        Where to write, whatever its ending. Removed when copying fails.

    Raises
    ------
    BadInputError
        The file cannot be read, or is an AVI, whose frames carry no times of their own.
    MachineError
        The disk is full or may not be written.
    """
    index = read_index(footage.path)
    if index.is_ordinal:
        raise no_times(index.path)
    is_matroska = index.path.suffix.lower() in {".mkv", ".webm"}
    wanted = info_of(index, footage)
    try:
        for place in places_to_begin(index, wanted.first_frame):
            # a movie's own clock ticks in milliseconds by default, too coarse for where the part begins
            options = {} if is_matroska else {"movie_timescale": str(index.time_base.denominator)}
            kind = "matroska" if is_matroska else "mov"
            with av.open(f"file:{target}", "w", format=kind, options=options) as out:
                _copy_packets(index, footage, place, out)
            if _shows(target, footage, wanted.time_s):
                return ".mkv" if is_matroska else ".mov"
        raise damaged(index.path, f"its part from {footage.begin_s:.1f} s on does not copy")
    except BaseException as error:
        target.unlink(missing_ok=True)
        if isinstance(error, av.FFmpegError):
            raise _not_written(index.path, error) from error
        raise


def _not_written(path: Path, error: av.FFmpegError) -> MachineError:
    reason = error.strerror or str(error)
    return MachineError(f"A part of '{path.name}' could not be written: {reason}. Make room or check the disk.")


def _copy_packets(index: FrameIndex, footage: Footage, place: int | None, out: OutputContainer) -> None:
    """Copy picture and sound from a keyframe stamp (None = the beginning) to the end of the part."""
    with open_container(index.path) as source:
        video = find_video_stream(source, index.path)
        sound = next((s for s in source.streams.audio if s.codec_context is not None), None)
        streams = [s for s in (video, sound) if s is not None]
        targets = {s.index: out.add_stream_from_template(s) for s in streams}
        begin_s = 0.0 if place is None else float(place * index.time_base)
        if place is not None:
            source.seek(place, stream=video)
        has_begun = False
        for packet in source.demux(streams):
            if not packet.size or packet.pts is None or packet.dts is None:
                continue
            at_s = float(packet.dts * packet.time_base)
            past_s = -1.0 if footage.end_s is None else at_s - footage.end_s
            if past_s >= _SOUND_MARGIN_S:
                break  # sound may lie a little behind its pictures in the file
            is_picture = packet.stream_index == video.index
            has_begun = has_begun or (is_picture and packet.is_keyframe)
            if past_s >= 0 or (is_picture and not has_begun) or at_s < begin_s - _SOUND_MARGIN_S:
                continue
            packet.stream = targets[packet.stream_index]
            try:
                out.mux(packet)
            except av.FFmpegError as error:  # else told as a fault of the recording
                raise _not_written(index.path, error) from error


def _shows(target: Path, footage: Footage, time_s: FloatArray) -> bool:
    """Whether the copy's first picture of the part decodes and all have the times they had."""
    try:
        copy = Footage(target, footage.begin_s, footage.end_s)
        info = info_of(read_index(target), copy)
        next(read_frames(info, 0, 1))
    except BadInputError:
        return False
    return len(info.time_s) == len(time_s) and bool(np.all(np.abs(info.time_s - time_s) < _SLACK_S))
