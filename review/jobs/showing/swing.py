"""One swing for a window: its clips with what was found in them, what the body did over time, its pressure trace."""

import os
from collections.abc import Iterator, Sequence
from concurrent.futures import Future
from contextlib import contextmanager
from dataclasses import dataclass
from functools import partial
from pathlib import Path

import numpy as np

from review.body import SeenSwing, as_right_hander, assume_direction, measure_body
from review.body.series import Series
from review.errors import BadInputError
from review.jobs.measuring.kept_landmarks import load_landmarks
from review.jobs.measuring.kept_setups import load_setups
from review.jobs.measuring.one_swing import place_swing
from review.jobs.pressure.impact_in_trace import place_impact
from review.jobs.pressure.measuring import find_mat_under, see_bodies
from review.jobs.pressure.trail_foot import pick_foot
from review.jobs.processes import run_apart
from review.jobs.records import allows_now
from review.jobs.review_copies import drop_copy, has_copy, make_copy, open_frames
from review.jobs.showing.beside_swing import PressureShown, show_pressure
from review.lesson import Clip, Drawing, FloatArray, KeyFrame, KeyFrameName, Pupil, Purpose, Swing, View
from review.library import Library
from review.media import FrameSource
from review.pose import LandmarkTrack
from review.progress import Progress, silent

CURVES = ("hip_turn_deg", "shoulder_turn_deg", "trail_heel_lift_cm", "hip_shift_cm")
"""What is shown over time, in this order."""
_NICE = 5
"""Copies leave the machine to what the coach is looking at."""


@dataclass(frozen=True, eq=False)
class ClipShown:
    """A clip with key frames, drawings and, where measured, its landmarks on every frame in the clip's own pixels."""

    clip: Clip
    view: View | None
    key_frames: tuple[KeyFrame, ...]
    track: LandmarkTrack | None
    drawings: tuple[Drawing, ...] = ()

    def time_of(self, name: str) -> float | None:
        """Presentation time of a key frame."""
        return next((key.time_s for key in self.key_frames if key.name == name), None)

    @property
    def impact_s(self) -> float | None:
        """Presentation time of impact, or of the strike heard where the clip was not measured; None = not known."""
        found = self.time_of(KeyFrameName.IMPACT)
        return self.clip.strike_s if found is None else found


@dataclass(frozen=True, eq=False)
class SwingShown:
    """A swing with its clips, the face-on one first.

    ``curves`` are measures over the frames of clip number ``measured`` of ``clips``, by name; where there are none
    ``why_no_curves`` says why. ``batch_number`` is None where the swing is in no batch.
    """

    pupil: Pupil
    swing: Swing
    batch_number: int | None
    clips: tuple[ClipShown, ...]
    measured: int
    curves: dict[str, Series]
    why_no_curves: str = ""
    pressure: PressureShown | None = None

    def curve_moments(self) -> FloatArray:
        """(n_frames,) true seconds after impact of the frames that the curves are over; empty without curves."""
        first = next(iter(self.curves.values()), None)
        if first is None:
            return np.zeros(0)
        one = self.clips[self.measured]
        return (first.time_s - (one.impact_s or 0.0)) * one.clip.time_scale

    def curve_time(self, moment_s: float) -> float:
        """Presentation time, in the clip that the curves are over, of a moment in true seconds after impact."""
        one = self.clips[self.measured]
        return moment_s / one.clip.time_scale + (one.impact_s or 0.0)


def show_swing(folder: Path, lesson_id: str, swing_id: str, progress: Progress = silent) -> SwingShown:
    """Read a swing from a library.

    Raises
    ------
    BadInputError
        There is no such swing any longer.
    """
    with Library.open(folder, create=False) as library:
        lesson = library.lesson(lesson_id)
        pupil = library.pupil(lesson.pupil_id)
        swing = next((one for one in library.swings(lesson_id) if one.id == swing_id), None)
        if swing is None:
            raise BadInputError("That swing is no longer in the lesson. Open the lesson again.")
        number = next((batch.number for batch in lesson.batches if batch.id == swing.batch_id), None)
        may_measure = allows_now(pupil, Purpose.MEASURE, lesson.held_on)
        shown = [show_clip(library, clip, pupil, may_measure) for clip in swing.clips]
        clips = tuple(sorted(shown, key=lambda one: one.view is View.DOWN_THE_LINE))
        progress(1, 2)
        try:
            measured, curves = _measure(library, lesson_id, pupil, clips)
            why = ""
        except BadInputError as error:
            measured, curves, why = 0, {}, str(error)
        if not may_measure:
            why = f"{pupil.name} has not agreed to be measured on video."
        progress(2, 2)
        pressure = None
        if swing.trace is not None:
            foot = pick_foot(library.measures(lesson_id).get(swing.id, ()))
            bodies = see_bodies(library, lesson, [(c.clip, c.impact_s) for c in clips if c.impact_s is not None])
            placed = place_impact(swing.trace, swing.shot, _downswing_s(clips), bodies)
            mat = find_mat_under(library, lesson, swing)
            address_s, phases_s = _address_s(clips), _moments_s(clips)
            pressure = show_pressure(
                swing.trace, placed, address_s, mat, pupil.handedness, pupil.stature_m, phases_s, foot
            )
        return SwingShown(pupil, swing, number, clips, measured, curves, why, pressure)


def _moments_s(clips: Sequence[ClipShown]) -> tuple[float, float] | None:
    """Top and impact, true seconds after impact."""
    downswing_s = _downswing_s(clips)
    return None if downswing_s is None else (-downswing_s, 0.0)


def _address_s(clips: Sequence[ClipShown]) -> float | None:
    """Address in true seconds after impact, of the first clip with impact, as the numbers have it."""
    one = next((one for one in clips if one.time_of(KeyFrameName.IMPACT) is not None), None)
    at_s = None if one is None else one.time_of(KeyFrameName.ADDRESS)
    return None if one is None or at_s is None else (at_s - (one.impact_s or 0.0)) * one.clip.time_scale


def _downswing_s(clips: Sequence[ClipShown]) -> float | None:
    for one in clips:
        top_s, impact_s = one.time_of(KeyFrameName.TOP), one.time_of(KeyFrameName.IMPACT)
        if top_s is not None and impact_s is not None:
            return (impact_s - top_s) * one.clip.time_scale
    return None


def show_clip(library: Library, clip: Clip, pupil: Pupil, may_measure: bool) -> ClipShown:
    """Read a clip; without consent to measure its landmarks are left out."""
    kept = load_landmarks(library, clip, pupil.handedness) if may_measure else None
    track = None if kept is None else kept[0]
    return ClipShown(clip, clip.view, library.key_frames(clip.id), track, library.drawings(clip.id))


def _measure(
    library: Library, lesson_id: str, pupil: Pupil, clips: Sequence[ClipShown]
) -> tuple[int, dict[str, Series]]:
    """What the body did, from the landmarks, key frames and set-ups that are kept; and on which clip's frames."""
    setups = load_setups(library, lesson_id)
    seen: dict[int, SeenSwing] = {}
    for place, one in enumerate(clips):
        names = {key.name for key in one.key_frames}
        if one.track is None or one.view is None or not {KeyFrameName.ADDRESS, KeyFrameName.IMPACT} <= names:
            continue
        golfer = as_right_hander(one.track, pupil.handedness)
        unplaced = SeenSwing(golfer, one.view, one.key_frames, assume_direction(one.view), one.clip.time_scale)
        seen[place], *_ = place_swing(
            unplaced,
            setups.camera_of(one.clip, one.view),
            setups.players_of(one.clip, one.view),
            pupil.handedness,
            pupil.stature_m,
        )
    if not seen:
        raise BadInputError("This swing is not measured yet.")
    first_of_view = {one.view: place for place, one in reversed(list(seen.items()))}
    chosen = sorted(first_of_view.values())
    series = measure_body([seen[place] for place in chosen], pupil.stature_m).series
    return chosen[0], {name: series[name] for name in CURVES if name in series}


@contextmanager
def open_clip(folder: Path, clip: Clip) -> Iterator[FrameSource]:
    """Open a clip of a library for looking at, as ``open_frames``; a copy that proves damaged is thrown away after."""
    with Library.open(folder, create=False) as library:
        source = open_frames(library, clip)
    with source:
        yield source
    if source.is_copy_damaged:
        with Library.open(folder, create=False) as library:
            drop_copy(library, clip)


def copy_swing(folder: Path, clips: Sequence[Clip], progress: Progress = silent) -> dict[str, str]:
    """Make the review copies that a swing's clips lack; return why not, by clip id, for those that cannot be read.

    Each is made in a process of its own: in this one it would hold up a window.

    Raises
    ------
    MachineError
        The disk is full or may not be written.
    Cancelled
        By ``progress``; nothing half made stays.
    """
    with Library.open(folder, create=False) as library:
        lacking = {clip.id: clip for clip in clips if not has_copy(library, clip)}
    problems: dict[str, str] = {}

    def ended(clip_id: str, future: "Future[None]") -> None:
        try:
            future.result()
        except BadInputError as error:
            problems[clip_id] = str(error)

    if lacking:
        tasks = {clip_id: partial(_copy_apart, folder, clip) for clip_id, clip in lacking.items()}
        run_apart(tasks, {clip_id: max(1, clip.n_frames) for clip_id, clip in lacking.items()}, progress, ended)
    return problems


def _copy_apart(folder: Path, clip: Clip, progress: Progress) -> None:
    if hasattr(os, "nice"):
        os.nice(_NICE)
    with Library.open(folder, create=False) as library:
        make_copy(library, clip, progress)
