"""Where the target line runs in the camera's eyes, and how large a pixel is: from what the coach marked, or assumed."""

from dataclasses import dataclass

import numpy as np

from review.body.camera_fit import USUAL_FOCAL_PER_LONG_SIDE, CameraFit, Marked, fit_camera
from review.body.golfer import LEAD_ANKLE, LEAD_HEEL, TRAIL_ANKLE, TRAIL_HEEL
from review.body.scale import PlayerInPicture, Scale, find_player, scale_from_stature
from review.lesson import View
from review.pose import LandmarkTrack

NOMINAL_DIRECTION_DEG = {View.FACE_ON: 0.0, View.DOWN_THE_LINE: 90.0}
Point = tuple[float, float]

_ASSUMED_SD_DEG = 6.0
_FARTHEST_OFF_DEG = 40.0
_MOST_SURPRISE = 4.0
# The fit's own error is a tenth too small on rendered cameras (docs/camera_setup.md).
_STRETCH = 1.1
_PLAUSIBLE_FOCAL = (0.6, 2.4)
# Between the ankles (and heels) at address, as a part of stature: rendered players, and how it differs between them.
_STANCE, _STANCE_RELATIVE_SD = 0.275, 0.12
# The landmarks' own error on rendered players, and feet that do not stand parallel to the target line (common
# practice, no source).
_FEET_SEEN_SD_DEG, _FEET_ALIGNED_SD_DEG = 2.5, 2.5


@dataclass(frozen=True)
class TargetStick:
    """An alignment stick on the ground along the target line, as marked in the picture (pixels, x right, y down)."""

    length_m: float
    away_from_target_px: Point
    toward_target_px: Point

    def __post_init__(self) -> None:
        if not 0.3 <= self.length_m <= 3.0:
            raise ValueError(f"a stick is 0.3 to 3 m long, got {self.length_m} m")
        if np.hypot(*np.subtract(self.away_from_target_px, self.toward_target_px)) < 5.0:
            raise ValueError("the two ends of the stick are marked at the same place")


@dataclass(frozen=True)
class CameraSetup:
    """What the coach marked once for a camera position.

    roll_deg : the phone's own level, + = turned clockwise as seen from behind it; None when not read.
    upright_px : top and bottom of something plumb in the picture (a door frame, a post); None when not marked.
    """

    stick: TargetStick
    roll_deg: float | None = None
    upright_px: tuple[Point, Point] | None = None

    def __post_init__(self) -> None:
        if self.roll_deg is not None and not abs(self.roll_deg) <= 20.0:
            raise ValueError(f"a camera is rolled by less than 20 degrees, got {self.roll_deg}")
        if self.upright_px is not None:
            (top_x, top_y), (bottom_x, bottom_y) = self.upright_px
            if bottom_y - top_y < max(50.0, 2.0 * abs(bottom_x - top_x)):
                raise ValueError("an upright runs from its top down to its bottom, at least 50 pixels and steeply")


@dataclass(frozen=True)
class TargetDirection:
    """Direction of the target line seen from above in camera axes.

    0 = to the picture's right, +90 = away from the camera; ``sd_deg`` is its error; ``is_known`` tells a measured
    direction from one that is assumed or estimated from the feet.
    """

    degrees: float
    sd_deg: float
    is_known: bool


@dataclass(frozen=True)
class CameraPlace:
    """What is known of a camera: target line, focal length, scale at the player's feet, and words for the coach."""

    target: TargetDirection
    focal_px: float
    scale: Scale
    notes: tuple[str, ...] = ()


def assume_direction(view: View) -> TargetDirection:
    """Assume a camera set square: the best to be said without a set-up and without looking at the feet."""
    return TargetDirection(NOMINAL_DIRECTION_DEG[view], _ASSUMED_SD_DEG, is_known=False)


def compute_focal_px(track: LandmarkTrack) -> float:
    """Usual focal length of a phone for this picture size, pixels."""
    return USUAL_FOCAL_PER_LONG_SIDE * max(track.width_px, track.height_px)


def mirror_setup(setup: CameraSetup, width_px: int) -> CameraSetup:
    """Return the set-up as seen in the mirrored picture of a left-hander."""

    def mirror(point: Point) -> Point:
        return width_px - 1 - point[0], point[1]

    stick, upright = setup.stick, setup.upright_px
    return CameraSetup(
        TargetStick(stick.length_m, mirror(stick.away_from_target_px), mirror(stick.toward_target_px)),
        None if setup.roll_deg is None else -setup.roll_deg,
        None if upright is None else (mirror(upright[0]), mirror(upright[1])),
    )


def place_camera(
    setup: CameraSetup | None, track: LandmarkTrack, view: View, still: slice, stature_m: float | None
) -> CameraPlace:
    """Find the camera from the set-up, and from the player where it says nothing.

    Parameters
    ----------
    setup : what the coach marked, in the picture of ``track`` (mirrored for a left-hander); None = nothing.
    track : a right-hander's track; ``still`` its frames just before the swing.
    stature_m : standing height, metres, None when not known.

    Returns
    -------
    The camera; a set-up that cannot be is left unused, with its reason in ``notes``.
    """
    player = find_player(track, view, still)
    without = CameraPlace(
        estimate_direction(track, view, still), compute_focal_px(track), scale_from_stature(player, stature_m)
    )
    if setup is None:
        return without
    problem = _find_contradiction(setup, track)
    if problem:
        return _unused(without, problem)
    fit = fit_camera(_as_marked(setup, track, player, stature_m))
    problem = _find_misfit(fit, view)
    if problem:
        return _unused(without, problem)
    degrees = float(np.degrees(fit.get("direction")))
    target = TargetDirection(degrees, _STRETCH * float(np.degrees(fit.sd("direction"))), is_known=True)
    return CameraPlace(target, fit.focal_px, Scale(fit.cm_per_px, fit.cm_per_px_relative_sd), _doubts(fit))


def estimate_direction(track: LandmarkTrack, view: View, still: slice) -> TargetDirection:
    """Estimate the target line from where the feet stand: down the line only, face-on a square camera is assumed.

    A line of feet that stands askew to the line of sight is seen as wide as the sine of that angle.
    """
    if view is View.FACE_ON:
        return assume_direction(view)
    image = track.image_px[still]
    lead_x, trail_x = (image[:, pair, 0].mean(axis=1) for pair in ([LEAD_ANKLE, LEAD_HEEL], [TRAIL_ANKLE, TRAIL_HEEL]))
    wide_px = float(np.median(lead_x - trail_x))
    player = find_player(track, view, still)
    sine = wide_px / (_STANCE * player.stature_px)
    bearing_deg = np.degrees(np.arctan((player.ankles_px[0] - track.width_px / 2) / compute_focal_px(track)))
    if abs(sine) > np.sin(np.radians(_FARTHEST_OFF_DEG)):
        return assume_direction(view)
    off_deg = float(np.degrees(np.arcsin(sine)))
    sd = float(np.hypot(np.hypot(_FEET_SEEN_SD_DEG, _FEET_ALIGNED_SD_DEG), _STANCE_RELATIVE_SD * off_deg))
    return TargetDirection(NOMINAL_DIRECTION_DEG[view] - off_deg - float(bearing_deg), sd, is_known=False)


def _as_marked(setup: CameraSetup, track: LandmarkTrack, player: PlayerInPicture, stature_m: float | None) -> Marked:
    return Marked(
        width_px=track.width_px,
        height_px=track.height_px,
        stick_px=np.array([setup.stick.away_from_target_px, setup.stick.toward_target_px]),
        stick_m=setup.stick.length_m,
        ankles_px=np.array(player.ankles_px),
        stature_px=player.stature_px,
        stature_px_sd=player.stature_px_sd,
        stature_m=stature_m,
        upright_px=None if setup.upright_px is None else np.array(setup.upright_px),
        roll_deg=setup.roll_deg,
    )


def _unused(without: CameraPlace, problem: str) -> CameraPlace:
    note = f"The camera set-up was not used: {problem} Mark it again on a still of this camera."
    return CameraPlace(without.target, without.focal_px, without.scale, (note,))


def _find_contradiction(setup: CameraSetup, track: LandmarkTrack) -> str:
    stick = setup.stick
    points = [stick.away_from_target_px, stick.toward_target_px, *(setup.upright_px or ())]
    for x, y in points:
        # no coordinates in the words: a left-hander's are mirrored here
        if not (-1 <= x <= track.width_px and 0 <= y <= track.height_px):
            return f"a mark lies outside the picture of {track.width_px} x {track.height_px} pixels."
    if min(stick.away_from_target_px[1], stick.toward_target_px[1]) <= track.height_px / 2:
        return "an end of the stick is marked in the upper half of the picture, where the ground cannot be."
    return ""


def _find_misfit(fit: CameraFit, view: View) -> str:
    off = (np.degrees(fit.get("direction")) - NOMINAL_DIRECTION_DEG[view] + 180.0) % 360.0 - 180.0
    if abs(off) > 180.0 - _FARTHEST_OFF_DEG:
        return "the ends of the stick seem to be exchanged (away from the target, toward the target)."
    if abs(off) > _FARTHEST_OFF_DEG:
        return (
            f"the stick points {abs(off):.0f} degrees away from where a {view.value} camera sees the target line; "
            "is it another camera's file, or another view?"
        )
    if max(fit.surprise[name] for name in ("stick", "feet", "size", "distance", "pitch", "roll")) > _MOST_SURPRISE:
        return "no camera sees a stick of this length in this place beside a player of this size."
    return ""


def _doubts(fit: CameraFit) -> tuple[str, ...]:
    notes = []
    if not _PLAUSIBLE_FOCAL[0] <= np.exp(fit.get("focal")) <= _PLAUSIBLE_FOCAL[1]:
        notes.append(
            f"The stick fits a lens whose focal length is {np.exp(fit.get('focal')):.1f} x the picture's longer side; "
            "phones are near 0.7 to 2. Check the stick's length and the player's stature."
        )
    if fit.surprise.get("upright", 0.0) > 3.0:
        notes.append("The upright is not plumb for a camera that stands as level as was said; check its two marks.")
    return tuple(notes)
