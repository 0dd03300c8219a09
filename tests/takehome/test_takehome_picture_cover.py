"""What is covered is gone; what is not stays as it was filmed."""

import ast
from pathlib import Path

import numpy as np
import pytest

import review.takehome
from review.media import to_planes
from review.palette import QUIET_INK
from review.takehome.picture_cover import PictureCover

W, H = 91, 120
HEAD = [40.0, 50.0, 12.0, 20.0, 0.4]


def noise(width=W, height=H, seed=4):
    return np.random.default_rng(seed).integers(0, 120, (height, width, 3), dtype=np.uint8)


def inside(ellipse, width=W, height=H, scale=1.0):
    """Pixel centres inside an ellipse, by its own equation in matrix form."""
    x, y, a, b, angle = ellipse
    turn = np.array([[np.cos(angle), -np.sin(angle)], [np.sin(angle), np.cos(angle)]])
    shape = turn @ np.diag([a**-2, b**-2]) @ turn.T
    rows, columns = np.mgrid[:height, :width]
    away = np.stack([(columns + 0.5) / scale - x, (rows + 0.5) / scale - y], axis=-1)
    return np.einsum("...i,ij,...j", away, shape, away) <= 1.0


def cover(*ellipses, kept=None):
    return PictureCover(np.array(ellipses, dtype=float).reshape(1, -1, 5), W, H, kept)


@pytest.mark.parametrize("scale", [1.0, 0.5])
def test_of_a_covered_head_nothing_is_left_and_around_it_all_is(scale):
    width, height = round(W * scale), round(H * scale)
    filmed = noise(width, height)
    shown = cover(HEAD).hide(filmed, 0)
    assert (shown[inside(HEAD, width, height, scale)] == QUIET_INK).all()
    far = np.array(HEAD) + [0, 0, 3 / scale, 3 / scale, 0]
    outside = ~inside(far, width, height, scale)
    np.testing.assert_array_equal(shown[outside], filmed[outside])


def test_what_lies_under_the_cover_makes_no_difference():
    one, other = noise(seed=1), noise(seed=1)
    other[inside(HEAD)] = 255 - other[inside(HEAD)]
    np.testing.assert_array_equal(cover(HEAD).hide(one, 0), cover(HEAD).hide(other, 0))
    # in the planes of a video the colours of 2 x 2 pixels are one: those of the edge too
    planes = [cover(HEAD).hide_planes(to_planes(picture), 0) for picture in (one, other)]
    for a, b in zip(planes[0].parts, planes[1].parts, strict=True):
        np.testing.assert_array_equal(a, b)


def test_planes_are_covered_as_pictures_are():
    filmed = noise()
    y = cover(HEAD).hide_planes(to_planes(filmed), 0).y
    np.testing.assert_array_equal(y, to_planes(cover(HEAD).hide(filmed, 0)).y)


def test_the_surroundings_are_replaced():
    filmed = noise()
    shown = cover(kept=(20, 10, 70, 100)).hide(filmed, 0)
    np.testing.assert_array_equal(shown[10:100, 20:70], filmed[10:100, 20:70])
    shown[10:100, 20:70] = QUIET_INK
    assert (shown == QUIET_INK).all()
    planes = cover(kept=(20, 10, 70, 100)).hide_planes(to_planes(filmed), 0)
    assert len(np.unique(planes.u[:5])) == len(np.unique(planes.y[:10])) == len(np.unique(planes.v[:, 35:])) == 1


@pytest.mark.parametrize("place", [(-5, -5), (W + 5, H + 5), (-300, 50), (W / 2, 5000)])
def test_a_head_at_or_beyond_the_edge(place):
    ellipse = [*place, 12.0, 20.0, 0.0]
    filmed = noise()
    shown = cover(ellipse).hide(filmed, 0)
    assert (shown[inside(ellipse)] == QUIET_INK).all()
    cover(ellipse).hide_planes(to_planes(filmed), 0)


def test_no_head_on_a_frame_and_no_such_frame():
    none = cover([np.nan] * 5)
    filmed = noise()
    np.testing.assert_array_equal(none.hide(filmed, 0), filmed)
    for index in (-1, 1):
        with pytest.raises(ValueError, match="1 frames"):
            none.hide(filmed, index)


def test_only_shown_frames_reads_the_pictures_of_clips():
    """A new clip or still cannot pass the cover by: nothing else in the take-home reads frames of the coach's clips."""
    readers = {"read_frames", "read_planes", "FrameReader", "FrameSource", "ReviewCopy"}
    found = set()
    for path in Path(review.takehome.__file__).parent.rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.ImportFrom) and readers & {name.name for name in node.names}:
                found.add(path.name)
    # a still out of the clip just written; a talk-over jumps about, and covers each frame in talk_picture.compose
    assert found <= {"shown_frames.py", "writing.py", "talk_over.py", "talk_picture.py"}


@pytest.mark.parametrize(("kept", "hides"), [(None, False), ((0, 0, 640, 900), False), ((0, 0, 500, 900), True)])
def test_a_cover_tells_whether_it_hides_anything_around_the_player(kept, hides):
    assert PictureCover(np.zeros((1, 0, 5)), 640, 480, kept).hides_around is hides
