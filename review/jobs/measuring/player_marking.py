"""A player set-up made of held positions: clips to mark them on, reading them both ways, keeping what can be used."""

from collections.abc import Mapping, Sequence
from concurrent.futures import Future
from dataclasses import dataclass
from functools import partial
from pathlib import Path

from review.body import Hold
from review.errors import BadInputError
from review.jobs.measuring.accuracy import AccuracyCheck, check_accuracy
from review.jobs.measuring.kept_setups import check_whose
from review.jobs.measuring.player_files import LEAST_HOLDS, find_overlap, make_player_text, parse_player_setup
from review.jobs.processes import run_apart
from review.jobs.records import allows_now
from review.lesson import Clip, Handedness, Purpose
from review.library import Library
from review.media import Footage
from review.pose import Effort
from review.progress import Progress, silent

Kept = tuple[tuple[str, str, str], ...]
"""Pose model, name of the file and text of each player set-up kept for a camera."""
_WORK = {Effort.QUICK: 1, Effort.THOROUGH: 3}
"""How long the two ways take beside each other, roughly."""


@dataclass(frozen=True, eq=False)
class HoldsRead:
    """What was read of held positions, quickly and thoroughly, and for which camera or view it can be kept."""

    place: str
    name: str
    checks: Mapping[Effort, AccuracyCheck]

    @property
    def is_usable(self) -> bool:
        """Whether either way can be kept."""
        return any(check.is_usable for check in self.checks.values())


def list_clips(folder: Path, lesson_id: str, progress: Progress = silent) -> tuple[Clip, ...]:
    """The clips of a lesson, the longest first: held positions take a minute, a swing a few seconds."""
    with Library.open(folder, create=False) as library:
        clips = library.clips(lesson_id)
        progress(1, 1)
        return tuple(sorted(clips, key=lambda clip: -clip.duration_s))


def read_holds_apart(
    folder: Path, lesson_id: str, clip: Clip | Path, holds: Sequence[Hold], progress: Progress = silent
) -> HoldsRead:
    """Read held positions in both ways of measuring, each in a process of its own, as ``check-accuracy`` does.

    Parameters
    ----------
    clip : of the lesson, or a file that is not; then the camera's view is found and it is kept for that.
    holds : in any order; one of them the address.

    Raises
    ------
    BadInputError
        Too few holds or overlapping ones, no consent to measure, a clip that cannot be read or shows nobody, or
        another view than the clip's camera has.
    """
    ordered = sorted(holds, key=lambda hold: hold.from_s)
    if len(ordered) < LEAST_HOLDS:
        raise BadInputError(f"{len(ordered)} holds are marked; expected at least {LEAST_HOLDS}.")
    problem = find_overlap(ordered)
    if problem:
        raise BadInputError(f"{problem[:1].upper()}{problem[1:]}.")
    with Library.open(folder, create=False) as library:
        lesson = library.lesson(lesson_id)
        pupil = library.pupil(lesson.pupil_id)
        if not allows_now(pupil, Purpose.MEASURE, lesson.held_on):
            raise BadInputError(f"{pupil.name} has not agreed to be measured on video.")
        source: Path | Footage = clip if isinstance(clip, Path) else library.footage_of(clip)
    checks = _check_both(source, ordered, pupil.handedness, progress)
    setup = next(iter(checks.values())).setup
    if isinstance(clip, Path):
        return HoldsRead(setup.view.value, clip.name, checks)
    place = clip.camera or setup.view.value
    check_whose(setup, clip.original_name, pupil.name, pupil.handedness, place, clip.view)
    return HoldsRead(place, clip.original_name, checks)


def _check_both(
    source: Path | Footage, holds: Sequence[Hold], handedness: Handedness, progress: Progress
) -> dict[Effort, AccuracyCheck]:
    found: dict[Effort, AccuracyCheck] = {}

    def collect(key: str, future: "Future[AccuracyCheck]") -> None:
        found[Effort(key)] = future.result()

    tasks = {effort.value: partial(check_holds, source, holds, handedness, effort) for effort in Effort}
    run_apart(tasks, {effort.value: _WORK[effort] * 1000 for effort in Effort}, progress, collect)
    return {effort: found[effort] for effort in Effort}


def check_holds(
    source: Path | Footage, holds: Sequence[Hold], handedness: Handedness, effort: Effort, progress: Progress
) -> AccuracyCheck:
    """Read held positions in one way of measuring, from whichever view is found."""
    return check_accuracy(source, holds, handedness, None, effort, progress)


def keep_read(folder: Path, lesson_id: str, read: HoldsRead) -> Kept:
    """Keep what can be used of it with the lesson, as ``add --player`` does; return what was kept before."""
    new = {
        check.setup.model: (check.setup.model, f"{read.name}, {effort.value}", make_player_text(check.setup))
        for effort, check in read.checks.items()
        if check.is_usable
    }
    with Library.open(folder, create=False) as library:
        before = _kept(library, lesson_id, read.place)
    there = {model: (model, file, text) for model, file, text in before}
    put_player_setups(folder, lesson_id, read.place, tuple((there | new).values()))
    return before


def put_player_setups(folder: Path, lesson_id: str, place: str, kept: Kept) -> None:
    """Let these be the player set-ups kept for a camera or view, and none else."""
    with Library.open(folder, create=False) as library, library.transaction():
        library.lesson(lesson_id)
        library.remove_player_setups(lesson_id, place)
        for model, file, text in kept:
            library.set_player_setup(lesson_id, place, model, file, text)


def _kept(library: Library, lesson_id: str, place: str) -> Kept:
    return tuple(
        (parse_player_setup(text, file).model, file, text)
        for camera, file, text in library.player_setups(lesson_id)
        if camera == place
    )
