"""Drawings tied to a body point, on landmarks whose way is known; angles of known triangles."""

import math

import numpy as np
import pytest

from review.app.drawings.shapes import draw_shapes
from review.lesson import Drawing, DrawingKind, Handedness
from review.pose.drawings import BODY_POINTS, find_landmark, measure_angle_deg, place_drawing
from review.pose.track import Landmark, LandmarkTrack

SIZE = (1280.0, 720.0)


def walk(hidden_frame: int | None = None) -> LandmarkTrack:
    """Ten frames, 0.1 s apart, on which landmark i moves i px right and 2 px up a frame."""
    n = 10
    image = np.zeros((n, 33, 3))
    image[:, :, 0] = 100 + np.arange(n)[:, None] * np.arange(33)
    image[:, :, 1] = 500 - 2 * np.arange(n)[:, None]
    seen = np.ones((n, 33))
    if hidden_frame is not None:
        seen[hidden_frame] = 0.1
    return LandmarkTrack(np.arange(n) / 10, image, np.zeros((n, 33, 3)), seen, 1280, 720, "none", "made up")


def tied(to: str) -> Drawing:
    return Drawing("d", DrawingKind.LINE, ((0.25, 0.5), (0.75, 0.5)), 0.0, 0.9, tied_to=to, tied_at_s=0.2)


def test_it_moves_as_the_trail_heel_moves() -> None:
    # trail heel of a right-hander: landmark 30, five frames after the one it was tied on
    assert place_drawing(tied("trail heel"), 0.7, SIZE, walk()) == ((320 + 150, 350), (960 + 150, 350))
    # of a left-hander: landmark 29
    left = place_drawing(tied("trail heel"), 0.7, SIZE, walk(), Handedness.LEFT)
    assert left == ((320 + 145, 350), (960 + 145, 350))


def test_on_the_frame_it_was_drawn_on_it_lies_where_it_was_drawn() -> None:
    assert place_drawing(tied("lead wrist"), 0.2, SIZE, walk()) == ((320, 360), (960, 360))


def test_one_that_is_not_tied_stays() -> None:
    assert place_drawing(tied(""), 0.7, SIZE, walk()) == ((320, 360), (960, 360))


@pytest.mark.parametrize("hidden", [2, 7])
def test_it_is_left_out_where_the_body_point_was_not_seen(hidden: int) -> None:
    assert place_drawing(tied("trail heel"), 0.7, SIZE, walk(hidden)) == ()
    assert place_drawing(tied("trail heel"), 0.7, SIZE, None) == ()


def test_it_is_left_out_outside_its_time() -> None:
    drawing = Drawing("d", DrawingKind.CIRCLE, ((0.5, 0.5), (0.6, 0.5)), 0.3, 0.4)
    assert [bool(place_drawing(drawing, t, SIZE)) for t in (0.2, 0.3, 0.4, 0.5)] == [False, True, True, False]


def test_body_points_are_the_detectors_by_side() -> None:
    for point in BODY_POINTS[1:]:
        side, part = point.split()
        for hand, leads in ((Handedness.RIGHT, "LEFT"), (Handedness.LEFT, "RIGHT")):
            other = "RIGHT" if leads == "LEFT" else "LEFT"
            assert find_landmark(point, hand) == Landmark[f"{leads if side == 'lead' else other}_{part.upper()}"]
    with pytest.raises(KeyError):
        find_landmark("left heel", Handedness.RIGHT)


def test_an_angle_is_what_the_picture_shows() -> None:
    # a right angle at 3-4-5 in pixels, whatever the shape of the picture
    assert measure_angle_deg(DrawingKind.ANGLE, ((0, 300), (0, 0), (400, 0))) == pytest.approx(90)
    assert measure_angle_deg(DrawingKind.ANGLE, ((400, 0), (0, 0), (400, 300))) == pytest.approx(
        math.degrees(math.asin(3 / 5))
    )
    # parts of width and height: 45 degrees on a picture of 16 to 9 only when counted in pixels
    corner = Drawing("d", DrawingKind.ANGLE, ((0.5 + 90 / 1280, 0.5), (0.5, 0.5), (0.5 + 90 / 1280, 0.625)), 0, 1)
    assert measure_angle_deg(DrawingKind.ANGLE, place_drawing(corner, 0.5, SIZE)) == pytest.approx(45)
    assert measure_angle_deg(DrawingKind.ANGLE, ((1, 1), (1, 1), (2, 2))) is None
    assert measure_angle_deg(DrawingKind.LINE, ((0, 0), (1, 1))) is None


def test_what_is_painted_side_by_side_follows_and_differs_by_stroke() -> None:
    plain, other = tied("trail heel"), Drawing("e", DrawingKind.LINE, ((0, 0), (1, 1)), 0, 1, accent=1)
    followed, fixed = draw_shapes([plain, other], 0.7, SIZE, walk())
    assert followed.points_px == ((470, 350), (1110, 350))
    assert fixed.points_px == ((0, 0), (1280, 720))
    assert (followed.is_dashed, fixed.is_dashed) == (False, True)
    assert followed.colour != fixed.colour
