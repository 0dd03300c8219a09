"""Two swings of a lesson to be seen side by side: which, and what is shown of each."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from review.compare import choose_typical
from review.errors import BadInputError
from review.jobs.comparing import LessonComparison, compare_lesson
from review.jobs.records import allows_now
from review.jobs.showing.swing import ClipShown, show_clip
from review.lesson import Batch, Drawing, Handedness, Lesson, Measure, Pupil, Purpose, Swing, View
from review.library import Library
from review.progress import Progress, silent
from review.shots.plausibility import find_doubts


@dataclass(frozen=True, eq=False)
class SideShown:
    """One swing of a pair: its batch (None = in none), its clips, the face-on one first, and what is drawn on them."""

    swing: Swing
    batch: Batch | None
    clips: tuple[ClipShown, ...]
    drawings: dict[str, tuple[Drawing, ...]] = field(default_factory=dict)


@dataclass(frozen=True, eq=False)
class PairShown:
    """Two swings, ``first`` on the left.

    ``compared`` are the numbers of their two batches, None where these are the lesson's first and last batch with
    swings, or not two batches.
    """

    pupil: Pupil
    lesson: Lesson
    first: SideShown
    last: SideShown
    compared: LessonComparison | None = None

    @property
    def sides(self) -> tuple[SideShown, SideShown]:
        """Left and right."""
        return self.first, self.last


def show_pair(
    folder: Path, lesson_id: str, first_id: str = "", last_id: str = "", progress: Progress = silent
) -> PairShown:
    """Read two swings of a lesson; without ids those of ``choose_swings``.

    Raises
    ------
    BadInputError
        No swing of the lesson has a clip, or a swing that was asked for has none.
    """
    with Library.open(folder, create=False) as library:
        lesson, swings = library.lesson(lesson_id), library.swings(lesson_id)
        pupil = library.pupil(lesson.pupil_id)
        if not (first_id and last_id):
            doubted = _find_doubted(swings, pupil.handedness)
            chosen = choose_swings(lesson, swings, library.measures(lesson_id), doubted)
            first_id, last_id = first_id or chosen[0].id, last_id or chosen[1].id
        progress(1, 3)
        by_id = {swing.id: swing for swing in swings if swing.clips}
        if first_id not in by_id or last_id not in by_id:
            raise BadInputError("That swing has no clip any longer. Choose another, or open the lesson again.")
        may_measure = allows_now(pupil, Purpose.MEASURE, lesson.held_on)
        sides = [_show_side(library, lesson, by_id[id], pupil, may_measure) for id in (first_id, last_id)]
        compared = _compare_others(library, lesson, swings, sides[0].batch, sides[1].batch)
        progress(3, 3)
        return PairShown(pupil, lesson, sides[0], sides[1], compared)


def _compare_others(
    library: Library, lesson: Lesson, swings: Sequence[Swing], first: Batch | None, last: Batch | None
) -> LessonComparison | None:
    """Compare the batches of two swings where they are not those that are compared anyway."""
    filled = [batch.id for batch in lesson.batches if any(swing.batch_id == batch.id for swing in swings)]
    if first is None or last is None or first.id == last.id or {first.id, last.id} == {filled[0], filled[-1]}:
        return None
    return compare_lesson(library, lesson, first.number, last.number)


@dataclass(frozen=True, eq=False)
class ForPupil:
    """What a pupil may see of a lesson: two swings (None where there are no clips).

    ``may_measure`` says whether the consent covers numbers of the body today; ``hidden_names`` are those of the
    library's other pupils.
    """

    pair: PairShown | None
    may_measure: bool
    hidden_names: tuple[str, ...]


def show_to_pupil(
    folder: Path, lesson_id: str, first_id: str = "", last_id: str = "", progress: Progress = silent
) -> ForPupil:
    """Read what the pupil of a lesson may see; swings as in ``show_pair``."""
    with Library.open(folder, create=False) as library:
        lesson = library.lesson(lesson_id)
        pupil = library.pupil(lesson.pupil_id)
        may_measure = allows_now(pupil, Purpose.MEASURE, lesson.held_on)
        others = tuple(other.name for other in library.pupils() if other.id != pupil.id)
    try:
        pair = show_pair(folder, lesson_id, first_id, last_id, progress)
    except BadInputError:  # no clips: the numbers are shown without
        pair = None
    return ForPupil(pair, may_measure, others)


def choose_swings(
    lesson: Lesson,
    swings: Sequence[Swing],
    body: Mapping[str, Sequence[Measure]],
    doubted: frozenset[str] = frozenset(),
) -> tuple[Swing, Swing]:
    """Choose the most typical swing of the first and of the last closed batch that has clips.

    One whose row the device may have misread (``doubted``, by id) is taken only where no other of its batch was filmed.

    While there are not two such batches an open one serves; of a single batch the typical swing stands beside the
    latest that was filmed.

    Raises
    ------
    BadInputError
        No swing of the lesson has a clip.
    """
    typical = {}
    for batch in lesson.batches:
        own = [swing for swing in swings if swing.batch_id == batch.id]
        sound = [swing for swing in own if swing.id not in doubted]
        found = choose_typical(sound, body, lesson) or choose_typical(own, body, lesson)
        if found is not None:
            typical[batch.number] = found
    closed = [typical[b.number] for b in lesson.batches if b.is_closed and b.number in typical]
    chosen = closed if len(closed) > 1 else list(typical.values())
    if len(chosen) > 1:
        return chosen[0], chosen[-1]
    filmed = [swing for swing in swings if swing.clips]
    if not filmed:
        raise BadInputError("No swing of this lesson has a clip yet, so there is nothing to put side by side.")
    return (chosen or filmed)[0], filmed[-1]


def _find_doubted(swings: Sequence[Swing], handedness: Handedness) -> frozenset[str]:
    swing_of = {swing.shot.id: swing.id for swing in swings if swing.shot is not None}
    shots = [swing.shot for swing in swings if swing.shot is not None]
    doubts = find_doubts(shots, handedness, is_carry_checked=False)  # flying them all takes too long here
    return frozenset(swing_of[doubt.shot_id] for doubt in doubts)


def list_views(first: SideShown, last: SideShown) -> tuple[tuple[int, int], ...]:
    """The clips to show beside each other, by number, same side of the player first; any two where none is shared."""
    shared = tuple(
        (i, j)
        for i, one in enumerate(first.clips)
        for j, other in enumerate(last.clips)
        if _side_of(one) == _side_of(other)
    )
    return shared or tuple((i, j) for i in range(len(first.clips)) for j in range(len(last.clips)))


def are_from_same_side(one: ClipShown, other: ClipShown) -> bool:
    """Whether two clips were filmed from the same side of the player, as far as that is known."""
    return _side_of(one) == _side_of(other)


def _side_of(clip: ClipShown) -> str:
    return clip.clip.camera if clip.view is None else clip.view.value


def _show_side(library: Library, lesson: Lesson, swing: Swing, pupil: Pupil, may_measure: bool) -> SideShown:
    clips = [show_clip(library, clip, pupil, may_measure) for clip in swing.clips]
    return SideShown(
        swing,
        next((batch for batch in lesson.batches if batch.id == swing.batch_id), None),
        tuple(sorted(clips, key=lambda one: one.view is View.DOWN_THE_LINE)),
        {clip.id: library.drawings(clip.id) for clip in swing.clips},
    )
