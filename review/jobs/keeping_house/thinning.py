"""Lets old clips go by the coach's rule: chosen swings stay for good, and all numbers."""

from collections.abc import Collection, Mapping
from dataclasses import dataclass, field
from datetime import date, timedelta

from review.errors import BadInputError
from review.lesson import Lesson
from review.library import Library, OldClip
from review.progress import Progress, silent

MOST_WEEKS = 520


@dataclass(frozen=True)
class Thinning:
    """What would go, or went, the oldest first, and how much room that makes; ``weeks`` None = no rule is set.

    Clips of lessons held before ``before`` are old; ``staying`` counts those of them that stay for good, by why.
    """

    weeks: int | None
    before: date
    clips: tuple[OldClip, ...] = ()
    size_bytes: int = 0
    staying: Mapping[str, int] = field(default_factory=dict)

    @property
    def n_swings(self) -> int:
        """Swings whose clips go; one seen by two cameras counts once a camera."""
        return sum(clip.n_swings for clip in self.clips)


def set_rule(library: Library, weeks: int | None) -> None:
    """Set after how many weeks clips of swings that are not chosen may go; None = never. Nothing goes by that.

    Raises
    ------
    BadInputError
        When it is not from 1 to ``MOST_WEEKS``.
    """
    if weeks is not None and not 1 <= weeks <= MOST_WEEKS:
        raise BadInputError(f"Give from 1 to {MOST_WEEKS} weeks, got {weeks}. Nothing was changed.")
    library.set_weeks_kept(weeks)


def choose_swings(library: Library, lesson: Lesson, orders: Collection[int], is_kept: bool = True) -> None:
    """Keep the clips of a lesson's swings for good, or no longer.

    Parameters
    ----------
    orders : the swings' numbers in the lesson.

    Raises
    ------
    BadInputError
        When the lesson has no such swing.
    """
    ids = {swing.order: swing.id for swing in library.swings(lesson.id)}
    unknown = sorted(set(orders) - set(ids))
    if unknown:
        raise BadInputError(f"There is no swing {unknown[0]} in this lesson; it has {len(ids)}. Nothing was changed.")
    change = library.keep_swings if is_kept else library.unkeep_swings
    change([ids[order] for order in orders])


def list_chosen(library: Library, lesson: Lesson) -> tuple[int, ...]:
    """The numbers of a lesson's swings that the coach chose to keep for good."""
    chosen = library.kept_swings(lesson.id)
    return tuple(sorted(swing.order for swing in library.swings(lesson.id) if swing.id in chosen))


def look_before_thinning(library: Library, today: date | None = None) -> Thinning:
    """What would go by the rule: nothing that was chosen, drawn on, marked, talked over or is in a take-home."""
    weeks = library.weeks_kept
    today = today or date.today()
    if weeks is None:
        return Thinning(None, today)
    before = today - timedelta(weeks=weeks)
    clips = library.old_clips(before)
    size_bytes = sum(_size(library, clip) for clip in clips)
    return Thinning(weeks, before, clips, size_bytes, library.old_clips_kept(before))


def thin(library: Library, progress: Progress = silent, today: date | None = None) -> Thinning:
    """Let go of what the rule says, the oldest first; stopped, what is left goes the next time.

    Raises
    ------
    MachineError
        When another program holds a clip; those before it are gone.
    Cancelled
        By ``progress``, between two clips.
    """
    today = today or date.today()
    planned = look_before_thinning(library, today)
    gone: list[OldClip] = []
    size_bytes = 0
    for n, clip in enumerate(planned.clips):
        progress(n, len(planned.clips))
        size = _size(library, clip)
        if library.let_go(clip, planned.before, today):
            gone.append(clip)
            size_bytes += size
    return Thinning(planned.weeks, planned.before, tuple(gone), size_bytes)


def _size(library: Library, clip: OldClip) -> int:
    try:
        return (library.folder / clip.file).stat().st_size
    except OSError:
        return 0
