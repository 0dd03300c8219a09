"""Where the feet stand at each ball: their place on the mat is told once, their movement since is seen face-on."""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from review.body.golfer import LEAD_ANKLE, TRAIL_ANKLE, as_right_hander
from review.body.scale import find_player, scale_from_stature
from review.errors import BadInputError
from review.jobs.measuring.kept_landmarks import load_landmarks
from review.jobs.records import allows_now
from review.lesson import Clip, KeyFrameName, Lesson, Purpose, Swing, View
from review.library import Library
from review.pressure import MatPlacement

_STILL_S = 0.15
_MOVED_CM = 1.0
"""Less is how a detector wanders: the middle of the ankles repeats to 0.03 cm, their distance to 0.3 cm
(docs/pressure.md); the rest is left for real people, no source."""
_SEEN_PART = 0.05
"""What a shift in the picture is off by, as part of it: the scale, and a camera that is not square."""


@dataclass(frozen=True)
class Feet:
    """The ankles at address in one face-on clip: their middle in the picture (+ toward target), their distance.

    Only differences of ``middle_px`` between clips of one camera mean something. ``camera`` names it and the size of
    its picture.
    """

    middle_px: float
    distance_cm: float
    cm_per_px: float
    camera: str


def see_all_feet(
    library: Library, lesson: Lesson, swings: Sequence[Swing], only: Collection[str] | None = None
) -> dict[str, Feet | None]:
    """What is seen of the feet, by the swing's id, in the lesson's order, as ``place_under_feet`` needs it.

    Where ``only`` some swings are asked for, nothing is read of the others but of those up to the first ball seen,
    which tells where the feet stood in the steps.
    """
    feet: dict[str, Feet | None] = {}
    for swing in swings:
        if only is None or swing.id in only or not any(feet.values()):
            feet[swing.id] = see_feet(library, lesson, swing)
    return feet


def see_feet(library: Library, lesson: Lesson, swing: Swing) -> Feet | None:
    """Where the feet are in a swing's face-on clip; None without one, without landmarks or without consent."""
    pupil = library.pupil(lesson.pupil_id)
    if not allows_now(pupil, Purpose.MEASURE, lesson.held_on):
        return None
    for clip in swing.clips:
        if clip.view is not View.FACE_ON:
            continue
        kept = load_landmarks(library, clip, pupil.handedness)
        address_s = _address_of(library, clip)
        if kept is None or address_s is None:
            continue
        try:
            track = as_right_hander(kept[0], pupil.handedness)
        except BadInputError:
            continue
        last = int(np.searchsorted(track.time_s, address_s, side="right"))
        first = int(np.searchsorted(track.time_s, address_s - _STILL_S / clip.time_scale))
        still = slice(max(0, min(first, last - 3)), max(last, 1))
        ankles = np.median(track.image_px[still][:, [LEAD_ANKLE, TRAIL_ANKLE], 0], axis=0)
        cm = scale_from_stature(find_player(track, View.FACE_ON, still), pupil.stature_m).cm_per_px
        if not np.isfinite([*ankles, cm]).all():
            continue
        lead, trail = (float(ankle) for ankle in ankles)
        return Feet((lead + trail) / 2, (lead - trail) * cm, cm, f"{clip.camera} {track.width_px}x{track.height_px}")
    return None


def place_under_feet(mat: MatPlacement, feet: Mapping[str, Feet | None]) -> dict[str, MatPlacement]:
    """The mat under each swing's own feet.

    The feet are taken to stand at the first ball seen as they stood in the three steps. Where the ankles' middle has
    moved since by more than 1 cm along the target line, the origin goes with it, and so does the stance with their
    distance; less is left. A stance that nobody told is the ankles' distance in the picture, and measured with it.

    Parameters
    ----------
    feet : what is seen of each swing, by its id, in the lesson's order.

    Returns
    -------
    By swing; approximate where the feet were not seen by the camera that saw the first ball, or nobody told where on
    the mat they stood.
    """
    # steps without a stated stance tell it from the move to the lead foot, a stick tells none
    is_told = mat.stance_cm is not None and not (mat.has_origin and mat.is_approximate)
    first = next((one for one in feet.values() if one is not None), None)
    placed = {}
    for swing_id, seen in feet.items():
        if seen is None or first is None or seen.camera != first.camera or seen.distance_cm <= 0:
            placed[swing_id] = replace(mat, is_approximate=True)
            continue
        shift = _beyond_noise((seen.middle_px - first.middle_px) * (seen.cm_per_px + first.cm_per_px) / 2)
        wider = _beyond_noise(seen.distance_cm - first.distance_cm)
        stance = mat.stance_cm + wider if is_told and mat.stance_cm is not None else seen.distance_cm
        along = np.deg2rad(mat.angle_deg)
        x, y = mat.origin_cm
        placed[swing_id] = replace(
            mat,
            origin_cm=(x + shift * float(np.cos(along)), y + shift * float(np.sin(along))),
            origin_sd_cm=float(np.hypot(mat.origin_sd_cm, _SEEN_PART * shift)),
            stance_cm=stance if stance > 0 else mat.stance_cm,
            is_approximate=not mat.has_origin,
        )
    return placed


def _beyond_noise(moved_cm: float) -> float:
    return moved_cm if abs(moved_cm) > _MOVED_CM else 0.0


def _address_of(library: Library, clip: Clip) -> float | None:
    """Presentation time of address; the coach's mark wins."""
    found = [key for key in library.key_frames(clip.id) if str(key.name) == KeyFrameName.ADDRESS]
    return max(found, key=lambda key: key.source == "coach").time_s if found else None
