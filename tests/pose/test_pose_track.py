import numpy as np
import pytest

from review.pose import LandmarkTrack, average_tracks, mirror_track, spread_over


def make_track(n: int = 3, x: float = 10.0, **changes) -> LandmarkTrack:
    arrays = {
        "time_s": np.arange(n) / 60,
        "image_px": np.full((n, 33, 3), x),
        "world_m": np.zeros((n, 33, 3)),
        "visibility": np.ones((n, 33)),
    } | changes
    return LandmarkTrack(**arrays, width_px=100, height_px=200, model="full", mode="tracked")


def test_wrong_shape_is_refused_at_the_border():
    with pytest.raises(ValueError, match=r"image_px must have shape \(3, 33, 3\), got \(3, 32, 3\)"):
        make_track(image_px=np.zeros((3, 32, 3)))


def test_times_must_increase():
    with pytest.raises(ValueError, match="must increase"):
        make_track(time_s=np.array([0.0, 0.1, 0.1]))


def test_mirroring_swaps_left_and_right_and_twice_is_nothing(face_on):
    mirrored = mirror_track(face_on.track)
    left_wrist, right_wrist = 15, 16
    assert mirrored.image_px[0, left_wrist, 0] == pytest.approx(719 - face_on.track.image_px[0, right_wrist, 0])
    assert mirrored.world_m[0, left_wrist, 1] == face_on.track.world_m[0, right_wrist, 1]
    twice = mirror_track(mirrored)
    np.testing.assert_allclose(twice.image_px, face_on.track.image_px, atol=1e-9)
    np.testing.assert_allclose(twice.world_m, face_on.track.world_m)


def test_average_uses_the_one_that_saw_the_person():
    unseen = np.full((3, 33, 3), 20.0)
    unseen[1] = np.nan
    average = average_tracks(make_track(x=10.0), make_track(image_px=unseen), "both")
    assert average.image_px[0, 0, 0] == 15.0
    assert average.image_px[1, 0, 0] == 10.0


def test_tracks_of_other_frames_are_not_averaged():
    with pytest.raises(ValueError, match="same frames"):
        average_tracks(make_track(), make_track(n=4), "both")


def test_spread_over_keeps_gaps_and_interpolates_between_frames():
    image = np.zeros((3, 33, 3))
    image[1], image[2] = 6.0, np.nan
    track = spread_over(make_track(image_px=image), np.array([0.0, 1 / 120, 1 / 60, 2 / 60]))
    assert track.image_px[1, 0, 0] == pytest.approx(3.0)
    assert not track.is_seen[3]
