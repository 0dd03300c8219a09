"""Review copies of a lesson's clips: made when there is time, opened when a clip is looked at."""

import shutil
import time
from contextlib import suppress
from pathlib import Path

from review.errors import BadInputError, MachineError
from review.jobs.free_space import LOW_BYTES
from review.lesson import Clip
from review.library import Library
from review.media import CopyMap, DamagedCopyError, FrameSource, ReviewCopy, probe_video, write_review_copy
from review.media.review_copy import FORMAT, expected_bytes
from review.progress import Progress, silent

_KIND = "review_copy"
_SUFFIX = ".mp4"
_KEPT_S = 12 * 3600.0
"""A copy looked at within this time stays: its lesson goes on, or was today."""


def open_frames(library: Library, clip: Clip) -> FrameSource:
    """Open a clip for looking at: its review copy where a sound one is kept, else the original.

    The source may be used, from one thread, after the library is closed.

    Raises
    ------
    BadInputError, MachineError
        The original cannot be read.
    """
    footage = library.footage_of(clip)
    if not footage.path.exists() and (day := library.when_let_go(clip.id)) is not None:
        raise BadInputError(f"This clip was let go on {day} (lesson-review thin). Its numbers are still here.")
    copy = _load(library, clip)
    if copy is not None:
        try:
            source = FrameSource(footage, copy)
            with suppress(OSError):  # when it was last looked at, for thinning
                library.derived_file(_KIND, _key(clip), _SUFFIX).touch()
            return source
        except DamagedCopyError:
            drop_copy(library, clip)
    return FrameSource(footage)


def has_copy(library: Library, clip: Clip) -> bool:
    """Whether a sound review copy of a clip is kept; one that does not fit its map is thrown away."""
    copy = _load(library, clip)
    if copy is None:
        return False
    copy.close()
    return True


def make_copy(library: Library, clip: Clip, progress: Progress = silent) -> None:
    """Make the review copy of a clip and keep it, unless it is kept already.

    Raises
    ------
    BadInputError
        The clip cannot be read, or was forgotten meanwhile.
    MachineError
        The disk is full or may not be written.
    Cancelled
        By ``progress``; nothing half made stays.
    """
    if has_copy(library, clip):
        return
    footage = library.footage_of(clip)
    thin_copies(library, expected_bytes(probe_video(footage)))
    copy_map = library.write_derived(
        library.derived_file(_KIND, _key(clip), _SUFFIX),
        lambda aside: write_review_copy(footage, aside, progress),
        clip.content,
        need_bytes=expected_bytes(probe_video(footage)),
    )
    library.save_arrays(_KIND, _key(clip), copy_map.as_arrays(), clip_content=clip.content)


def thin_copies(library: Library, need_bytes: int = 0) -> int:
    """Remove the copies that were not looked at for longest, where the disk is nearly full; return how many went.

    They are made again when their swing is opened. Those looked at in the last twelve hours stay.

    Parameters
    ----------
    need_bytes : what is about to be written beside ``LOW_BYTES`` that are to stay free.
    """
    n_removed, before_s = 0, time.time() - _KEPT_S
    kept = sorted((library.folder / "derived" / _KIND).glob(f"*{_SUFFIX}"), key=_looked_at_s)
    for copy in kept:
        if shutil.disk_usage(library.folder).free >= need_bytes + LOW_BYTES or _looked_at_s(copy) > before_s:
            break
        with suppress(MachineError):  # open in another program: the next one
            for file in (copy, copy.with_suffix(".npz")):
                library.remove_derived(file)
            n_removed += 1
    return n_removed


def _looked_at_s(file: Path) -> float:
    try:
        return file.stat().st_mtime
    except OSError:
        return 0.0


def drop_copy(library: Library, clip: Clip) -> None:
    """Throw the review copy of a clip away; it can be made again.

    Raises
    ------
    MachineError
        Another program holds it.
    """
    for suffix in (_SUFFIX, ".npz"):
        library.remove_derived(library.derived_file(_KIND, _key(clip), suffix))


def _key(clip: Clip) -> str:
    return f"{clip.content} {FORMAT}"


def _load(library: Library, clip: Clip) -> ReviewCopy | None:
    kept = library.load_arrays(_KIND, _key(clip))
    if kept is None:
        return None
    try:
        return ReviewCopy(library.derived_file(_KIND, _key(clip), _SUFFIX), CopyMap.from_arrays(kept[0]))
    except ValueError:  # what is kept of it does not belong together
        drop_copy(library, clip)
        return None
