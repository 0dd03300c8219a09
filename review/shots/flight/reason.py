"""Why a shot started and curved as it did, in one sentence from face and path."""

import math

from review.lesson.people import Handedness
from review.lesson.words import say_value
from review.shots.flight.clubs import START_SHARES, ClubKind
from review.shots.flight.d_plane import StartRange, compute_start_range
from review.shots.flight.launches import MEASURED, Values, find_face_to_path, get_value
from review.shots.flight.shape import Curve, Shape, Start, find_shape

SQUARE_DEG = 0.5
"""A start within twice this of the face is the face's doing; half of what makes a start. No source."""
SMALL_FACE_TO_PATH_DEG = 2.0
"""Face to path that need not show as a curve: 3 times the error of 0.7 common for devices, no source."""
FAR_STRIKE_MM = 8.0
"""A strike this far from the centre can turn the curve round by itself (gear effect); the place is ours, no source."""
START_ERROR_DEG = 0.5
"""One standard deviation of a measured launch direction where the coach gives none: common practice, no source."""

_SQUARE = {
    "face_angle_deg": "square to the target",
    "face_to_path_deg": "square to the path",
    "club_path_deg": "straight at the target",
}


def say_why(
    values: Values,
    handedness: Handedness,
    club: ClubKind = ClubKind.UNKNOWN,
    start_error_deg: float = START_ERROR_DEG,
) -> str:
    """Say why the ball started and curved so, in the player's words.

    'started 2.0° left because the face was closed 2.0° to the target; curved right because the face was open
    3.0° to the path'. What face and path do not explain is said so. 'should start', 'should curve': it was not
    measured and follows from face and path. '' where the row tells neither start nor curve.
    """
    shape = find_shape(values, handedness, club)
    parts = [
        _say_start(shape, values, handedness, club, start_error_deg) if shape.start is not None else "",
        _say_curve(shape, values, handedness) if shape.curve is not None else "",
    ]
    return "; ".join(part for part in parts if part)


def _say_start(shape: Shape, values: Values, handedness: Handedness, club: ClubKind, error_deg: float) -> str:
    is_straight = shape.start is Start.STRAIGHT
    verb = "started" if shape.start_from == MEASURED else "should start"
    what = f"{verb} {'straight' if is_straight else _say_side(shape.start_deg)}"
    path, face = get_value(values, "club_path_deg"), get_value(values, "face_angle_deg")
    if not math.isfinite(path + face):
        return f"{what} (why: needs face angle and club path)"
    face_words = f"the face was {_say('face_angle_deg', face, handedness)}"
    path_words = f"the path was {_say('club_path_deg', path, handedness)}"
    expected = compute_start_range(path, face, club)
    if not expected.low - 3 * error_deg <= shape.start_deg <= expected.high + 3 * error_deg:
        return f"{what}, though {face_words} and {path_words}, which would start it {_say_range(expected)}"
    share = START_SHARES[club].middle
    side = math.copysign(1.0, shape.start_deg)
    by_face, by_path = side * share * face, side * (1 - share) * path
    if is_straight:
        if abs(face) <= 2 * SQUARE_DEG:
            return f"{what} because {face_words}"
        return f"{what} because {face_words} and {path_words}: one made up for the other"
    if by_face >= by_path:
        return f"{what} because {face_words}"
    return f"{what} because {path_words}, while {face_words}"


def _say_curve(shape: Shape, values: Values, handedness: Handedness) -> str:
    is_straight = shape.curve is Curve.STRAIGHT
    if shape.curve_from == "from face and path":
        what = "should not curve" if is_straight else f"should curve {_side_word(shape.curve_side)}"
    else:
        what = "did not curve" if is_straight else f"curved {_side_word(shape.curve_side)}"
    face_to_path = find_face_to_path(values)
    if not face_to_path.is_known:
        return f"{what} (why: needs face to path)"
    face_words = f"the face was {_say('face_to_path_deg', face_to_path.value, handedness)}"
    if face_to_path.value * shape.curve_side > 0:
        return f"{what} because {face_words}"
    if is_straight and abs(face_to_path.value) <= SMALL_FACE_TO_PATH_DEG:
        is_square = f"{abs(face_to_path.value):.1f}" == "0.0"
        nearly = f"the face was nearly square to the path ({abs(face_to_path.value):.1f}° off)"
        return f"{what} because {face_words if is_square else nearly}"
    strike = get_value(values, "strike_across_mm")
    # a toe strike turns the head open and gives draw spin, a heel strike fade spin, for either hand
    helped = strike >= FAR_STRIKE_MM if shape.curve in (Curve.DRAW, Curve.HOOK) else strike <= -FAR_STRIKE_MM
    strike_words = f"the strike was {_say('strike_across_mm', strike, handedness)}"
    if helped and not is_straight:
        return f"{what} because {strike_words}, though {face_words}"
    if is_straight and abs(strike) >= FAR_STRIKE_MM and (strike > 0) == _is_open(face_to_path.value, handedness):
        return f"{what} because {strike_words}, which made up for the face: {face_words}"
    return f"{what}, though {face_words}: a strike off the centre can do that, or a misread row"


def _is_open(face_to_path_deg: float, handedness: Handedness) -> bool:
    return (face_to_path_deg > 0) == (handedness is Handedness.RIGHT)


def _say(name: str, value: float, handedness: Handedness) -> str:
    if name in _SQUARE and f"{abs(value):.1f}" == "0.0":
        return _SQUARE[name]
    return say_value(name, value, handedness)


def _say_range(start: StartRange) -> str:
    low, high = (round(end, 1) + 0.0 for end in (start.low, start.high))
    if low == high:
        return _say_side(low) if low else "straight"
    if low * high < 0:
        # the same for a mirrored shot, left and right exchanged
        if -low == high:
            return f"up to {high:.1f}° to either side"
        return " to ".join(_say_side(end) for end in sorted((low, high), key=abs))
    near, far = sorted((abs(low), abs(high)))
    return f"{near:.1f} to {_say_side(math.copysign(far, low or high))}"


def _say_side(degrees: float) -> str:
    return f"{abs(degrees):.1f}° {_side_word(degrees)}"


def _side_word(value: float) -> str:
    return "right" if value > 0 else "left"
