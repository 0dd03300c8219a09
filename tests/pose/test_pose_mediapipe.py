"""The real detector on real frames of the sample lesson."""

import os
import sys
import threading
from pathlib import Path

import numpy as np
import pytest

from review.errors import BadInputError
from review.media import read_frames
from review.pose import Effort, Landmark, MediaPipeEstimator, model_path

CLIP = Path(__file__).parents[2] / "sample_clips" / "clips" / "20260314_101518.mp4"


def pictures(n: int = 6):
    return [(frame.time_s, frame.rgb) for frame in read_frames(CLIP, stop=n)]


def test_landmarks_lie_where_a_person_stands():
    track = MediaPipeEstimator(Effort.QUICK).track(pictures())
    assert track.is_seen.all()
    head, feet = track.image_px[:, Landmark.NOSE, 1], track.image_px[:, Landmark.LEFT_ANKLE, 1]
    # 1.70 m tall, 4 m away, focal length 1254 px: nose over ankles spans 0.745 x 1.70 m x 1254 / 4 m = 397 px, less
    # the bend of the head at address
    assert (feet - head > 330).all()
    assert (feet - head < 420).all()
    # face-on, right-handed: the player's left is at the picture's right
    assert (track.image_px[:, Landmark.LEFT_SHOULDER, 0] > track.image_px[:, Landmark.RIGHT_SHOULDER, 0]).all()


def test_pictures_with_padded_rows_are_read_like_others():
    plain = pictures(2)
    padded = []
    for time_s, rgb in plain:
        wide = np.zeros((rgb.shape[0], rgb.shape[1] + 4, 3), np.uint8)
        wide[:, : rgb.shape[1]] = rgb
        padded.append((time_s, wide[:, : rgb.shape[1]]))
    a, b = (MediaPipeEstimator(Effort.QUICK).track(p) for p in (plain, padded))
    np.testing.assert_array_equal(a.image_px, b.image_px)


def test_quick_sees_a_left_hander_as_the_mirror_image():
    from review.pose import mirror_track

    plain = pictures(2)
    flipped = [(time_s, np.ascontiguousarray(rgb[:, ::-1])) for time_s, rgb in plain]
    right = MediaPipeEstimator(Effort.QUICK).track(plain)
    left = MediaPipeEstimator(Effort.QUICK, in_mirror=True).track(flipped)
    np.testing.assert_allclose(mirror_track(left).image_px, right.image_px, atol=1e-6)
    assert MediaPipeEstimator(Effort.QUICK, in_mirror=True).key != MediaPipeEstimator(Effort.QUICK).key


def test_thorough_sees_a_mirrored_clip_as_the_mirror_image():
    from review.pose import mirror_track

    plain = pictures(2)
    flipped = [(time_s, np.ascontiguousarray(rgb[:, ::-1])) for time_s, rgb in plain]
    a = MediaPipeEstimator(Effort.THOROUGH).track(plain)
    b = mirror_track(MediaPipeEstimator(Effort.THOROUGH).track(flipped))
    # both passes see the same two pictures, only in exchanged roles
    np.testing.assert_allclose(a.image_px[..., :2], b.image_px[..., :2], atol=0.01)


def test_nobody_in_the_picture_is_nan_not_a_guess():
    track = MediaPipeEstimator(Effort.QUICK).track([(0.0, np.zeros((480, 360, 3), np.uint8))])
    assert not track.is_seen.any()


def test_no_picture_at_all():
    with pytest.raises(BadInputError, match="no pictures"):
        MediaPipeEstimator(Effort.QUICK).track([])


@pytest.mark.parametrize("model", ["full", "heavy"])
def test_model_bundles_are_installed_with_licence_and_provenance(model):
    path = model_path(model)
    assert path.stat().st_size > 5_000_000
    assert "Apache License" in (path.parent / "LICENSE-Apache-2.0.txt").read_text(encoding="utf-8")
    assert path.name in (path.parent / "PROVENANCE.md").read_text(encoding="utf-8")


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="reads the process's sockets from /proc")
def test_measuring_opens_no_network_socket():
    """A pupil's video stays on this computer: no TCP or UDP socket belongs to this process while it measures."""
    seen: set[str] = set()
    stop = threading.Event()

    def own_network_sockets() -> set[str]:
        own = set()
        for descriptor in os.listdir("/proc/self/fd"):
            try:
                target = os.readlink(f"/proc/self/fd/{descriptor}")
            except OSError:
                continue
            if target.startswith("socket:["):
                own.add(target[8:-1])
        network = set()
        for table in ("tcp", "tcp6", "udp", "udp6"):
            for line in Path(f"/proc/self/net/{table}").read_text().splitlines()[1:]:
                network.add(line.split()[9])
        return own & network

    def watch() -> None:
        while not stop.is_set():
            seen.update(own_network_sockets())
            stop.wait(0.002)

    before = own_network_sockets()
    watcher = threading.Thread(target=watch)
    watcher.start()
    try:
        MediaPipeEstimator(Effort.QUICK).track(pictures(4))
    finally:
        stop.set()
        watcher.join()
    assert seen <= before
