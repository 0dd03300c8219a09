"""Pictures as planes, against the encoder's own conversion of the same clip to RGB."""

import subprocess
from pathlib import Path

import imageio_ffmpeg
import numpy as np
import pytest

from review.media import Planes, VideoWriter, probe_video, read_frames, read_planes, resize_planes, to_planes, to_rgb

SIZE = (320, 180)  # width and height
# how a clip is stored: pixel format, matrix tag, range tag, and what the conversion to RGB must be told
STORED = {
    "hd tags": ("yuv420p", "bt709", "tv", "bt709"),
    "sd tags": ("yuv420p", "smpte170m", "tv", "smpte170m"),
    "sd without tags": ("yuv420p", None, "tv", "smpte170m"),
    "full range": ("yuvj420p", "bt709", "pc", "bt709"),
    "finer colours": ("yuv444p", "bt709", "tv", "bt709"),
}


def run(*arguments: str) -> bytes:
    command = [imageio_ffmpeg.get_ffmpeg_exe(), "-y", "-loglevel", "error", *arguments]
    return subprocess.run(command, check=True, capture_output=True).stdout


@pytest.mark.parametrize("stored", STORED)
def test_planes_show_the_same_colours_as_the_encoders_conversion(tmp_path: Path, stored: str) -> None:
    pixels, matrix, span, told = STORED[stored]
    clip = str(tmp_path / "clip.mp4")
    bars = f"smptehdbars=size={SIZE[0]}x{SIZE[1]}:rate=10:duration=0.3"
    convert = f"scale=out_color_matrix={told}:out_range={span},format={pixels}"
    tags = ["-colorspace", matrix, "-color_range", span] if matrix else []
    run("-f", "lavfi", "-i", bars, "-vf", convert, "-c:v", "libx264", "-qp", "0", *tags, clip)
    raw = run(
        "-i", clip, "-vf", f"scale=in_color_matrix={told}:in_range={span}", "-f", "rawvideo", "-pix_fmt", "rgb24", "-"
    )
    truth = np.frombuffer(raw, np.uint8).reshape(-1, SIZE[1], SIZE[0], 3)
    found = [to_rgb(frame.planes) for frame in read_planes(clip)]
    assert len(found) == len(truth) == 3
    # inside the bars; at their edges colours of half size are blurred differently
    gaps = np.abs(found[0].astype(int) - truth[0].astype(int)).max(axis=2)
    assert np.percentile(gaps, 75) <= 3


def test_colours_come_back_and_grey_has_none() -> None:
    colours = [(242, 241, 236), (23, 26, 31), (255, 0, 0), (0, 160, 80), (86, 180, 233)]
    for colour in colours:
        there = to_planes(np.full((8, 8, 3), colour, np.uint8))
        assert np.abs(to_rgb(there).astype(int) - colour).max() <= 2
    # ITU-R BT.709: white is 235, black 16, both without colour
    for level, y in ((255, 235), (0, 16)):
        grey = to_planes(np.full((4, 6, 3), level, np.uint8))
        assert [int(part[0, 0]) for part in grey.parts] == [y, 128, 128]


def test_frames_are_numbered_and_stand_upright_as_read_frames_gives_them(tmp_path: Path) -> None:
    clip = str(tmp_path / "clip.mp4")
    run("-f", "lavfi", "-i", "testsrc=size=90x50:rate=30:duration=0.5", "-c:v", "libx264", "-pix_fmt", "yuv420p", clip)
    turned = str(tmp_path / "turned.mp4")
    run("-display_rotation", "90", "-i", clip, "-c", "copy", turned)
    for path in (clip, turned):
        info = probe_video(path)
        planes, frames = list(read_planes(info, 3, 9)), list(read_frames(info, 3, 9))
        assert [(f.index, f.time_s) for f in planes] == [(f.index, f.time_s) for f in frames]
        assert [f.planes.y.shape for f in planes] == [f.rgb.shape[:2] for f in frames]
        for mine, theirs in zip(planes, frames, strict=True):
            # the two blur colours of half size differently
            assert np.median(np.abs(to_rgb(mine.planes).astype(float) - theirs.rgb)) < 6


def test_a_part_is_a_view_at_even_places() -> None:
    picture = to_planes(np.zeros((20, 30, 3), np.uint8))
    part = picture.cut(4, 2, 7, 5)
    part.y[:] = 200
    assert (picture.y[2:7, 4:11] == 200).all()
    assert int((picture.y == 200).sum()) == 35
    with pytest.raises(ValueError, match="even"):
        picture.cut(3, 2, 4, 4)
    with pytest.raises(ValueError, match="must be"):
        Planes(picture.y, picture.u, picture.v[:-1])


def test_planes_are_written_without_conversion_and_within_their_bound(tmp_path: Path) -> None:
    rng = np.random.default_rng(5)
    bound = 400_000
    with VideoWriter(tmp_path / "noise.mp4", 128, 128, 30, most_bits_per_s=bound, takes_planes=True) as writer:
        for _ in range(90):
            writer.write(resize_planes(to_planes(rng.integers(0, 255, (128, 128, 3), dtype=np.uint8)), 128, 128))
        with pytest.raises(ValueError, match="takes planes"):
            writer.write(np.zeros((128, 128, 3), np.uint8))
    # three seconds, and a second's worth that the encoder may run ahead
    assert (tmp_path / "noise.mp4").stat().st_size * 8 <= 4 * bound
    with VideoWriter(tmp_path / "flat.mp4", 32, 32, 30, takes_planes=True) as writer:
        writer.write(to_planes(np.full((32, 32, 3), (200, 60, 30), np.uint8)))
    shown = next(read_frames(tmp_path / "flat.mp4")).rgb
    assert np.abs(shown.astype(int) - (200, 60, 30)).max() <= 4
