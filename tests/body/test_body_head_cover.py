"""The head is covered on every frame: against the true outline of rendered heads, and where nobody was found."""

from dataclasses import replace

import numpy as np
import pytest

from review.body.head_cover import cover_head
from tests.conftest import DATA

SWINGS = {"face_on": "face_on_right", "face_on_left": "face_on_left", "down_the_line": "down_the_line_right"}


@pytest.fixture(params=SWINGS)
def swing(request):
    return request.getfixturevalue(request.param)


@pytest.fixture
def head(request):
    """(outline (n, 32, 2) px of the true head on every frame, its area (n,) px)."""
    name = SWINGS[request.node.callspec.params["swing"]]
    with np.load(DATA / "rendered_heads.npz") as data:
        return data[f"{name}_outline_px"] / 16.0, data[f"{name}_area_px"].astype(float)


def reach(ellipses, points):
    """How far out points (m, 2) lie in the ellipse they are deepest in: 1 = on its edge."""
    x, y, a, b, angle = (ellipses[np.isfinite(ellipses).all(axis=1)].T)[:, :, None]
    right, down = points[:, 0] - x, points[:, 1] - y
    along = (right * np.cos(angle) + down * np.sin(angle)) / a
    across = (down * np.cos(angle) - right * np.sin(angle)) / b
    return np.hypot(along, across).min(axis=0)


def area(ellipses):
    """Area of the union of ellipses, px, counted on a grid."""
    known = ellipses[np.isfinite(ellipses).all(axis=1)]
    far = known[:, 2:4].max()
    low, high = known[:, :2].min(axis=0) - far, known[:, :2].max(axis=0) + far
    x, y = np.meshgrid(np.arange(low[0], high[0]), np.arange(low[1], high[1]))
    return float((reach(ellipses, np.stack([x.ravel(), y.ravel()], axis=1)) <= 1.0).sum())


def test_the_whole_head_is_covered_on_every_frame_by_at_most_three_times_its_area(swing, head):
    outline, true_area = head
    covered = cover_head(swing.track, stature_m=swing.stature_m)
    worst = [reach(ellipses, points).max() for ellipses, points in zip(covered, outline, strict=True)]
    assert max(worst) < 1.0
    assert max(area(e) / true for e, true in zip(covered[::3], true_area[::3], strict=True)) <= 3.0


@pytest.mark.parametrize("swing", ["face_on"], indirect=True)
def test_frames_without_a_person_are_covered_wherever_the_head_went(swing, head):
    outline, _ = head
    impact = int(np.searchsorted(swing.track.time_s, swing.key_frames_s["impact"]))
    for lost in (slice(impact - 12, impact + 8), slice(0, 40), slice(130, None)):
        image = swing.track.image_px.copy()
        image[lost] = np.nan
        covered = cover_head(replace(swing.track, image_px=image))
        assert max(reach(e, o).max() for e, o in zip(covered, outline, strict=True)) < 1.0


@pytest.mark.parametrize("swing", ["face_on"], indirect=True)
def test_the_longer_nobody_is_found_the_more_is_covered(swing):
    image = swing.track.image_px.copy()
    image[60:] = np.nan
    ellipses = cover_head(replace(swing.track, image_px=image))[:, 0]
    assert (np.diff(ellipses[60:-3, 2]) > 0).all()
    # a head walking off at 1.4 m/s is still under it; the player stands 0.56 of the picture high
    px_per_m = 0.56 * swing.track.height_px / swing.stature_m
    assert ellipses[-1, 2] > 1.4 * px_per_m * (swing.track.time_s[-1] - swing.track.time_s[59])


@pytest.mark.parametrize("swing", ["face_on"], indirect=True)
@pytest.mark.parametrize("strange", [slice(70, 74), slice(120, None), slice(0, 30)])
def test_what_was_found_elsewhere_does_not_uncover_the_head(swing, head, strange):
    outline, _ = head
    image = swing.track.image_px.copy()
    image[strange, :, 0] += 300.0
    covered = cover_head(replace(swing.track, image_px=image))
    assert max(reach(e, o).max() for e, o in zip(covered, outline, strict=True)) < 1.0
    # that may be a head too
    moved = outline + np.array([300.0, 0.0])
    found = range(len(outline))[strange]
    assert max(reach(covered[i], moved[i]).max() for i in found) < 1.1


@pytest.mark.parametrize("swing", ["face_on"], indirect=True)
def test_a_child_has_a_large_head(swing):
    grown, child = (cover_head(swing.track, stature_m=stature_m)[0, 0, 2] for stature_m in (1.75, 1.10))
    # an eighth of the stature and a sixth: 1.33, more against trunk and legs alone
    assert 1.3 < child / grown < 1.45
    unknown = cover_head(swing.track, is_minor=True)[0, 0, 2]
    assert grown < unknown < child


@pytest.mark.parametrize("swing", ["face_on"], indirect=True)
def test_in_a_slowed_clip_the_same_is_covered(swing):
    slowed = replace(swing.track, time_s=swing.track.time_s * 4)
    np.testing.assert_allclose(cover_head(slowed, time_scale=0.25), cover_head(swing.track))


@pytest.mark.parametrize("swing", ["face_on"], indirect=True)
def test_without_anybody_there_is_no_cover(swing):
    nobody = replace(swing.track, image_px=np.full_like(swing.track.image_px, np.nan))
    with pytest.raises(ValueError, match="nobody"):
        cover_head(nobody)
