"""Every clip handed out, probed: codec, pixels, number of pictures, start of sound, order of boxes, no place."""

import struct
import subprocess
import zipfile
from pathlib import Path

import av
import imageio_ffmpeg
import numpy as np
import pytest

from review.errors import BadInputError
from review.lesson import Drawing, DrawingKind, KeyFrame
from review.media import Audio, VideoWriter, probe_video
from review.takehome import ClipOptions, ClipSide, Form, Pair, TitleCard, render_clip
from review.takehome.clips.files import ClipChoice, list_all
from review.takehome.zipped import write_zip

PLACE, MAKER = "+48.8577+002.295/", "Some Maker 7"
RATE_HZ, N, IMPACT_S = 30, 36, 0.8


@pytest.fixture(scope="module")
def pair(tmp_path_factory) -> Pair:
    folder = tmp_path_factory.mktemp("clips")
    sides = []
    for batch in (1, 2):
        plain = folder / f"plain-{batch}.mp4"
        sound = Audio(np.sin(np.arange(48000 * 12 // 10) / 9).astype(np.float32) / 2, 48000, 0.0)
        with VideoWriter(plain, 180, 320, RATE_HZ, sound) as writer:
            for i in range(N):
                writer.write(np.full((320, 180, 3), 40 + 3 * i, np.uint8))
        tagged = folder / f"{batch}.mov"
        tags = {"creation_time": "2026-03-14T09:16:22Z", "location": PLACE, "make": MAKER, "comment": "bay 4"}
        marks = [part for key, value in tags.items() for part in ("-metadata", f"{key}={value}")]
        program = [imageio_ffmpeg.get_ffmpeg_exe(), "-y", "-loglevel", "error"]
        subprocess.run([*program, "-i", str(plain), "-c", "copy", *marks, str(tagged)], check=True)
        names = (("address", -0.4), ("top", -0.2), ("impact", 0.0), ("finish", 0.2))
        frames = tuple(KeyFrame(name, IMPACT_S + gap, 0, 0.9, "pose") for name, gap in names)
        brief = Drawing("d", DrawingKind.CIRCLE, ((0.5, 0.5), (0.7, 0.5)), IMPACT_S + 0.1, IMPACT_S + 0.1)
        drawn = (brief,) if batch == 1 else ()
        lines = ("Hip turn at impact: open 25°",)
        sides.append(ClipSide(tagged, f"Batch {batch}", batch, IMPACT_S, frames, lines=lines, drawings=drawn))
    return Pair(sides[0], sides[1], "face-on", "made up")


def boxes_of(path: Path) -> list[str]:
    """Names of the outermost boxes (ISO/IEC 14496-12, 4.2)."""
    data, names, at = path.read_bytes(), [], 0
    while at < len(data):
        size, name = struct.unpack(">I4s", data[at : at + 8])
        names.append(name.decode())
        at += size if size > 1 else struct.unpack(">Q", data[at + 8 : at + 16])[0] if size else len(data)
    return names


@pytest.mark.parametrize("form", list(Form))
@pytest.mark.parametrize("with_sound", [False, True])
def test_every_clip_is_what_a_phone_plays_and_tells_nothing_of_its_file(pair, tmp_path, form, with_sound):
    choice = ClipChoice(ClipOptions(freeze_at=("impact",), with_sound=with_sound), (form,))
    card = TitleCard("Ana", "14 March 2026", "hips")
    ((_, files),) = list_all((pair,), choice, card)
    wide = "-wide" if form is Form.LANDSCAPE else ""
    assert [f.name for f in files] == [
        f"{n:02d}-face-on-{what}{wide}.mp4" for n, what in enumerate(("first-and-last", "first", "last"), 1)
    ]
    for file in files[: 1 if with_sound else 3]:
        rendered = file.write(tmp_path, lambda *_: None)
        path = tmp_path / file.name
        with av.open(str(path)) as container:
            video = container.streams.video[0]
            assert (video.codec_context.name, video.codec_context.pix_fmt) == ("h264", "yuv420p")
            assert (video.width, video.height) == ((1080, 1920) if form is Form.PORTRAIT else (1920, 1080))
            assert bool(container.streams.audio) is with_sound
            for stream in container.streams:
                # start of either, as players count it: within a picture of zero
                assert abs(float((stream.start_time or 0) * stream.time_base)) < 1 / 30
                assert not {"creation_time", "location", "make", "comment"} & {*stream.metadata, *container.metadata}
            if with_sound:
                assert container.streams.audio[0].codec_context.name == "aac"
        assert probe_video(path).n_frames == len(rendered.instants_s) == file.count()
        names = boxes_of(path)
        assert names.index("moov") < names.index("mdat")
        data = path.read_bytes()
        assert not any(word in data for word in (PLACE.encode(), MAKER.encode(), b"bay 4", b"2026-03-14"))
        assert len(data) < 16_000_000


def test_it_stands_still_where_asked_and_where_a_drawing_would_not_be_seen(pair, tmp_path):
    rendered = render_clip(pair, tmp_path / "a.mp4", options=ClipOptions(freeze_at=("top", "impact")))
    held = rendered.instants_s[rendered.is_held]
    assert sorted(set(np.round(held, 2).tolist())) == [-0.2, 0.0, 0.1]
    none = render_clip(pair, tmp_path / "b.mp4", options=ClipOptions(freeze_at=()))
    assert set(np.round(none.instants_s[none.is_held], 2).tolist()) == {0.1}


def test_the_zip_holds_the_folder_and_takes_no_other_files_place(tmp_path):
    folder = tmp_path / "out"
    folder.mkdir()
    for name in ("index.html", "01-a.mp4", ".take-home"):
        (folder / name).write_text(name)
    with zipfile.ZipFile(write_zip(folder)) as found:
        assert sorted(found.namelist()) == ["out/01-a.mp4", "out/index.html"]
        assert found.read("out/index.html") == b"index.html"
        assert found.testzip() is None
    write_zip(folder)
    (tmp_path / "out.zip").write_text("something of the coach's")
    with pytest.raises(BadInputError):
        write_zip(folder)
    assert (tmp_path / "out.zip").read_text() == "something of the coach's"
    assert sorted(p.name for p in tmp_path.iterdir()) == ["out", "out.zip"]
