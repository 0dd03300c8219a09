"""Every file that cannot be used says what was expected, what was found and what to do."""

import socket
from collections.abc import Callable
from pathlib import Path

import pytest
from media_clips import Made, run_ffmpeg

from review.errors import BadInputError, MachineError
from review.media import FrameReader, probe_video, read_audio, read_frames

Getter = Callable[[str], Made]


def test_missing(tmp_path: Path) -> None:
    with pytest.raises(BadInputError, match="Expected a video file, but .*none.mp4' does not exist. Check the name"):
        probe_video(tmp_path / "none.mp4")


def test_folder(tmp_path: Path) -> None:
    with pytest.raises(BadInputError, match="is a folder. Give the clip inside it"):
        probe_video(tmp_path)


def test_empty(tmp_path: Path) -> None:
    (tmp_path / "e.mp4").touch()
    with pytest.raises(BadInputError, match=r"'e.mp4' is empty \(0 bytes\)"):
        probe_video(tmp_path / "e.mp4")


def test_text(tmp_path: Path) -> None:
    (tmp_path / "t.mp4").write_text("this is a shopping list\n" * 50)
    with pytest.raises(BadInputError, match="content of 't.mp4' is something else. Give the clip as the camera"):
        probe_video(tmp_path / "t.mp4")


def test_random_bytes(tmp_path: Path) -> None:
    (tmp_path / "r.mov").write_bytes(bytes(range(256)) * 64)
    with pytest.raises(BadInputError, match="something else"):
        probe_video(tmp_path / "r.mov")


def _cut(source: Path, target: Path, n_bytes: int) -> Path:
    target.write_bytes(source.read_bytes()[:n_bytes])
    return target


def test_cut_short_without_its_table(made: Getter, tmp_path: Path) -> None:
    cut = _cut(made("h264_b_frames").path, tmp_path / "c.mp4", 10_000)
    with pytest.raises(BadInputError, match=r"'c.mp4' is cut short \(the table of its frames is missing\). Copy it"):
        probe_video(cut)


@pytest.mark.parametrize("n_bytes", [10_000, -2_000])
def test_cut_short_with_the_table_in_front(made: Getter, tmp_path: Path, n_bytes: int) -> None:
    run_ffmpeg("-i", str(made("h264_b_frames").path), "-c", "copy", "-movflags", "+faststart", str(tmp_path / "f.mp4"))
    cut = _cut(tmp_path / "f.mp4", tmp_path / "c.mp4", n_bytes)
    with pytest.raises(BadInputError, match=r"'c.mp4' is cut short \(\d+ of its samples lie beyond its end\)"):
        probe_video(cut)


@pytest.mark.parametrize("name", ["h264_open_gop", "avi", "transport_stream"])
def test_cut_short_in_other_containers(made: Getter, tmp_path: Path, name: str) -> None:
    source = made(name).path
    cut = _cut(source, tmp_path / f"c{source.suffix}", source.stat().st_size // 3 // 188 * 188 + 50)
    with pytest.raises(BadInputError, match="is cut short"):
        probe_video(cut)


def test_sound_only(made: Getter, tmp_path: Path) -> None:
    run_ffmpeg("-i", str(made("h264_b_frames").path), "-vn", "-c", "copy", str(tmp_path / "s.m4a"))
    with pytest.raises(BadInputError, match="'s.m4a' holds sound only. Give the clip that shows the swing"):
        probe_video(tmp_path / "s.m4a")


def test_not_permitted(made: Getter, monkeypatch: pytest.MonkeyPatch) -> None:
    """Simulated, as tests may run as a user whom no permission stops."""

    def refuse(*_: object, **__: object) -> None:
        raise PermissionError(13, "Permission denied")

    path = made("h264_b_frames").path
    monkeypatch.setattr(Path, "open", refuse)
    with pytest.raises(MachineError, match="may not be read by this user"):
        probe_video(path)


@pytest.mark.parametrize("address", ["http://127.0.0.1:9/a.mp4", "rtsp://127.0.0.1/a", "concat:a.mp4|b.mp4"])
def test_addresses_are_refused_without_opening_a_socket(address: str, monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(*_: object, **__: object) -> None:
        raise AssertionError("a socket was opened")

    monkeypatch.setattr(socket, "socket", refuse)
    with pytest.raises(BadInputError, match="found the address .* Save the clip to this computer"):
        probe_video(address)


@pytest.mark.parametrize(
    ("name", "text"),
    [
        ("list.m3u8", "#EXTM3U\n#EXT-X-TARGETDURATION:9\n#EXTINF:3,\n{clip}\n#EXT-X-ENDLIST\n"),
        ("list.mp4", "#EXTM3U\n#EXT-X-TARGETDURATION:9\n#EXTINF:3,\n{clip}\n#EXT-X-ENDLIST\n"),
        ("list.txt", "ffconcat version 1.0\nfile {clip}\n"),
        ("list.mp4", "ffconcat version 1.0\nfile {clip}\n"),
    ],
)
def test_playlists_are_not_followed(made: Getter, tmp_path: Path, name: str, text: str) -> None:
    (tmp_path / name).write_text(text.format(clip=made("transport_stream").path))
    with pytest.raises(BadInputError, match="something else"):
        probe_video(tmp_path / name)


def test_a_name_that_reads_like_a_protocol_is_just_a_name(made: Getter, tmp_path: Path) -> None:
    path = tmp_path / "concat:a.mp4"
    path.write_bytes(made("one_keyframe").path.read_bytes())
    assert probe_video(path).n_frames == 60


def test_all_readers_refuse_alike(tmp_path: Path) -> None:
    (tmp_path / "t.mp4").write_text("no video")
    for read in (probe_video, read_frames, read_audio, FrameReader):
        with pytest.raises(BadInputError, match="something else"):
            read(tmp_path / "t.mp4")


def test_damage_inside_never_gives_a_wrong_number(made: Getter, tmp_path: Path) -> None:
    """Overwritten in the middle: either all frames come, in order, or it is said that the clip is damaged."""
    data = bytearray(made("h264_b_frames").path.read_bytes())
    middle = len(data) // 3
    data[middle : middle + 3000] = bytes(3000)
    path = tmp_path / "d.mp4"
    path.write_bytes(data)
    got: list[int] = []
    with pytest.raises(BadInputError, match=r"'d.mp4' is damaged"):  # noqa: PT012 - frames before it must come
        for frame in read_frames(path):
            got.append(frame.index)
    assert got == list(range(len(got)))
