"""What is said of a lesson that was measured, beside its numbers."""

from collections import Counter
from collections.abc import Sequence

from review.jobs.measuring.one_swing import MeasuredClip
from review.lesson import Clip
from review.lesson.words import count


def gather_notes(measured: Sequence[tuple[Clip, MeasuredClip]]) -> list[str]:
    """Each note once, with the camera it is about, and the clips where it does not hold for all of them."""
    n_clips = Counter(clip.camera for clip, _ in measured)
    about: dict[tuple[str, str], list[str]] = {}
    for clip, result in measured:
        for note in result.notes:
            about.setdefault((clip.camera, note), []).append(clip.original_name)
    notes = []
    for (camera, note), names in about.items():
        which = "" if len(names) == n_clips[camera] else f", {names[0]}"
        more = f" and {len(names) - 1} more" if which and len(names) > 1 else ""
        notes.append(f"Camera {camera}{which}{more}: {note}")
    return notes


def say_mixed(n_quick: int, n_swings: int) -> str:
    """Say that swings measured quickly stand beside others measured thoroughly: two models err in two ways."""
    return (
        f"{count(n_quick, 'swing')} of {n_swings} measured quickly, the others thoroughly: changes between them are "
        "told less surely. Measure all of them thoroughly, without --quick."
    )
