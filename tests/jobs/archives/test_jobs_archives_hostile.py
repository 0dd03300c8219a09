"""Rows made to do harm, and runs killed at any moment: the library is what it was, or has the whole lesson."""

import base64
import hashlib
import io
import json
import multiprocessing
import os
import random
import signal
import sys
import time
import zipfile
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from packed_lessons import fill, make_film

from review.errors import BadInputError, Cancelled, MachineError
from review.jobs.archives.packing import pack_lesson
from review.jobs.archives.unpacking import unpack_lesson
from review.library import Library
from review.takehome.archive.contents import MANIFEST

_KILLS = 20


@pytest.fixture(scope="module")
def archive(tmp_path_factory: pytest.TempPathFactory) -> Path:
    place = tmp_path_factory.mktemp("home")
    with Library.open(place / "home") as home:
        fill(home, place / "films")
        pack_lesson(home, home.lesson("l1"), place / "a.zip")
    return place / "a.zip"


def remake(archive: Path, to: Path, change: Callable[[dict[str, Any]], None]) -> Path:
    """Write the archive with other rows whose hashes fit, as somebody would who means harm."""
    with zipfile.ZipFile(archive) as packed:
        parts = {name: packed.read(name) for name in packed.namelist()}
    manifest = json.loads(parts.pop(MANIFEST))
    rows = {name[5:-5]: json.loads(data) for name, data in parts.items() if name.startswith("rows/")}
    change(rows)
    parts |= {f"rows/{table}.json": json.dumps(listed).encode() for table, listed in rows.items()}
    for name, data in parts.items():
        manifest["files"][name] = {"sha256": hashlib.sha256(data).hexdigest(), "size": len(data)}
    with zipfile.ZipFile(to, "w") as packed:
        for name, data in parts.items():
            packed.writestr(name, data)
        packed.writestr(MANIFEST, json.dumps(manifest))
    return to


def bomb() -> str:

    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as file:
        file.writestr("time_s.npy", bytes(120_000_000))
    return base64.b64encode(packed.getvalue()).decode()


def set_first(table: str, column: str, value: Any) -> Callable[[dict[str, Any]], None]:
    return lambda rows: rows[table][0].update({column: value})


@pytest.mark.parametrize(
    "change",
    [
        lambda rows: rows.update({"sqlite_master": [{"name": "x"}]}),
        lambda rows: rows.update({"handout": [{"lesson_id": "l1", "what": "x", "to_whom": "y", "handed_at": "z"}]}),
        lambda rows: rows["pupil"].append(dict(rows["pupil"][0], id="p2")),
        lambda rows: rows["lesson"].append(dict(rows["lesson"][0], id="l2")),
        lambda rows: rows["pupil"].clear(),
        set_first("clip", "content", "0" * 64),
        lambda rows: rows.update(clip="text"),
        lambda rows: rows.update(clip=[1, 2]),
        set_first("clip", "file", "../../library.db"),
        set_first("clip", "file", "clips/" + "0" * 64 + ".mp4"),
        set_first("voice", "file", "library.db"),
        set_first("clip", "id) VALUES (1); DROP TABLE pupil; --", "x"),
        set_first("clip", "swing_id", "another"),
        set_first("clip", "duration_s", "long"),
        set_first("clip", "duration_s", float("1e308") * 10),
        set_first("clip", "n_frames", 10**40),
        set_first("clip", "strikes", "[[[["),
        set_first("swing", "kind", "flight"),
        set_first("swing", "position", None),
        set_first("measure", "name", "no such number"),
        set_first("measure", "own_sd", -1.0),
        set_first("key_frame", "certainty", 7.0),
        set_first("pupil", "handedness", "both"),
        set_first("pupil", "name", "  "),
        set_first("pupil", "name", "\ud800"),
        set_first("lesson", "held_on", "yesterday"),
        set_first("trace", "samples", {"base64": "%%%"}),
        set_first("trace", "samples", {"base64": bomb()}),
        set_first("trace", "samples", "text"),
        set_first("drawing", "points", "[[0, 1]]"),
    ],
)
def test_harmful_rows_change_nothing(tmp_path: Path, archive: Path, change: Callable[[dict[str, Any]], None]) -> None:
    path = remake(archive, tmp_path / "b.zip", change)
    with Library.open(tmp_path / "away") as away:
        with pytest.raises(BadInputError):
            unpack_lesson(away, path)
        assert away.pupils() == ()
        assert list((tmp_path / "away" / "clips").iterdir()) == []
        assert away._execute("SELECT COUNT(*) FROM stored").fetchone()[0] == 0


@pytest.mark.parametrize(
    ("content", "n_frames", "words"),
    [
        (b"MZ" + bytes(5000), 9, "cannot be played as a video"),
        (make_film()[:-400], 9, "cannot be played as a video"),
        (make_film(), 8, "has 9 frames and should have 8"),
    ],
)
def test_a_clip_is_looked_into_and_not_taken_by_its_name(
    tmp_path: Path, archive: Path, content: bytes, n_frames: int, words: str
) -> None:
    """Hashes and names fit; what the file holds does not."""

    def change(parts: dict[str, bytes]) -> None:
        old = next(name for name in parts if name.startswith("clips/"))
        new = f"clips/{hashlib.sha256(content).hexdigest()}.mp4"
        del parts[old]
        parts[new] = content
        rows = json.loads(parts["rows/clip.json"])
        for row in (row for row in rows if row["file"] == old):
            row.update(file=new, sha256=Path(new).stem, content=Path(new).stem, n_frames=n_frames)
        parts["rows/clip.json"] = json.dumps(rows).encode()

    with zipfile.ZipFile(archive) as packed:
        parts = {name: packed.read(name) for name in packed.namelist()}
    manifest = json.loads(parts.pop(MANIFEST))
    change(parts)
    manifest["files"] = {n: {"sha256": hashlib.sha256(d).hexdigest(), "size": len(d)} for n, d in parts.items()}
    with zipfile.ZipFile(tmp_path / "b.zip", "w") as packed:
        for name, data in {**parts, MANIFEST: json.dumps(manifest).encode()}.items():
            packed.writestr(name, data)
    with Library.open(tmp_path / "away") as away:
        with pytest.raises(BadInputError, match=words):
            unpack_lesson(away, tmp_path / "b.zip")
        assert away.pupils() == ()
        # those before it are swept by the next run, as after one that was killed
        there = {path.stem for path in (tmp_path / "away" / "clips").iterdir()}
        assert hashlib.sha256(content).hexdigest() not in there


def test_too_little_room_changes_nothing(tmp_path: Path, archive: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    with Library.open(tmp_path / "away") as away:
        monkeypatch.setattr("shutil.disk_usage", lambda _: type("Usage", (), {"free": 1000})())
        with pytest.raises(MachineError, match="too full"):
            unpack_lesson(away, archive)
        assert away.pupils() == ()


def test_cancelled_reading_in_leaves_nothing(tmp_path: Path, archive: Path) -> None:
    def cancel(done: int, total: int) -> None:
        if done > total // 2:
            raise Cancelled("stopped")

    with Library.open(tmp_path / "away") as away, pytest.raises(Cancelled):
        unpack_lesson(away, archive, progress=cancel)
    with Library.open(tmp_path / "away") as away:
        assert away.pupils() == ()
        left = [one.name for one in (tmp_path / "away" / "clips").iterdir() if one.suffix == ".part"]
        assert left == []


def _unpack_slowly(folder: Path, archive: Path, ready: Any) -> None:
    with Library.open(folder) as library:
        ready.set()
        unpack_lesson(library, archive, progress=lambda done, total: time.sleep(0.003))


def _pack_slowly(folder: Path, to: Path, ready: Any) -> None:
    with Library.open(folder) as library:
        ready.set()
        pack_lesson(library, library.lesson("l1"), to, progress=lambda done, total: time.sleep(0.003))


def _kill_in(run: Callable[..., None], arguments: tuple[Any, ...], after_s: float) -> None:
    context = multiprocessing.get_context("fork")
    ready = context.Event()
    process = context.Process(target=run, args=(*arguments, ready))
    process.start()
    assert ready.wait(60)
    time.sleep(after_s)
    assert process.pid is not None
    os.kill(process.pid, signal.SIGKILL)
    process.join()


@pytest.mark.skipif(sys.platform in ("win32", "darwin"), reason="needs fork, so that starting takes no time")
def test_killed_at_any_moment_the_lesson_is_whole_or_not_there(tmp_path: Path, archive: Path) -> None:
    moments = random.Random(5)
    n_whole = 0
    for i in range(_KILLS):
        folder = tmp_path / str(i)
        _kill_in(_unpack_slowly, (folder, archive), moments.uniform(0.0, 0.25))
        with Library.open(folder) as away:
            assert away._execute("SELECT COUNT(*) FROM stored").fetchone()[0] == 0
            held = {str(one.relative_to(folder)) for name in ("clips", "voice") for one in (folder / name).iterdir()}
            if away.lessons():
                n_whole += 1
                rows = away.rows_of_lesson("l1")
                assert {len(rows[name]) for name in ("swing", "clip", "shot", "trace")} == {6}
                assert held == {row["file"] for name in ("clip", "voice") for row in rows[name]}
            else:
                assert away.pupils() == ()
                assert held == set()
            unpack_lesson(away, archive)  # again: whole now, whatever was there
            assert sum(1 for _ in (folder / "derived" / "landmarks").glob("*.npz")) == 6
    assert n_whole < _KILLS  # some were killed in the middle


@pytest.mark.skipif(sys.platform in ("win32", "darwin"), reason="needs fork, so that starting takes no time")
def test_packing_killed_at_any_moment_leaves_the_earlier_archive(tmp_path: Path) -> None:
    home = tmp_path / "home"
    with Library.open(home) as library:
        fill(library, tmp_path / "films")
        pack_lesson(library, library.lesson("l1"), tmp_path / "a.zip")
    before = (tmp_path / "a.zip").read_bytes()
    moments = random.Random(6)
    for _ in range(_KILLS):
        _kill_in(_pack_slowly, (home, tmp_path / "a.zip"), moments.uniform(0.0, 0.1))
        assert (tmp_path / "a.zip").read_bytes() == before
    with Library.open(home) as library:
        pack_lesson(library, library.lesson("l1"), tmp_path / "a.zip")
    assert (tmp_path / "a.zip").read_bytes() == before
    assert [one.name for one in tmp_path.glob(".*")] == []  # what the killed ones left is swept
