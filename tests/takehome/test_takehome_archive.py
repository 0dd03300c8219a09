"""Archives that are damaged or made to do harm are refused, each for its own reason."""

import hashlib
import json
import stat
import zipfile
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from review.errors import BadInputError, Cancelled
from review.takehome.archive import Entry, Manifest, open_archive, write_archive
from review.takehome.archive.contents import FORMAT, MANIFEST

CLIP = b"moving pictures" * 1000
CLIP_NAME = f"clips/{hashlib.sha256(CLIP).hexdigest()}.mp4"
ROWS = b'[{"id": "l1"}]'


def write(path: Path) -> Path:
    """An archive as the tool writes it."""
    entries = [Entry("rows/lesson.json", ROWS), Entry(CLIP_NAME, CLIP)]
    write_archive(entries, Manifest(1, "l1", "2026-03-14", {}), path)
    return path


def read_all(path: Path, to: Path) -> None:
    with open_archive(path) as archive:
        archive.read_rows()
        for name in archive.names("clips"):
            archive.copy(name, to / "copied")


def remake(path: Path, change: Callable[[dict[str, bytes], dict[str, Any]], None], **how: Any) -> Path:
    """Write an archive again with changed parts, ``change`` getting them and the manifest."""
    with zipfile.ZipFile(path) as packed:
        parts = {name: packed.read(name) for name in packed.namelist() if name != MANIFEST}
        manifest = json.loads(packed.read(MANIFEST))
    change(parts, manifest)
    with zipfile.ZipFile(path, "w") as packed:
        for name, data in parts.items():
            info = zipfile.ZipInfo(name)
            info.compress_type = how.get("compress", zipfile.ZIP_STORED)
            info.external_attr = how.get("mode", 0o600) << 16
            packed.writestr(info, data)
        packed.writestr(MANIFEST, json.dumps(manifest))
    return path


def note(manifest: dict[str, Any], name: str, data: bytes) -> None:
    manifest["files"][name] = {"sha256": hashlib.sha256(data).hexdigest(), "size": len(data)}


def test_what_is_written_is_read(tmp_path: Path) -> None:
    path = write(tmp_path / "a.zip")
    with open_archive(path) as archive:
        assert archive.read_rows() == {"lesson": [{"id": "l1"}]}
        assert archive.names("clips") == (CLIP_NAME,)
        assert archive.copy(CLIP_NAME, tmp_path / "copied") == ".mp4"
        assert (archive.manifest.lesson_id, archive.size_bytes) == ("l1", len(CLIP) + len(ROWS))
    assert (tmp_path / "copied").read_bytes() == CLIP
    assert write(tmp_path / "b.zip").read_bytes() == path.read_bytes()


@pytest.mark.parametrize(
    "name",
    [
        "../../evil.mp4",
        "/etc/evil",
        "C:/evil.mp4",
        "C:evil.mp4",
        "clips/../../evil.mp4",
        "clips\\..\\evil.mp4",
        "clips/evil.mp4",
        "clips/",
        f"clips/{'A' * 64}.mp4",
        f"clips/{'a' * 64}.mp4/more",
        f"clips/{'a' * 64}.mp4\x00.txt",
        f"clips/{'a' * 64}.mp4 ",
        f"clips/{'a' * 63}\N{FULLWIDTH LATIN SMALL LETTER A}.mp4",
        "rows/../manifest.json",
        "rows/CON.json",
        "MANIFEST.JSON",
        "",
    ],
)
def test_names_that_lead_elsewhere_are_refused(tmp_path: Path, name: str) -> None:
    def change(parts: dict[str, bytes], manifest: dict[str, Any]) -> None:
        parts[name] = b"x"
        note(manifest, name, b"x")

    path = remake(write(tmp_path / "a.zip"), change)
    with pytest.raises(BadInputError, match=r"no archive of a lesson does|not those of its manifest"):
        read_all(path, tmp_path)
    assert {one.name for one in tmp_path.iterdir()} == {"a.zip"}


def test_a_link_is_refused(tmp_path: Path) -> None:
    path = remake(write(tmp_path / "a.zip"), lambda parts, manifest: None, mode=stat.S_IFLNK | 0o777)
    with pytest.raises(BadInputError, match="is a link"):
        read_all(path, tmp_path)


def test_a_part_twice_is_refused(tmp_path: Path) -> None:
    path = write(tmp_path / "a.zip")
    with pytest.warns(UserWarning, match="Duplicate"), zipfile.ZipFile(path, "a") as packed:
        packed.writestr(CLIP_NAME, b"another")
    with pytest.raises(BadInputError, match="in it twice"):
        read_all(path, tmp_path)


def test_a_part_more_or_less_than_the_manifest_says_is_refused(tmp_path: Path) -> None:
    extra = remake(write(tmp_path / "a.zip"), lambda parts, _: parts.update({f"voice/{'a' * 64}.wav": b"x"}))
    with pytest.raises(BadInputError, match="not those of its manifest"):
        read_all(extra, tmp_path)
    less = remake(write(tmp_path / "b.zip"), lambda parts, _: parts.pop(CLIP_NAME) and None)
    with pytest.raises(BadInputError, match="not those of its manifest"):
        read_all(less, tmp_path)


def test_other_bytes_of_the_same_size_are_refused(tmp_path: Path) -> None:
    path = remake(write(tmp_path / "a.zip"), lambda parts, _: parts.update({CLIP_NAME: b"x" * len(CLIP)}))
    with pytest.raises(BadInputError, match="not what the manifest says"):
        read_all(path, tmp_path)


def test_another_size_is_refused_before_anything_is_unpacked(tmp_path: Path) -> None:
    path = remake(write(tmp_path / "a.zip"), lambda parts, _: parts.update({CLIP_NAME: CLIP + b"x"}))
    with pytest.raises(BadInputError, match="has not the size"), open_archive(path):
        pass


def test_text_that_unpacks_to_far_too_much_is_refused(tmp_path: Path) -> None:
    def change(parts: dict[str, bytes], manifest: dict[str, Any]) -> None:
        parts["rows/lesson.json"] = b" " * 20_000_000
        note(manifest, "rows/lesson.json", parts["rows/lesson.json"])
        parts.pop(CLIP_NAME)
        manifest["files"].pop(CLIP_NAME)

    path = remake(write(tmp_path / "a.zip"), change, compress=zipfile.ZIP_DEFLATED)
    assert path.stat().st_size < 50_000
    with pytest.raises(BadInputError, match="far too much"), open_archive(path):
        pass


def test_a_clip_that_is_packed_is_refused(tmp_path: Path) -> None:
    path = remake(write(tmp_path / "a.zip"), lambda parts, _: None, compress=zipfile.ZIP_DEFLATED)
    with pytest.raises(BadInputError, match="packed in a way"), open_archive(path):
        pass


def test_a_declared_size_that_is_a_lie_is_refused(tmp_path: Path) -> None:
    """The clip's size in the list at the end says less than what lies there."""
    path = write(tmp_path / "a.zip")
    data = bytearray(path.read_bytes())
    with zipfile.ZipFile(path) as packed:
        info = packed.getinfo(CLIP_NAME)
    at = data.rindex(CLIP_NAME.encode()) - 46 + 20
    assert int.from_bytes(data[at : at + 4], "little") == info.file_size
    for place in (at, at + 4):
        data[place : place + 4] = (100).to_bytes(4, "little")
    path.write_bytes(data)
    with pytest.raises(BadInputError):
        read_all(path, tmp_path)


@pytest.mark.parametrize("keep", [0, 1, 50, 0.3, 0.9, 0.999])
def test_broken_off_is_refused(tmp_path: Path, keep: float) -> None:
    path = write(tmp_path / "a.zip")
    data = path.read_bytes()
    path.write_bytes(data[: keep if isinstance(keep, int) else int(keep * len(data))])
    with pytest.raises(BadInputError, match="broken off"):
        read_all(path, tmp_path)


def test_every_flipped_byte_is_refused_or_harmless(tmp_path: Path) -> None:
    path = write(tmp_path / "a.zip")
    data = path.read_bytes()
    for place in range(0, len(data), 97):
        path.write_bytes(data[:place] + bytes([data[place] ^ 0xFF]) + data[place + 1 :])
        try:
            read_all(path, tmp_path)
        except BadInputError:
            continue
        assert (tmp_path / "copied").read_bytes() == CLIP  # a date or the like


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (lambda m: m.update(version=2), "newer version"),
        (lambda m: m.update(format="another"), "of another kind"),
        (lambda m: m.pop("lesson"), "cannot be understood"),
        (lambda m: m.update(files=[]), "cannot be understood"),
        (lambda m: m.update(version="x"), "cannot be understood"),
    ],
)
def test_other_manifests_are_refused(tmp_path: Path, change: Callable[[dict[str, Any]], None], words: str) -> None:
    path = remake(write(tmp_path / "a.zip"), lambda _, manifest: change(manifest))
    with pytest.raises(BadInputError, match=words), open_archive(path):
        pass


def test_a_number_without_end_in_a_manifest_is_refused(tmp_path: Path) -> None:
    """Standard JSON that Python reads as infinity, which is no whole number."""
    path = tmp_path / "a.zip"
    with zipfile.ZipFile(path, "w") as packed:
        packed.writestr(MANIFEST, json.dumps({"format": FORMAT, "version": "@"}).replace('"@"', "1e999"))
    with pytest.raises(BadInputError, match="cannot be understood"), open_archive(path):
        pass


@pytest.mark.parametrize("text", [b"[" * 100_000, b"[NaN]", b"\xff\xfe", b"[1"])
def test_rows_that_are_no_json_are_refused(tmp_path: Path, text: bytes) -> None:
    def change(parts: dict[str, bytes], manifest: dict[str, Any]) -> None:
        parts["rows/lesson.json"] = text
        note(manifest, "rows/lesson.json", text)

    path = remake(write(tmp_path / "a.zip"), change)
    with pytest.raises(BadInputError, match="cannot be understood"):
        read_all(path, tmp_path)


def test_cancelled_writing_leaves_what_was_there(tmp_path: Path) -> None:
    path = write(tmp_path / "a.zip")
    before = path.read_bytes()
    film = tmp_path / "film"
    film.write_bytes(CLIP)

    def cancel(done: int, total: int) -> None:
        raise Cancelled("stopped")

    with pytest.raises(Cancelled):
        write_archive([Entry(CLIP_NAME, film)], Manifest(1, "l2", "2026-03-14", {}), path, cancel)
    assert path.read_bytes() == before
    assert {one.name for one in tmp_path.iterdir()} == {"a.zip", "film"}
