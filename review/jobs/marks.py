"""The coach's marks on a clip: key frames put right, and instants of the coach's own."""

from dataclasses import replace
from pathlib import Path

from review.errors import BadInputError
from review.jobs.pressure.measuring import keep_pressure
from review.lesson import KeyFrame
from review.library import Library


def set_mark(folder: Path, lesson_id: str, clip_id: str, name: str, mark: KeyFrame | None) -> KeyFrame | None:
    """Put a mark in the place of the clip's key frame of that name; None takes the coach's mark away.

    ``mark`` may be one that was found: it comes back in the place of the coach's. A found one that a coach's mark has
    replaced comes back too when the swing is measured again.

    Returns
    -------
    KeyFrame | None
        The key frame of that name that stood there before.

    Raises
    ------
    BadInputError
        There is no such clip any longer, or it has no coach's mark to take away; nothing is changed.
    """
    with Library.open(folder, create=False) as library, library.transaction():
        there = _read(library, lesson_id, clip_id)
        if mark is None:
            _find_own(there, name)
        if mark is not None and mark.source == "coach":
            library.set_key_frames(clip_id, [*(key for key in there if key.source != "coach"), mark])
        else:
            library.remove_mark(clip_id, name)
            found = [key for key in there if key.source != "coach" and key.name != name]
            library.set_key_frames(clip_id, found if mark is None else [*found, mark])
        hangs_on = {s.id for s in library.swings(lesson_id) if s.trace and any(c.id == clip_id for c in s.clips)}
        if hangs_on:
            keep_pressure(library, library.lesson(lesson_id), hangs_on)
    return next((key for key in there if key.name == name), None)


def set_note(folder: Path, lesson_id: str, clip_id: str, name: str, note: str) -> None:
    """Put a note on the coach's mark of that name; '' takes it off.

    Raises
    ------
    BadInputError
        There is no such clip any longer, or it has no coach's mark of that name; nothing is changed.
    """
    with Library.open(folder, create=False) as library, library.transaction():
        there = _read(library, lesson_id, clip_id)
        own = _find_own(there, name)
        found = [key for key in there if key.source != "coach"]
        library.set_key_frames(clip_id, [*found, replace(own, note=note)])


def _read(library: Library, lesson_id: str, clip_id: str) -> tuple[KeyFrame, ...]:
    if clip_id not in {clip.id for clip in library.clips(lesson_id)}:
        raise BadInputError("That clip is no longer in this lesson; open the lesson again. Nothing was changed.")
    return library.key_frames(clip_id)


def _find_own(there: tuple[KeyFrame, ...], name: str) -> KeyFrame:
    for key in there:
        if key.name == name and key.source == "coach":
            return key
    raise BadInputError(f"There is no mark of yours named {name} on this clip. Nothing was changed.")


def choose_nearest(keys: tuple[KeyFrame, ...], frame: int, is_own: bool = False) -> KeyFrame | None:
    """Choose the key frame nearest to a frame, of the coach's marks alone if ``is_own``; None where there is none."""
    known = [key for key in keys if not is_own or key.source == "coach"]
    return min(known, key=lambda key: abs(key.frame - frame), default=None)
