"""Nothing that is handed out shows a covered face or tells where, when and with what was filmed."""

import base64
import re
import subprocess
from datetime import date
from io import BytesIO
from pathlib import Path

import imageio_ffmpeg
import numpy as np
import pytest
from PIL import Image

from review.body import cover_head
from review.lesson import KeyFrame
from review.media import VideoWriter, probe_video, read_frames
from review.pose import LandmarkTrack
from review.takehome import ClipSide, Pair, PictureCover, TakeHome, write_takehome
from review.takehome.clips import passages, rendering
from review.takehome.stills import read_still

W, H, N, RATE_HZ, IMPACT = 240, 320, 60, 30, 36
HEAD_PX, BODY_PX = 12.0, 130.0
GROUND, FACE = (70, 110, 80), (255, 0, 255)
PLANTED = ("+48.1374+011.5755", "Acmephone", "Field 9 Ultra", "2026-02-03", "bay seven of hall two")


def head_at(i):
    """A head that darts to the side at impact, 3 px a frame and more."""
    return np.array([90.0 + 60.0 / (1.0 + np.exp(-(i - IMPACT) / 4.0)), 90.0 + 8.0 * np.sin(i / 7.0)])


def track():
    image = np.full((N, 33, 3), np.nan)
    for i in range(N):
        image[i] = 0.0
        points = image[i, :, :2]
        points[:] = head_at(i)
        points[11:13] = head_at(i) + [0, 20]
        points[23:25] = points[11:13] + [0, 0.4 * BODY_PX]
        points[25:27] = points[23:25] + [0, 0.3 * BODY_PX]
        points[27:] = points[25] + [0, 0.3 * BODY_PX]
    return LandmarkTrack(np.arange(N) / RATE_HZ, image, image * 0, np.ones((N, 33)), W, H, "made", "up")


@pytest.fixture(scope="module")
def filmed(tmp_path_factory) -> Path:
    """A clip with a head of one colour, and with everything planted that a phone writes into its files."""
    folder = tmp_path_factory.mktemp("filmed")
    rows, columns = np.mgrid[:H, :W]
    with VideoWriter(folder / "plain.mp4", W, H, RATE_HZ) as writer:
        for i in range(N):
            picture = np.full((H, W, 3), GROUND, np.uint8)
            x, y = head_at(i)
            picture[np.hypot(columns + 0.5 - x, rows + 0.5 - y) <= HEAD_PX] = FACE
            writer.write(picture)
    target = folder / "phone.mp4"
    place, make, model, day, comment = PLANTED
    tags = {
        "location": f"{place}/",
        "com.apple.quicktime.location.ISO6709": f"{place}/",
        "make": make,
        "model": model,
        "creation_time": f"{day}T10:11:12Z",
        "comment": comment,
    }
    planted = [part for key, value in tags.items() for part in ("-metadata", f"{key}={value}")]
    stream = ["-metadata:s:v", f"handler_name={make}"]
    command = [
        imageio_ffmpeg.get_ffmpeg_exe(),
        "-v",
        "error",
        "-i",
        folder / "plain.mp4",
        "-c",
        "copy",
        *planted,
        *stream,
    ]
    subprocess.run([*command, "-movflags", "use_metadata_tags", target], check=True)
    data = target.read_bytes()
    for word in (place, make, model, comment):
        assert word.encode() in data
    return target


@pytest.fixture(scope="module")
def pair(filmed) -> Pair:
    cover = PictureCover(cover_head(track()), W, H)
    frames = tuple(
        KeyFrame(name, (IMPACT + gap) / RATE_HZ, IMPACT + gap, 0.9, "pose")
        for name, gap in (("address", -20), ("top", -8), ("impact", 0), ("finish", 15))
    )
    sides = [ClipSide(filmed, f"Batch {n}", n, IMPACT / RATE_HZ, frames, cover=cover) for n in (1, 3)]
    return Pair(*sides, "face-on", "Swing 2 and swing 15")


@pytest.fixture(scope="module")
def handed(pair, tmp_path_factory) -> Path:
    contents = TakeHome(pupil_name="", held_on=date(2026, 3, 14), pairs=(pair,), practice=("Slow swings",))
    with pytest.MonkeyPatch.context() as patch:  # the same picture again and again tells nothing new
        patch.setattr(rendering, "CARD_S", 0.2)
        patch.setattr(passages, "_HELD_S", 0.2)
        return write_takehome(contents, tmp_path_factory.mktemp("handed") / "out").parent


def face_pixels(rgb):
    """How many pixels are more magenta than green by far; what a codec smears is far less so."""
    red, green, blue = (rgb[..., i] for i in range(3))
    return int((np.minimum(red, blue).astype(np.int16) - green > 60).sum())


def embedded(page: Path, kind: str):
    found = re.findall(rf"data:{kind};base64,([A-Za-z0-9+/=]+)", page.read_text(encoding="utf-8"))
    assert found
    return [base64.b64decode(text) for text in found]


def test_the_face_is_there_as_filmed(filmed):
    assert all(face_pixels(frame.rgb) > 300 for frame in read_frames(probe_video(filmed)))


def test_no_picture_of_any_clip_or_still_shows_it(handed, pair, tmp_path):
    clips = sorted(handed.glob("*.mp4"))
    assert clips
    for n, data in enumerate(embedded(handed / "index.html", "video/mp4")):
        small = tmp_path / f"{n}.mp4"
        small.write_bytes(data)
        clips.append(small)
    for clip in clips:
        shown = [face_pixels(frame.rgb) for frame in read_frames(probe_video(clip))]
        assert len(shown) > 30
        assert max(shown) == 0
    for data in embedded(handed / "index.html", "image/jpeg"):
        assert face_pixels(np.asarray(Image.open(BytesIO(data)).convert("RGB"))) == 0
    for name in ("top", "impact", "finish"):
        assert face_pixels(np.asarray(read_still(pair, name))) == 0


def test_nothing_tells_place_device_or_day_of_the_file(handed):
    page = handed / "index.html"
    parts = [path.read_bytes() for path in handed.iterdir()]
    parts += [data for kind in ("video/mp4", "image/jpeg") for data in embedded(page, kind)]
    for data in parts:
        for word in PLANTED:
            assert word.encode() not in data
            assert word.encode("utf-16-be") not in data


def test_pictures_and_sheet_bear_no_day_and_no_maker(handed):
    for data in embedded(handed / "index.html", "image/jpeg"):
        assert len(Image.open(BytesIO(data)).getexif()) == 0
    sheet = (handed / "sheet.pdf").read_bytes()
    assert re.search(rb"/CreationDate \(D:20000101", sheet)  # none of its own
    for key in (b"/Author", b"/ModDate", b"/Creator (", b"/Producer ("):
        assert key not in sheet
    for clip in handed.glob("*.mp4"):
        data = clip.read_bytes()
        # creation and modification time of movie, track and media (ISO/IEC 14496-12, 8.2.2, 8.3.2, 8.4.2): unset
        for box in (b"mvhd", b"tkhd", b"mdhd"):
            for match in re.finditer(box, data):
                assert data[match.end() + 4 : match.end() + 12] == bytes(8)
        for box in (b"loci", b"\xa9xyz", b"meta\x00\x00\x00\x00\x00\x00\x00!hdlr\x00\x00\x00\x00\x00\x00\x00\x00mdta"):
            assert box not in data
