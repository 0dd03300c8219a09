"""Whoever else was found in the picture is covered, the player's own landmarks are not taken for another."""

from dataclasses import replace

import numpy as np
import pytest

from review.body.bystanders import cover_others


def someone(track, at_px, size=1.0):
    """The player's landmarks on the first frame, made smaller and put elsewhere."""
    own = track.image_px[0, :, :2]
    return (own - own[0]) * size + at_px


def is_covered(ellipses, point):
    known = ellipses[np.isfinite(ellipses).all(axis=1)]
    return bool((np.hypot(*(known[:, :2] - point).T) <= known[:, 2]).any())


def test_who_stands_elsewhere_is_covered_half_a_second_about_the_moment(face_on):
    track = face_on.track
    nose = np.array([600.0, 700.0])
    people = np.stack([track.image_px[90, :, :2], someone(track, nose, 0.4)])
    covered = cover_others([(90, people)], track)
    near = np.abs(track.time_s - track.time_s[90]) <= 0.5
    assert [is_covered(ellipses, nose) for ellipses in covered] == near.tolist()
    grown = covered[near, 0, 2]
    assert grown[0] > covered[90, 0, 2] < grown[-1]
    # the head of a person of that size, 0.4 of the player's 75 px from crown to chin: more than that, not the picture
    assert 20 < covered[90, 0, 2] < 60


def test_the_player_found_again_is_nobody_else(face_on):
    track = face_on.track
    shifted = track.image_px[60, :, :2] + [15.0, -20.0]
    assert cover_others([(60, np.stack([track.image_px[60, :, :2], shifted]))], track).shape == (164, 0, 5)
    assert cover_others([(60, np.empty((0, 33, 2)))], track).shape == (164, 0, 5)


def test_one_found_twice_is_one(face_on):
    track = face_on.track
    other = someone(track, np.array([600.0, 700.0]), 0.4)
    assert cover_others([(60, np.stack([other, other + 2.0]))], track).shape[1] == 1


def test_in_a_slowed_clip_half_a_second_is_half_a_true_one(face_on):
    slowed = replace(face_on.track, time_s=face_on.track.time_s * 8)
    people = someone(face_on.track, np.array([600.0, 700.0]), 0.4)[None]
    plain = cover_others([(60, people)], face_on.track)
    np.testing.assert_allclose(cover_others([(60, people)], slowed, 1 / 8), plain)


@pytest.mark.parametrize("missing", [True, False])
def test_where_the_player_is_not_known_everybody_is_covered(face_on, missing):
    track = face_on.track
    nobody = replace(track, image_px=np.full_like(track.image_px, np.nan))
    covered = cover_others([(60, track.image_px[60:61, :, :2])], nobody if missing else track)
    assert covered.shape[1] == int(missing)
