"""Where the clips of a recording are kept: in the whole recording, or each as a copy of its part."""

from collections.abc import Sequence
from dataclasses import dataclass, field, replace

from review.jobs.pairing.clip_reading import ReadClip
from review.jobs.recordings.cutting import Expanded
from review.lesson import Clip
from review.library import Library
from review.media import Footage
from review.progress import Progress


@dataclass
class Keeping:
    """How the recordings of a plan are kept; their files are stored, no clip names them yet.

    ``places`` holds sha256 and file of new clips by their place in ``Expanded.clips``; ``moved`` clips that the library
    knows, by id, with the file in which they lie from now on; ``left`` the files which those lay in before.
    """

    places: dict[int, tuple[str, str]] = field(default_factory=dict)
    moved: dict[str, Clip] = field(default_factory=dict)
    left: set[str] = field(default_factory=set)
    notes: list[str] = field(default_factory=list)


def store_recordings(
    library: Library, lesson_id: str, pupil_id: str, expanded: Expanded, wish: bool | None, progress: Progress
) -> Keeping:
    """Store of each recording either all of it or copies of its swings, and bring clips known before to the same.

    A recording is kept whole only when the coach says that it shows this pupil alone (``wish``) and no other pupil's
    lesson has swings of it; without a word it stays as this lesson has it. Nothing is encoded again.

    Raises
    ------
    BadInputError
        When a recording cannot be cut.
    MachineError
        When the disk is full or may not be written.
    """
    keeping = Keeping()
    for recording in expanded.recordings:
        is_whole, note = _decide(library, lesson_id, pupil_id, recording, wish)
        keeping.notes += [note] if note else []
        new = {i: c for i, c in enumerate(expanded.clips) if c.recording == recording.recording}
        old = [
            clip
            for _, clip in library.clips_of_recording(recording.recording)
            if (clip.sha256 == clip.recording) is not is_whole
        ]
        whole = library.store_clip_file(recording.path, progress) if is_whole and (new or old) else None
        done, total = 0, len(new) + len(old)
        for i, read in new.items():
            part = Footage(recording.path, read.begin_s, read.end_s)
            keeping.places[i] = whole or library.store_clip_part(part)
            progress(done := done + 1, total)
        for clip in old:
            part = Footage(recording.path, clip.begin_s, clip.end_s)
            sha256, file = whole or library.store_clip_part(part)
            keeping.moved[clip.id] = replace(clip, sha256=sha256, file=file)
            keeping.left.add(clip.file)
            progress(done := done + 1, total)
    return keeping


def cut_recordings(library: Library, clips: Sequence[Clip]) -> None:
    """Turn the recordings of these clips that are kept whole into copies of their swings: one pupil's they are no more.

    Raises
    ------
    BadInputError, MachineError
        As for ``store_recordings``; the recording is then kept as it was.
    """
    for recording in {clip.recording for clip in clips if clip.recording and clip.sha256 == clip.recording}:
        whole = [clip for _, clip in library.clips_of_recording(recording) if clip.sha256 == recording]
        places = [library.store_clip_part(library.footage_of(clip)) for clip in whole]
        with library.transaction():
            for clip, (sha256, file) in zip(whole, places, strict=True):
                library.update_clip(replace(clip, sha256=sha256, file=file))
        for file in {clip.file for clip in whole}:
            library.drop_unused_file(file)


def _decide(
    library: Library, lesson_id: str, pupil_id: str, recording: ReadClip, wish: bool | None
) -> tuple[bool, str]:
    """Whether a recording is kept whole, and what to say of it."""
    name = recording.path.name
    known = library.clips_of_recording(recording.recording)
    if {library.lesson(other).pupil_id for other, _ in known} - {pupil_id}:
        why = f"{name} is in another pupil's lesson too, so it is not kept whole: of every pupil only the swings are."
        return False, why
    was_whole = any(clip.sha256 == clip.recording for other, clip in known if other == lesson_id)
    if wish or (wish is None and was_whole):
        return True, f"{name} is kept whole, since it shows nobody else. With --no-keep-recording only its swings are."
    hint = "" if wish is False else " If it shows nobody else, add it again with --keep-recording to keep it whole."
    return False, f"Of {name} only the swings are kept, copied as they are and not encoded again.{hint}"
