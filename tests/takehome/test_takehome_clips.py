"""Every clip handed out, probed: codec, pixels, number of pictures, start of sound, order of boxes, no place."""

import base64
import re
import struct
import subprocess
import zipfile
from datetime import date
from pathlib import Path

import av
import imageio_ffmpeg
import numpy as np
import pytest

from review.compare import Verdict
from review.errors import BadInputError
from review.lesson import Drawing, DrawingKind, KeyFrame
from review.media import Audio, VideoWriter, probe_video
from review.takehome import (
    ClipOptions,
    ClipSide,
    Form,
    Pair,
    SwingNumber,
    TakeHome,
    TitleCard,
    render_clip,
    write_takehome,
)
from review.takehome.clips import passages, rendering
from review.takehome.clips.files import ClipChoice, list_all
from review.takehome.clips.rendering import MOST_BYTES
from review.takehome.clips_apart import count_apart

PLACE, MAKER = "+48.8577+002.295/", "Some Maker 7"
RATE_HZ, N, IMPACT_S = 30, 18, 0.4


@pytest.fixture(scope="module")
def pair(tmp_path_factory) -> Pair:
    folder = tmp_path_factory.mktemp("clips")
    sides = []
    for batch in (1, 2):
        plain = folder / f"plain-{batch}.mp4"
        sound = Audio(np.sin(np.arange(48000 * 6 // 10) / 9).astype(np.float32) / 2, 48000, 0.0)
        with VideoWriter(plain, 180, 320, RATE_HZ, sound) as writer:
            for i in range(N):
                writer.write(np.full((320, 180, 3), 40 + 6 * i, np.uint8))
        tagged = folder / f"{batch}.mov"
        tags = {"creation_time": "2026-03-14T09:16:22Z", "location": PLACE, "make": MAKER, "comment": "bay 4"}
        marks = [part for key, value in tags.items() for part in ("-metadata", f"{key}={value}")]
        program = [imageio_ffmpeg.get_ffmpeg_exe(), "-y", "-loglevel", "error"]
        subprocess.run([*program, "-i", str(plain), "-c", "copy", *marks, str(tagged)], check=True)
        names = (("address", -0.3), ("top", -0.1), ("impact", 0.0), ("finish", 0.15))
        frames = tuple(KeyFrame(name, IMPACT_S + gap, 0, 0.9, "pose") for name, gap in names)
        brief = Drawing("d", DrawingKind.CIRCLE, ((0.5, 0.5), (0.7, 0.5)), IMPACT_S + 0.1, IMPACT_S + 0.1)
        drawn = (brief,) if batch == 1 else ()
        numbers = (SwingNumber("Hip turn at impact", "open 25°", "13 to 37", Verdict.CLEAR),)
        sides.append(ClipSide(tagged, f"Batch {batch}", batch, IMPACT_S, frames, numbers=numbers, drawings=drawn))
    return Pair(sides[0], sides[1], "face-on", "made up")


def boxes_of(path: Path) -> list[str]:
    """Names of the outermost boxes (ISO/IEC 14496-12, 4.2)."""
    data, names, at = path.read_bytes(), [], 0
    while at < len(data):
        size, name = struct.unpack(">I4s", data[at : at + 8])
        names.append(name.decode())
        at += size if size > 1 else struct.unpack(">Q", data[at + 8 : at + 16])[0] if size else len(data)
    return names


@pytest.fixture
def briefly(monkeypatch) -> None:
    """Cards and held pictures for a moment only: their length is no matter here."""
    monkeypatch.setattr(rendering, "CARD_S", 0.2)
    monkeypatch.setattr(passages, "_HELD_S", 0.2)


def embedded_in(page: Path, into: Path) -> list[Path]:
    """Write the videos that a page holds into a folder."""
    found = []
    for n, text in enumerate(re.findall(r"data:video/mp4;base64,([A-Za-z0-9+/=]+)", page.read_text(encoding="utf-8"))):
        found.append(into / f"in-page-{n}.mp4")
        found[-1].write_bytes(base64.b64decode(text))
    return found


def check_for_phone(path: Path, with_sound: bool) -> None:
    with av.open(str(path)) as container:
        video = container.streams.video[0]
        assert (video.codec_context.name, video.codec_context.pix_fmt) == ("h264", "yuv420p")
        assert [stream.type for stream in container.streams] == ["video"] + ["audio"] * with_sound
        for stream in container.streams:
            # start of either, as players count it: within a picture of zero
            assert abs(float((stream.start_time or 0) * stream.time_base)) < 1 / 60
            assert not {"creation_time", "location", "make", "comment"} & {*stream.metadata, *container.metadata}
        if with_sound:
            assert container.streams.audio[0].codec_context.name == "aac"
    names = boxes_of(path)
    assert names.index("moov") < names.index("mdat")
    data = path.read_bytes()
    assert not any(word in data for word in (PLACE.encode(), MAKER.encode(), b"bay 4", b"2026-03-14"))


@pytest.mark.parametrize(
    ("form", "with_sound", "most_bytes", "size"),
    [
        (Form.PORTRAIT, False, 16_000_000, (1080, 1920)),
        (Form.LANDSCAPE, True, 16_000_000, (1920, 1080)),
        (Form.PORTRAIT, False, 150_000, (540, 960)),
    ],
)
def test_every_clip_is_what_a_phone_plays_and_tells_nothing_of_its_file(
    pair, tmp_path, briefly, form, with_sound, most_bytes, size
):
    """Of a whole take-home, those in the page too."""
    is_whole = most_bytes == MOST_BYTES
    options = ClipOptions(form, ("impact",), with_sound, most_bytes)
    choice = ClipChoice(options, (form,), with_singles=is_whole and not with_sound)
    out = tmp_path / "out"
    page = write_takehome(TakeHome("Ana", date(2026, 3, 14), pairs=(pair,)), out, choice=choice)
    ((_, files),) = list_all((pair,), choice, TitleCard("Ana", "14 March 2026"))
    wide = "-wide" if form is Form.LANDSCAPE else ""
    kinds = ("first-and-last", "first", "last")[: len(files)]
    names = [f"{n:02d}-face-on-{what}{wide}.mp4" for n, what in enumerate(kinds, 1)]
    assert sorted(path.name for path in out.glob("*.mp4")) == [file.name for file in files] == names
    for file in files:
        path = out / file.name
        check_for_phone(path, with_sound)
        info = probe_video(path)
        assert (info.n_frames, (info.width_px, info.height_px)) == (file.count(), size)
        assert path.stat().st_size <= most_bytes
    in_page = embedded_in(page, tmp_path)
    for path in in_page:
        check_for_phone(path, with_sound=False)
    # both in one, with the pictures of the first file, 30 a second; each alone
    n_apart = count_apart(pair) // 2
    assert sorted(probe_video(path).n_frames for path in in_page) == sorted([files[0].count(), n_apart, n_apart])


def test_it_stands_still_where_asked_and_where_a_drawing_would_not_be_seen(pair, tmp_path, briefly):
    rendered = render_clip(pair, tmp_path / "a.mp4", options=ClipOptions(freeze_at=("top", "impact")))
    held = rendered.instants_s[rendered.is_held]
    assert sorted(set(np.round(held, 2).tolist())) == [-0.1, 0.0, 0.1]
    none = render_clip(pair, tmp_path / "b.mp4", options=ClipOptions(freeze_at=()))
    assert set(np.round(none.instants_s[none.is_held], 2).tolist()) == {0.1}


def test_the_zip_holds_the_folder_and_takes_no_other_files_place(tmp_path):
    bare = TakeHome("Ana", date(2026, 3, 14))
    write_takehome(bare, tmp_path / "out", with_zip=True)
    with zipfile.ZipFile(tmp_path / "out.zip") as found:
        assert sorted(found.namelist()) == ["out/index.html", "out/measures.csv", "out/sheet.pdf"]
        assert found.read("out/index.html") == (tmp_path / "out" / "index.html").read_bytes()
        assert found.testzip() is None
    write_takehome(bare, tmp_path / "out", with_zip=True)
    (tmp_path / "out.zip").write_text("something of the coach's")
    with pytest.raises(BadInputError):
        write_takehome(bare, tmp_path / "out", with_zip=True)
    assert (tmp_path / "out.zip").read_text() == "something of the coach's"
    assert sorted(p.name for p in tmp_path.iterdir()) == ["out", "out.zip"]
