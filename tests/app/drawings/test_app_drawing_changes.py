"""Drawings tied, untied and found under the pointer, on landmarks whose way is known."""

import numpy as np
import pytest

from review.app.drawings.changes import find_near, move, tie, untie
from review.app.drawings.shapes import draw_shapes
from review.app.drawings.sketch import Sketch
from review.lesson import Drawing, DrawingKind, Handedness
from review.pose.drawings import place_drawing
from review.pose.track import Landmark, LandmarkTrack

SIZE = (1000.0, 500.0)


def walk(**at_px: tuple[float, float]) -> LandmarkTrack:
    """Ten frames, 0.1 s apart; the named landmarks go 5 px right a frame, the others are never seen."""
    image, seen = np.full((10, 33, 3), np.nan), np.zeros((10, 33))
    for name, (x, y) in at_px.items():
        landmark = Landmark[name.upper()]
        image[:, landmark, 0], image[:, landmark, 1] = x + 5 * np.arange(10), y
        seen[:, landmark] = 1.0
    return LandmarkTrack(np.arange(10) / 10, image, np.zeros((10, 33, 3)), seen, 1000, 500, "none", "made up")


@pytest.mark.parametrize(("hand", "side"), [(Handedness.RIGHT, "trail"), (Handedness.LEFT, "lead")])
def test_it_is_tied_to_the_nearest_point_and_goes_with_it_and_stays_when_untied(hand, side) -> None:
    track = walk(right_heel=(300, 400), left_heel=(500, 400))
    line = Drawing("d", DrawingKind.LINE, ((0.1, 0.1), (0.32, 0.8)), 0.0, 0.9)
    tied = tie(line, 0.2, SIZE, track, hand)
    assert tied.tied_to == f"{side} heel"
    assert np.allclose(place_drawing(tied, 0.2, SIZE, track, hand), [(100, 50), (320, 400)])
    assert np.allclose(place_drawing(tied, 0.6, SIZE, track, hand), [(120, 50), (340, 400)])
    again = tie(tied, 0.6, SIZE, track, hand)  # from where it has gone to
    assert np.allclose(place_drawing(again, 0.2, SIZE, track, hand), [(100, 50), (320, 400)])
    free = untie(tied, 0.6, SIZE, track, hand)
    assert free.tied_to == ""
    assert np.allclose(place_drawing(free, 0.2, SIZE, track, hand), [(120, 50), (340, 400)])


def test_a_circle_is_tied_by_its_centre_and_nothing_where_no_point_is_seen() -> None:
    track = walk(nose=(500, 100), left_wrist=(600, 300))
    circle = Drawing("d", DrawingKind.CIRCLE, ((0.52, 0.2), (0.6, 0.6)), 0.0, 0.9)
    assert tie(circle, 0.0, SIZE, track, Handedness.RIGHT).tied_to == "nose"
    assert tie(circle, 0.0, SIZE, walk(), Handedness.RIGHT) is None


def test_the_nearest_line_within_reach_is_found() -> None:
    level = Drawing("level", DrawingKind.LINE, ((0.1, 0.2), (0.9, 0.2)), 0.0, 0.9)
    words = Drawing("words", DrawingKind.TEXT, ((0.5, 0.3),), 0.0, 0.9, "hold")
    placed = [(d, place_drawing(d, 0.0, SIZE)) for d in (level, words)]
    assert find_near((400, 110), placed, 20) == level
    assert find_near((505, 148), placed, 20) == words
    assert find_near((950, 100), placed, 20) is None  # 50 px beyond the line's end
    assert np.allclose(move(level, 0.1, -0.1).points, [(0.2, 0.1), (1.0, 0.1)])


def test_words_and_degrees_are_written_where_a_drawing_is_on() -> None:
    """Side by side and the pupil view paint these lines."""
    corner = Drawing("a", DrawingKind.ANGLE, ((0.3, 0.2), (0.2, 0.2), (0.2, 0.4)), 0.0, 0.5)
    words = Drawing("t", DrawingKind.TEXT, ((0.5, 0.3),), 0.0, 0.9, "hold")
    written = [(line.words, line.points_px) for line in draw_shapes([corner, words], 0.3, SIZE) if line.words]
    assert written == [("90°", ((200, 100),)), ("hold", ((500, 150),))]
    assert [line.words for line in draw_shapes([corner, words], 0.8, SIZE)] == ["hold"]


def test_a_sketch_takes_no_point_twice_and_stays_on_the_picture() -> None:
    sketch = Sketch(DrawingKind.LINE)
    sketch.move_to((1.4, -0.2))
    assert sketch.hand == (1.0, 0.0)
    assert not sketch.place()
    assert not sketch.place()
    sketch.move_to((0.5, 0.5))
    assert sketch.place()
    assert sketch.as_drawing("d", (0.0, 1.0), 2).points == ((1.0, 0.0), (0.5, 0.5))
    sketch.take_back()
    assert sketch.placed == [(1.0, 0.0)]
