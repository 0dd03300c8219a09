"""What is written plays on a phone, and a stopped run leaves nothing half done."""

import subprocess
from collections.abc import Callable, Iterator
from pathlib import Path

import av
import cv2
import imageio_ffmpeg
import numpy as np
import pytest
from media_clips import HEIGHT_PX, WIDTH_PX, Made, click_at, number_in, picture_of

from review.errors import BadInputError, Cancelled, MachineError
from review.media import Audio, VideoWriter, probe_video, read_audio, read_frames
from review.media.encoder import encoder_error

Getter = Callable[[str], Made]


def write_clip(path: Path, n_frames: int = 40, rate_hz: float = 30.0, audio: Audio | None = None) -> None:
    with VideoWriter(path, WIDTH_PX, HEIGHT_PX, rate_hz, audio) as writer:
        for number in range(n_frames):
            writer.write(picture_of(number))


@pytest.mark.parametrize("rate_hz", [25.0, 29.97, 59.94, 240.0])
def test_every_picture_once_at_its_time(tmp_path: Path, rate_hz: float) -> None:
    write_clip(tmp_path / "o.mp4", rate_hz=rate_hz)
    info = probe_video(tmp_path / "o.mp4")
    assert [number_in(f.rgb) for f in read_frames(info)] == list(range(40))
    np.testing.assert_allclose(info.time_s, np.arange(40) / rate_hz, atol=1e-4)  # its clock ticks below 0.1 ms
    assert read_audio(tmp_path / "o.mp4") is None
    capture = cv2.VideoCapture(str(tmp_path / "o.mp4"))
    assert [number_in(capture.read()[1][:, :, ::-1]) for _ in range(40)] == list(range(40))
    assert [p.name for p in tmp_path.iterdir()] == ["o.mp4"]


def test_form_that_phones_play(tmp_path: Path) -> None:
    """H.264 high, 8-bit 4:2:0, index before the pictures: common practice for phones, no one source."""
    write_clip(tmp_path / "o.mp4", audio=Audio(click_at(0.5, 2.0), 48000, 0.0))
    with av.open(str(tmp_path / "o.mp4")) as container:
        video, sound = container.streams.video[0], container.streams.audio[0]
        assert (video.codec_context.name, video.profile, video.codec_context.pix_fmt) == ("h264", "High", "yuv420p")
        assert video.codec_context.level <= 42
        assert (sound.codec_context.name, sound.codec_context.profile) == ("aac", "LC")
        assert not {"creation_time", "encoder", "comment", "title", "location"} & set(container.metadata)
        first = next(container.decode(video))
        assert (first.colorspace, first.color_range) == (1, 1)  # BT.709, limited range (ITU-T H.273)
    data = (tmp_path / "o.mp4").read_bytes()
    assert data.find(b"moov") < data.find(b"mdat")


def test_whole_pictures_for_players_that_jump(tmp_path: Path) -> None:
    with VideoWriter(tmp_path / "o.mp4", WIDTH_PX, HEIGHT_PX, 30, crf=28, pictures_per_start=8) as writer:
        for number in range(40):
            writer.write(picture_of(number))
    assert [number_in(f.rgb) for f in read_frames(tmp_path / "o.mp4")] == list(range(40))
    with av.open(str(tmp_path / "o.mp4")) as container:
        whole = [n for n, frame in enumerate(container.decode(video=0)) if frame.key_frame]
    assert max(np.diff([*whole, 40])) <= 8


@pytest.mark.parametrize("max_height_px", [None, 64])
def test_colours_survive(tmp_path: Path, max_height_px: int | None) -> None:
    colours = np.array([(200, 50, 20), (20, 180, 60), (30, 60, 200), (128, 128, 128)], dtype=np.uint8)
    picture = np.repeat(np.repeat(colours.reshape(2, 2, 3), 64, axis=0), 128, axis=1)
    with VideoWriter(tmp_path / "c.mp4", 256, 128, 30) as writer:
        for _ in range(3):
            writer.write(picture)
    got = list(read_frames(tmp_path / "c.mp4", max_height_px=max_height_px))[-1].rgb
    shrink = 128 // got.shape[0]
    for y, x in ((32, 64), (32, 192), (96, 64), (96, 192)):
        # 8-bit limited-range 4:2:0 rounds each channel by up to about 3 levels
        np.testing.assert_allclose(got[y // shrink, x // shrink].astype(int), picture[y, x].astype(int), atol=4)


@pytest.mark.parametrize("start_s", [0.0, 0.25, -0.4])
@pytest.mark.parametrize("length_s", [0.9, 5.0])
def test_sound_is_in_step_and_as_long_as_the_pictures(tmp_path: Path, start_s: float, length_s: float) -> None:
    write_clip(tmp_path / "o.mp4", n_frames=60, audio=Audio(click_at(0.8, length_s), 48000, start_s))
    audio = read_audio(tmp_path / "o.mp4")
    assert audio is not None
    knock_s = audio.start_s + int(np.argmax(np.abs(audio.samples))) / 48000
    assert knock_s == pytest.approx(0.8 + start_s, abs=0.001)
    assert audio.duration_s == pytest.approx(2.0, abs=2 * 1024 / 48000)  # AAC codes 1024 samples at a time
    assert probe_video(tmp_path / "o.mp4").n_frames == 60


@pytest.mark.parametrize("stop", [Cancelled("stopped"), KeyboardInterrupt(), RuntimeError("bug")])
def test_a_stopped_run_keeps_what_was_there(tmp_path: Path, stop: BaseException) -> None:
    (tmp_path / "o.mp4").write_bytes(b"the earlier one")
    writer = VideoWriter(tmp_path / "o.mp4", WIDTH_PX, HEIGHT_PX, 30, Audio(click_at(0.5, 1.0), 48000, 0.0))
    with pytest.raises(type(stop)), writer:  # noqa: PT012 - it must stop amid the work
        writer.write(picture_of(0))
        process = writer._process
        raise stop
    assert process is not None
    assert process.poll() is not None
    assert [p.name for p in tmp_path.iterdir()] == ["o.mp4"]
    assert (tmp_path / "o.mp4").read_bytes() == b"the earlier one"


def test_encoder_that_dies_is_reported(tmp_path: Path) -> None:
    writer = VideoWriter(tmp_path / "o.mp4", WIDTH_PX, HEIGHT_PX, 30)
    with pytest.raises(MachineError, match=r"Writing 'o.mp4' in .* failed .* run it again"), writer:  # noqa: PT012
        assert writer._process is not None
        writer._process.kill()
        for number in range(500):
            writer.write(picture_of(number))
    assert not list(tmp_path.iterdir())


def test_missing_encoder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def missing() -> str:
        raise RuntimeError("No ffmpeg exe could be found.")

    monkeypatch.setattr(imageio_ffmpeg, "get_ffmpeg_exe", missing)
    with pytest.raises(MachineError, match="encoder that is installed with this tool, but it is missing"):
        write_clip(tmp_path / "o.mp4")
    monkeypatch.setattr(imageio_ffmpeg, "get_ffmpeg_exe", lambda: str(tmp_path / "no-such-program"))
    with pytest.raises(MachineError, match="Install the tool again"):
        write_clip(tmp_path / "o.mp4")
    assert not list(tmp_path.iterdir())


def test_target_that_cannot_be(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    with pytest.raises(BadInputError, match="is a folder. Add a name"):
        write_clip(tmp_path)
    with pytest.raises(BadInputError, match="does not exist. Make it or choose another"):
        write_clip(tmp_path / "none" / "o.mp4")

    def refuse(*_: object, **__: object) -> None:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "touch", refuse)
    with pytest.raises(MachineError, match="'o.mp4' in .* is not permitted. Choose a folder of yours"):
        write_clip(tmp_path / "o.mp4")


@pytest.fixture
def small_disk(tmp_path: Path) -> Iterator[Path]:
    folder = tmp_path / "disk"
    folder.mkdir()
    try:
        mount = subprocess.run(
            ["mount", "-t", "tmpfs", "-o", "size=128k", "none", str(folder)], capture_output=True, check=False
        )
    except FileNotFoundError:
        pytest.skip("no small disk can be made here")
    if mount.returncode:
        pytest.skip("making a small disk needs the rights to mount")
    try:
        yield folder
    finally:
        subprocess.run(["umount", str(folder)], check=True)


@pytest.mark.parametrize("with_sound", [False, True])
def test_full_disk(small_disk: Path, with_sound: bool) -> None:
    (small_disk / "o.mp4").write_bytes(b"the earlier one")
    noise = np.random.default_rng(3)
    audio = Audio(click_at(0.5, 4.0), 48000, 0.0) if with_sound else None
    with (  # noqa: PT012 - the disk fills up amid the work
        pytest.raises(MachineError, match="the disk is full. Free some space and run it again"),
        VideoWriter(small_disk / "o.mp4", WIDTH_PX, HEIGHT_PX, 30, audio) as writer,
    ):
        for _ in range(60):
            writer.write(noise.integers(0, 255, (HEIGHT_PX, WIDTH_PX, 3)).astype(np.uint8))
    assert [p.name for p in small_disk.iterdir()] == ["o.mp4"]
    assert (small_disk / "o.mp4").read_bytes() == b"the earlier one"


def test_words_for_what_the_encoder_says() -> None:
    """Messages as the bundled encoder and the systems word them (C library and Windows texts, from memory)."""
    path = Path("/somewhere/o.mp4")
    assert "disk is full" in str(encoder_error(path, ["av_interleaved_write_frame(): No space left on device"]))
    assert "disk is full" in str(encoder_error(path, ["There is not enough space on the disk"]))
    assert "not permitted" in str(encoder_error(path, ["o.mp4: Read-only file system"]))
    assert "lacks it" in str(encoder_error(path, ["Unknown encoder 'libx264'"]))
    assert "it gave no reason" in str(encoder_error(path, []))
    assert encoder_error(path, []).exit_code == 3


def test_wrong_use_is_refused(tmp_path: Path) -> None:
    for width, height in ((255, 128), (256, 127), (0, 128)):
        with pytest.raises(ValueError, match="even and positive"):
            VideoWriter(tmp_path / "o.mp4", width, height, 30)
    with pytest.raises(ValueError, match="frame_rate_hz"):
        VideoWriter(tmp_path / "o.mp4", 256, 128, 0)
    with pytest.raises(ValueError, match="with block"):
        VideoWriter(tmp_path / "o.mp4", WIDTH_PX, HEIGHT_PX, 30).write(picture_of(0))
    with pytest.raises(ValueError, match=r"shape \(128, 256, 3\)"), VideoWriter(tmp_path / "o.mp4", 256, 128, 30) as w:
        w.write(np.zeros((64, 64, 3), dtype=np.uint8))
    with pytest.raises(ValueError, match="at least one picture"), VideoWriter(tmp_path / "o.mp4", 256, 128, 30):
        pass
    assert not list(tmp_path.iterdir())
