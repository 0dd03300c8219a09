"""Pressure numbers of a lesson's swings, kept in the library beside those of the body."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass, field, replace

import numpy as np

from review.jobs.measuring.kept_landmarks import load_landmarks
from review.jobs.pressure.doubts import find_doubt, leave_out_doubtful, say_no_swing
from review.jobs.pressure.feet import place_under_feet, see_all_feet
from review.jobs.pressure.impact_in_trace import BY_FORCE, BodyHeight, PlacedInTime, place_impact, see_body
from review.jobs.pressure.mats import Mat, load_mat
from review.jobs.records import allows_now
from review.lesson import Clip, FloatArray, KeyFrameName, Lesson, Measure, Purpose, Swing, Trace, View
from review.library import Library
from review.pressure import MatPlacement, PressurePath, lay_path, read_pressure

METHOD = "pressure 6"
NO_TRACE = "no pressure trace"
_STANDS_S = 0.5
_ADDRESS_S = -1.5
"""Where address is not marked: most swings last about a second to impact (from memory)."""
_ADDRESS_SD_CM = 2.0
"""How far the pressure at address is from midway between the feet: players have 42 to 51 % of it on the trail foot
(Robinson 1994, 30 players; 8 % of a stance of 44 cm are 3.5 cm, of which a good half is taken)."""
_KEY_SD_S = 0.01
"""Of top, arm level and impact against the truth of rendered swings (docs/swing.md)."""


@dataclass(frozen=True, eq=False)
class SwingPressure:
    """One swing's trace laid over it: key frames in true seconds after impact, the path, the numbers."""

    swing: Swing
    placed: PlacedInTime
    moments_s: dict[str, float]
    path: PressurePath
    measures: tuple[Measure, ...]


@dataclass(frozen=True, eq=False)
class LessonPressure:
    """All traces of a lesson that could be measured, in the lesson's order; why others could not, by swing order.

    With a ``doubt`` (``find_doubt``) the measures toward the target are missing.
    """

    mat: Mat | None
    swings: tuple[SwingPressure, ...] = ()
    problems: dict[int, str] = field(default_factory=dict)
    doubt: str = ""


def read_lesson_pressure(library: Library, lesson: Lesson, only: Collection[str] | None = None) -> LessonPressure:
    """Lay every trace of a lesson over its swing and read its numbers; ``only`` are ids of swings.

    A few swings do not tell whether the mat lies as its steps say: for them the doubt kept with the mat counts.
    """
    mat = load_mat(library, lesson.id)
    found: list[SwingPressure] = []
    problems: dict[int, str] = {}
    swings = library.swings(lesson.id)
    under = {} if mat is None else place_under_feet(mat.placement, see_all_feet(library, lesson, swings, only))
    for swing in swings:
        if only is not None and swing.id not in only:
            continue
        result = _read(library, lesson, swing, None if mat is None else replace(mat, placement=under[swing.id]))
        if isinstance(result, str):
            problems[swing.order] = result
        else:
            found.append(result)
    kept = "" if mat is None else mat.doubt
    doubt = kept if only is not None else find_doubt(mat, [(one.path, one.moments_s) for one in found])
    if doubt and mat is not None and mat.placement.has_angle:
        found = [replace(one, measures=leave_out_doubtful(one.measures)) for one in found]
    return LessonPressure(mat, tuple(found), problems, doubt)


def find_mat_under(library: Library, lesson: Lesson, swing: Swing) -> Mat | None:
    """The mat under one swing's own feet, None where none is known."""
    mat = load_mat(library, lesson.id)
    if mat is None:
        return None
    feet = see_all_feet(library, lesson, library.swings(lesson.id), {swing.id})
    return replace(mat, placement=place_under_feet(mat.placement, feet)[swing.id])


def keep_pressure(library: Library, lesson: Lesson, only: Collection[str] | None = None) -> LessonPressure:
    """Read the pressure numbers and keep them in the place of older ones; those that no longer hold go."""
    read = read_lesson_pressure(library, lesson, only)
    measures = {one.swing.id: one.measures for one in read.swings}
    with library.transaction():
        if only is None and read.mat is not None and read.mat.doubt != read.doubt:
            library.set_pressure_mat(lesson.id, replace(read.mat, doubt=read.doubt).to_text())
        for swing in library.swings(lesson.id):
            if only is None or swing.id in only:
                library.set_measures(swing.id, measures.get(swing.id, ()), METHOD)
    return read


def see_bodies(library: Library, lesson: Lesson, clips: Sequence[tuple[Clip, float]]) -> list[BodyHeight]:
    """What the clips of a swing show of the body's height, face-on first; nothing without consent to measure.

    Parameters
    ----------
    clips : each with its presentation time of impact.
    """
    pupil = library.pupil(lesson.pupil_id)
    if not allows_now(pupil, Purpose.MEASURE, lesson.held_on):
        return []
    bodies = []
    for clip, impact_s in sorted(clips, key=lambda one: one[0].view is View.DOWN_THE_LINE):
        kept = load_landmarks(library, clip, pupil.handedness)
        if kept is not None:
            bodies.append(see_body(kept[0], impact_s, clip.time_scale))
    return bodies


def lay_trace(trace: Trace, placed: PlacedInTime, mat: Mat | None, address_s: float | None) -> PressurePath:
    """A trace over true seconds after impact, in the player's frame where the mat is known.

    Where nobody told where on the mat the player stands, midway between the feet is taken to be where the pressure is
    at address (``address_s``, true seconds after impact; None = not marked). Where the trace has no place there, the
    placement of the path still has no origin.
    """
    unknown = MatPlacement(is_approximate=True, has_angle=False, has_origin=False)
    placement = unknown if mat is None else mat.placement
    moments = trace.time_s - placed.impact_s
    if not placement.has_origin:
        at_s = _ADDRESS_S if address_s is None else address_s
        standing = trace.xy_cm[(moments >= at_s - _STANDS_S) & (moments <= at_s)]
        placement = _stand_on(placement, standing, 0.0 if mat is None else mat.stand_x_cm)
    return lay_path(moments, trace.xy_cm, placement, trace.force_n, trace.lead_force_n, placed.sd_s)


def _stand_on(placement: MatPlacement, standing_cm: FloatArray, stand_x_cm: float) -> MatPlacement:
    there = standing_cm[np.isfinite(standing_cm).all(axis=1)]
    if not len(there):
        return placement
    along = np.deg2rad(placement.angle_deg)
    x, y = np.median(there, axis=0) - stand_x_cm * np.array([np.cos(along), np.sin(along)])
    return replace(placement, origin_cm=(float(x), float(y)), origin_sd_cm=_ADDRESS_SD_CM, has_origin=True)


def _read(library: Library, lesson: Lesson, swing: Swing, mat: Mat | None) -> SwingPressure | str:
    if swing.trace is None:
        return NO_TRACE
    if len(swing.trace.time_s) < 3:
        return "its trace has fewer than three samples"
    keyed = [(clip, _key_times(library, clip)) for clip in swing.clips]
    with_impact = [(clip, keys) for clip, keys in keyed if KeyFrameName.IMPACT in keys]
    if not with_impact:
        return "no clip" if not swing.clips else "the swing is not measured"
    with_impact.sort(key=lambda one: one[0].view is View.DOWN_THE_LINE)
    clip, keys = with_impact[0]
    moments = {name: (at - keys[KeyFrameName.IMPACT]) * clip.time_scale for name, at in keys.items()}
    bodies = see_bodies(library, lesson, [(c, k[KeyFrameName.IMPACT]) for c, k in with_impact])
    top = moments.get(KeyFrameName.TOP)
    placed = place_impact(swing.trace, swing.shot, None if top is None else -top, bodies)
    if placed is None and swing.trace.is_clock_of_shot:
        return "its recording has no clock and two moves in it may be the shot: cut it to the shot and add it again"
    if placed is None:
        return "its trace lies outside the shot: it may be of another lesson"
    path = lay_trace(swing.trace, placed, mat, moments.get(KeyFrameName.ADDRESS))
    if no_swing := say_no_swing(path, moments, placed.by == BY_FORCE):
        return no_swing
    measures = read_pressure(path, moments, f"mat {lesson.id}", _KEY_SD_S)
    return SwingPressure(swing, placed, moments, path, measures)


def _key_times(library: Library, clip: Clip) -> dict[str, float]:
    """Presentation times of key frames by name; the coach's marks win."""
    keys = sorted(library.key_frames(clip.id), key=lambda key: key.source == "coach")
    return {str(key.name): key.time_s for key in keys}
