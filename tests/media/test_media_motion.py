"""Motion in small grey pictures: what moves counts, noise and lamps do not."""

from fractions import Fraction
from pathlib import Path

import av
import numpy as np
import pytest
from media_clips import make_clip

from review.errors import BadInputError
from review.media import Footage, PictureMotion, join_motion, read_picture_motion

RATE_HZ = 30
MOVES_S = (2.0, 3.0)
LAMP_S = 4.0


@pytest.fixture(scope="module", params=["libx264", "mpeg4"])
def moving(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Six seconds of grain; a bright square crosses between 2 and 3 s, and a lamp goes on at 4 s."""
    path = tmp_path_factory.mktemp("moving") / "m.mp4"
    rng = np.random.default_rng(2)
    with av.open(str(path), "w") as out:
        video = out.add_stream(request.param, rate=RATE_HZ, options={"g": "30", "bf": "2"}, bit_rate=3_000_000)
        video.width, video.height, video.pix_fmt = 320, 240, "yuv420p"
        for n in range(6 * RATE_HZ):
            at_s = n / RATE_HZ
            picture = 100 + rng.normal(0, 6, (240, 320)) + (40 if at_s >= LAMP_S else 0)
            if MOVES_S[0] <= at_s < MOVES_S[1]:
                x = int(20 + 240 * (at_s - MOVES_S[0]))
                picture[80:160, x : x + 40] = 230
            grey = np.clip(picture, 0, 255).astype(np.uint8)
            frame = av.VideoFrame.from_ndarray(np.repeat(grey[..., None], 3, 2), format="rgb24")
            frame.pts, frame.time_base = n, Fraction(1, RATE_HZ)
            out.mux(video.encode(frame))
        out.mux(video.encode(None))
    return path


def test_only_what_moves_counts(moving: Path) -> None:
    motion = read_picture_motion(moving)
    assert np.all(np.diff(motion.time_s) > 0)
    is_moving = (motion.time_s > MOVES_S[0]) & (motion.time_s < MOVES_S[1])
    assert 10 <= is_moving.sum() <= 20  # about 15 a second
    assert motion.energy[is_moving].min() > 20 * np.median(motion.energy[~is_moving])
    at_lamp = np.abs(motion.time_s - LAMP_S) < 0.1
    assert motion.energy[at_lamp].max() < 0.1 * np.median(motion.energy[is_moving])


def test_a_part_has_the_motion_of_the_whole_at_its_time(moving: Path) -> None:
    part = read_picture_motion(Footage(moving, 1.5, 2.6))
    assert part.time_s[0] >= 1.5
    assert part.time_s[-1] < 2.6
    assert part.energy[part.time_s > 2.1].min() > 20 * np.median(part.energy[part.time_s < 1.9])


def test_overlapping_parts_join_to_the_motion_of_the_whole(moving: Path) -> None:
    whole = read_picture_motion(moving)
    cut_s = 2.55
    joined = join_motion([read_picture_motion(Footage(moving, b, e)) for b, e in ((0.0, cut_s), (cut_s - 0.5, None))])
    assert np.all(np.diff(joined.time_s) > 0)
    assert np.diff(joined.time_s).max() < 1.9 * np.median(np.diff(whole.time_s))  # no picture is missing at the cut
    is_inside = (joined.time_s > MOVES_S[0] + 0.1) & (joined.time_s < MOVES_S[1] - 0.1)
    usual = np.median(whole.energy[(whole.time_s > MOVES_S[0]) & (whole.time_s < MOVES_S[1])])
    np.testing.assert_allclose(joined.energy[is_inside], usual, rtol=0.5)


def test_where_parts_overlap_the_earlier_counts() -> None:
    first = PictureMotion(np.array([1.0, 2.0, 3.0]), np.array([1.0, 1.0, 1.0]))
    second = PictureMotion(np.array([2.5, 3.5]), np.array([2.0, 2.0]))
    joined = join_motion([first, second])
    assert joined.time_s.tolist() == [1.0, 2.0, 3.0, 3.5]
    assert joined.energy.tolist() == [1.0, 1.0, 1.0, 2.0]


def test_progress_ends_at_the_whole_and_may_stop(moving: Path) -> None:
    reports: list[tuple[int, int]] = []
    read_picture_motion(moving, progress=lambda done, total: reports.append((done, total)))
    assert reports[-1][0] == reports[-1][1]

    def stop(done: int, total: int) -> None:
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        read_picture_motion(moving, progress=stop)


def test_a_recording_without_times_is_refused_in_words(tmp_path: Path) -> None:
    made = make_clip(tmp_path / "i.avi", tuple(range(60)), Fraction(1, 30))
    with pytest.raises(BadInputError, match=r"AVI.*Store it as MP4"):
        read_picture_motion(made.path)
