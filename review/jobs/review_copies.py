"""Review copies of a lesson's clips: made when there is time, opened when a clip is looked at."""

from review.lesson import Clip
from review.library import Library
from review.media import CopyMap, DamagedCopyError, FrameSource, ReviewCopy, probe_video, write_review_copy
from review.media.review_copy import FORMAT, expected_bytes
from review.progress import Progress, silent

_KIND = "review_copy"
_SUFFIX = ".mp4"


def open_frames(library: Library, clip: Clip) -> FrameSource:
    """Open a clip for looking at: its review copy where a sound one is kept, else the original.

    The source may be used, from one thread, after the library is closed.

    Raises
    ------
    BadInputError, MachineError
        The original cannot be read.
    """
    footage = library.footage_of(clip)
    copy = _load(library, clip)
    if copy is not None:
        try:
            return FrameSource(footage, copy)
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
    copy_map = library.write_derived(
        library.derived_file(_KIND, _key(clip), _SUFFIX),
        lambda aside: write_review_copy(footage, aside, progress),
        clip.content,
        need_bytes=expected_bytes(probe_video(footage)),
    )
    library.save_arrays(_KIND, _key(clip), copy_map.as_arrays(), clip_content=clip.content)


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
