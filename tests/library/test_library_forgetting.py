"""Forgetting a pupil: no byte left in any file, nothing of another pupil touched, finished after any stop."""

import io
import multiprocessing
import os
import shutil
import signal
import sqlite3
import sys
import zipfile
from dataclasses import replace
from datetime import date, datetime
from pathlib import Path

import numpy as np
import pytest
from library_samples import clip, lesson, measure, shot, swing, trace

from review.errors import BadInputError, MachineError
from review.lesson import (
    Batch,
    Consent,
    Drawing,
    DrawingKind,
    Handedness,
    KeyFrame,
    Pupil,
    Purpose,
    Said,
    Voice,
    VoiceOf,
)
from review.library import Forgotten, Library, rows

_SHARED = b"a clip that shows both pupils" * 40


def _secret(owner: str, what: str) -> str:
    return f"{owner}-{what}-zq7"


_WHAT = (
    "name",
    "note",
    "guardian",
    "consent",
    "place",
    "aim",
    "cue",
    "feel",
    "plan",
    "alone",
    "original",
    "extra",
    "table",
    "mark",
    "setup",
    "why",
    "words",
    "handed",
    "whom",
    "array",
    "marked",
    "player",
    "held",
    "voice",
)


def _add(library: Library, owner: str, originals: Path) -> None:
    """Everything that a library can keep of a pupil, each with words of its own."""

    def s(what: str) -> str:
        return _secret(owner, what)

    with library.transaction():
        consent = Consent(s("consent"), date(2026, 1, 1), frozenset(Purpose))
        library.add_pupil(Pupil(owner, s("name"), Handedness.LEFT, 1.5, consent, True, s("guardian"), s("note")))
        batch = Batch(f"{owner}-b1", 1, None, s("cue"), s("feel"))
        library.add_lesson(
            lesson(
                f"{owner}-l",
                owner,
                place=s("place"),
                aim=s("aim"),
                batches=(batch,),
                practice_plan=(s("plan"),),
                check_alone=s("alone"),
            )
        )
    for name, content in (("own", f"{owner}-clip-zq7".encode() * 5000), ("shared", _SHARED)):
        path = originals / f"{owner} {name}.mp4"
        path.write_bytes(content)
        sha256, file = library.store_clip_file(path)
        kept = replace(clip(f"{owner}-{name}", sha256), file=file, original_name=s("original"))
        library.add_clip(f"{owner}-l", kept)
        library.save_arrays(
            "landmarks",
            sha256,
            {"a": np.arange(9)},
            {"who": s("array") if name == "own" else "both"},
            clip_content=sha256,
        )
    clips = library.clips(f"{owner}-l")
    row = replace(shot(f"{owner}-r", 1), table=s("table"), extra={"x": s("extra")})
    library.add_shots(f"{owner}-l", [row])
    library.replace_swings(f"{owner}-l", [swing(f"{owner}-s", 1, clips=clips, shot=row, trace=trace(f"{owner}-t"))])
    library.set_key_frames(clips[0].id, [KeyFrame(s("mark"), 1.0, 60, 1.0, "coach", s("of the mark"))])
    library.set_measures(f"{owner}-s", [replace(measure(), setup=s("setup"), why_missing=s("why"))], "body 1")
    library.add_drawing(clips[0].id, Drawing("d", DrawingKind.TEXT, ((0.5, 0.5),), 0, 1, s("words")))
    library.set_camera_setup(f"{owner}-l", "face-on", s("marked"))
    library.set_player_setup(f"{owner}-l", "face-on", "full", s("player"), s("held"))
    file = library.store_voice(lambda aside: f".{aside.write_text(s('voice')) and 'flac'}")
    library.add_voice(f"{owner}-l", Voice(f"{owner}-v", file, 2.0, datetime(2026, 3, 14, 10, 0), is_pupils=False))
    library.say(f"{owner}-l", [Said(f"{owner}-b1", VoiceOf.CUE.said_as, f"{owner}-v")])
    library.note_handout(f"{owner}-l", s("handed"), s("whom"), datetime(2026, 3, 14, 18, 0))


def _fill(folder: Path, originals: Path) -> None:
    originals.mkdir(exist_ok=True)
    with Library.open(folder) as library:
        _add(library, "anna", originals)
        _add(library, "bert", originals)


def _bytes_of(folder: Path) -> bytes:
    """Everything in the library's files: as it lies there, and what is packed in arrays."""
    content = []
    for path in sorted(p for p in folder.rglob("*") if p.is_file()):
        content += [path.name.encode(), path.read_bytes()]
        if path.suffix == ".npz":
            with zipfile.ZipFile(io.BytesIO(content[-1])) as packed:
                # texts lie there with four bytes a letter
                content += [packed.read(name).replace(b"\0", b"") for name in packed.namelist()]
    return b"\n".join(content)


def _left(folder: Path, owner: str) -> list[str]:
    content = _bytes_of(folder)
    found = [what for what in (*_WHAT, "clip") if _secret(owner, what).encode() in content]
    if owner.encode() in content:
        found.append("id")
    return found


def _check_only_bert(folder: Path) -> None:
    assert _left(folder, "anna") == []
    assert set(_left(folder, "bert")) == {*_WHAT, "clip", "id"}
    with Library.open(folder) as library:
        assert [p.id for p in library.pupils()] == ["bert"]
        assert {c.id for c in library.swings("bert-l")[0].clips} == {"bert-own", "bert-shared"}
        for each in library.clips("bert-l"):
            assert library.path_of(each).is_file()
            assert library.load_arrays("landmarks", each.sha256) is not None
        assert library._connection.execute("PRAGMA integrity_check").fetchone()[0] == "ok"
        assert library._connection.execute("PRAGMA foreign_key_check").fetchall() == []
        assert library._connection.execute("SELECT COUNT(*) FROM chore").fetchone()[0] == 0
    assert len(list((folder / "clips").iterdir())) == 2
    assert len([p for p in (folder / "derived").rglob("*") if p.is_file()]) == 2


def test_no_byte_of_the_pupil_is_left_and_the_other_is_whole(tmp_path: Path) -> None:
    folder = tmp_path / "library"
    _fill(folder, tmp_path / "originals")
    # the search finds everything as long as it is there
    assert set(_left(folder, "anna")) == {*_WHAT, "clip", "id"}
    originals = {p: p.read_bytes() for p in (tmp_path / "originals").iterdir()}
    with Library.open(folder) as library:
        samples = rows.from_trace(trace("anna-t"), "")["samples"]
        expected = library.look_before_forgetting("anna")
        forgotten = library.forget_pupil("anna")
        assert forgotten == expected
        assert _left(folder, "anna") == []  # also while the library is still open, its log included
        assert library._connection.execute("SELECT COUNT(*) FROM trace").fetchone()[0] == 1
        assert _bytes_of(folder).count(samples[:200]) <= 1
        with pytest.raises(BadInputError, match="no longer"):
            library.forget_pupil("anna")
    assert forgotten == Forgotten("anna", 1, 1, ("anna-handed-zq7, to anna-whom-zq7 on 2026-03-14",), 1)
    _check_only_bert(folder)
    assert {p: p.read_bytes() for p in (tmp_path / "originals").iterdir()} == originals


def test_both_forgotten_takes_the_shared_clip_too(tmp_path: Path) -> None:
    folder = tmp_path / "library"
    _fill(folder, tmp_path / "originals")
    with Library.open(folder) as library:
        library.forget_pupil("anna")
        assert _SHARED in _bytes_of(folder)
        library.forget_pupil("bert")
        assert _SHARED not in _bytes_of(folder)
    assert [p for p in folder.rglob("*") if p.is_file()] == [folder / "library.db"]


def test_derived_files_nobody_noted_go_too(tmp_path: Path) -> None:
    folder = tmp_path / "library"
    _fill(folder, tmp_path / "originals")
    stray = folder / "derived" / "landmarks" / "written-without-a-note.npz"
    np.savez_compressed(stray, who=np.array(_secret("anna", "array")))
    assert "array" in _left(folder, "anna")
    with Library.open(folder) as library:
        # what a measuring run writes for a clip that has gone meanwhile
        library.save_arrays("landmarks", "late", {"a": np.arange(3)}, {"who": "anna"}, clip_content="f" * 64)
        library.forget_pupil("anna")
    _check_only_bert(folder)


def test_a_row_that_leads_outside_the_library_removes_nothing_there(tmp_path: Path) -> None:
    folder = tmp_path / "library"
    _fill(folder, tmp_path / "originals")
    original = tmp_path / "originals" / "anna own.mp4"
    with Library.open(folder) as library:
        for i, file in enumerate((str(original), "../originals/anna own.mp4", "", ".")):
            library.add_clip("anna-l", replace(clip(f"x{i}"), file=file))
        library.forget_pupil("anna")
    assert original.exists()
    _check_only_bert(folder)


def test_clip_that_another_run_is_bringing_in_stays(tmp_path: Path) -> None:
    folder = tmp_path / "library"
    _fill(folder, tmp_path / "originals")
    with Library.open(folder) as library:
        own = next(c for c in library.clips("anna-l") if c.id == "anna-own")
        library.store_clip_file(tmp_path / "originals" / "anna own.mp4")
        library._connection.execute("UPDATE stored SET process = ?", (os.getppid(),))
        library.forget_pupil("anna")
        assert library.path_of(own).exists()


@pytest.mark.skipif(sys.platform == "win32", reason="there a stray goes when its note is a day old")
def test_what_a_killed_run_stored_goes_before_anyone_can_be_forgotten(tmp_path: Path) -> None:
    folder = tmp_path / "library"
    _fill(folder, tmp_path / "originals")
    late = tmp_path / "late.mp4"
    late.write_bytes(b"anna-late-zq7" * 100)

    def store() -> None:
        Library.open(folder).store_clip_file(late)
        os.kill(os.getpid(), signal.SIGKILL)

    run = multiprocessing.get_context("fork").Process(target=store)
    run.start()
    run.join()
    assert b"anna-late-zq7" in _bytes_of(folder)
    with Library.open(folder) as library:
        library.forget_pupil("anna")
    assert b"anna-late-zq7" not in _bytes_of(folder)
    _check_only_bert(folder)


def test_while_another_run_reads_the_rest_waits_for_the_next_opening(tmp_path: Path) -> None:
    folder = tmp_path / "library"
    _fill(folder, tmp_path / "originals")
    with Library.open(folder) as library:
        library._connection.execute("PRAGMA busy_timeout = 20")
        reader = sqlite3.connect(folder / "library.db", isolation_level=None)
        reader.execute("BEGIN")
        reader.execute("SELECT * FROM pupil").fetchall()
        with pytest.raises(MachineError, match="Close the other run"):
            library.forget_pupil("anna")
        assert [p.id for p in library.pupils()] == ["bert"]
        reader.close()
    _check_after_reopening(folder)


def test_file_held_by_another_program_keeps_the_pupil_marked(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    folder = tmp_path / "library"
    _fill(folder, tmp_path / "originals")

    def held(self: Path, missing_ok: bool = False) -> None:
        raise PermissionError(13, "The process cannot access the file")

    with Library.open(folder) as library, monkeypatch.context() as patch:
        patch.setattr(Path, "unlink", held)
        with pytest.raises(MachineError, match="Close the program"):
            library.forget_pupil("anna")
        with Library.open(folder) as other:  # the rest of the library is of use meanwhile
            assert other.finished_forgetting == ()
            assert other.pupil("bert").id == "bert"
    with Library.open(folder) as library:
        (done,) = library.finished_forgetting
    assert done.out_of_reach == ("anna-handed-zq7, to anna-whom-zq7 on 2026-03-14",)
    _check_only_bert(folder)


def _check_after_reopening(folder: Path) -> None:
    with Library.open(folder):
        pass
    _check_only_bert(folder)


def _forget_and_die(folder: Path, at: int) -> None:
    """Forget anna; be killed at the given statement or file removal, counted from 1."""
    count = 0

    def step(statement: str = "") -> None:
        nonlocal count
        if statement.startswith("--"):  # inside a trigger: its statement stands for it
            return
        count += 1
        if count == at:
            os.kill(os.getpid(), signal.SIGKILL)

    unlink = Path.unlink

    def counted(self: Path, missing_ok: bool = False) -> None:
        step()
        unlink(self, missing_ok)

    library = Library.open(folder)
    library._connection.set_trace_callback(step)
    Path.unlink = counted  # type: ignore[method-assign]
    library.forget_pupil("anna")
    os._exit(0)


@pytest.mark.skipif(sys.platform in ("win32", "darwin"), reason="needs fork")
def test_killed_at_any_step_it_is_finished_by_the_next_opening(tmp_path: Path) -> None:
    prepared = tmp_path / "prepared"
    _fill(prepared, tmp_path / "originals")
    context = multiprocessing.get_context("fork")
    killed = 0
    for at in range(1, 200):
        folder = tmp_path / str(at)
        shutil.copytree(prepared, folder)
        run = context.Process(target=_forget_and_die, args=(folder, at))
        run.start()
        run.join()
        if run.exitcode == 0:
            break
        assert run.exitcode == -signal.SIGKILL
        killed += 1
        with Library.open(folder) as library:
            # stopped before the pupil was marked, it has not begun: the coach still sees the pupil and asks again
            if any(p.id == "anna" for p in library.pupils()):
                assert set(_left(folder, "anna")) == {*_WHAT, "clip", "id"}
                library.forget_pupil("anna")
        _check_only_bert(folder)
        shutil.rmtree(folder)
    assert run.exitcode == 0
    assert killed > 15
