"""Opening: new, old, newer, foreign and damaged libraries; several runs at once."""

import hashlib
import multiprocessing
import sqlite3
import sys
from contextlib import closing
from pathlib import Path

import pytest
from filled_tables import fill_tables, list_tables
from library_samples import clip, fill, lesson, pupil, swing, trace

from review.errors import BadInputError, MachineError
from review.library import Library, rows
from review.library.database import explain
from review.library.migrations import migrate
from review.library.schema_steps import STEPS

# a shipped step is never edited, since libraries made by it are out there; a change is a new step
_SHIPPED = (
    "c6d855732b75bb17",
    "e0c059909561087a",
    "c7bff1b32d265347",
    "bab25f5254f16c94",
    "d310d4246c003f9f",
    "a66fe55e29fee69b",
    "4d40573f5766f7a9",
    "258b4f2fde84d33c",
    "84258395a2e533db",
    "da564d0783d1d94c",
    "0dfc4f0ebe237893",
    "e466acc471090d84",
    "7f746e9c9d5113ea",
    "7944edc8530e3309",
    "564898601abaa556",
    "a03c85129848dd52",
    "b7dcdc97ba17a10d",
)
_CLIP_BEFORE_PARTS = {
    *("id", "sha256", "file", "original_name", "camera", "view", "captured_at", "captured_resolution_s", "duration_s"),
    *("n_frames", "time_scale", "time_scale_source", "strike_s"),
}


def _schema(database: Path) -> set[tuple[str, str]]:
    with sqlite3.connect(database) as connection:
        return {
            (name, " ".join(sql.split()))
            for name, sql in connection.execute("SELECT name, sql FROM sqlite_master WHERE sql IS NOT NULL")
        }


def test_shipped_steps_are_as_they_were() -> None:
    digests = tuple(hashlib.sha256(step.encode()).hexdigest()[:16] for step in STEPS)
    assert digests[: len(_SHIPPED)] == _SHIPPED


def test_new_library_has_the_newest_schema_and_its_safeguards(tmp_path: Path) -> None:
    with Library.open(tmp_path / "a" / "b") as library:
        values = {
            name: library._connection.execute(f"PRAGMA {name}").fetchone()[0]
            for name in ("user_version", "journal_mode", "foreign_keys", "secure_delete")
        }
    assert values == {"user_version": len(STEPS), "journal_mode": "wal", "foreign_keys": 1, "secure_delete": 1}
    assert {p.name for p in (tmp_path / "a" / "b").iterdir()} == {"library.db", "clips", "derived", "voice"}


@pytest.mark.parametrize("version", range(len(STEPS)))
def test_library_of_every_older_version_is_brought_forward(tmp_path: Path, version: int) -> None:
    folder = tmp_path / "old"
    folder.mkdir()
    with sqlite3.connect(folder / "library.db") as old:
        for step in STEPS[:version]:
            old.executescript(step)
        old.execute(f"PRAGMA user_version = {version}")
    old.close()
    with Library.open(folder) as library:
        fill(library)
        assert library.lesson("l1") == lesson()
    with Library.open(tmp_path / "new"):
        pass
    assert _schema(folder / "library.db") == _schema(tmp_path / "new" / "library.db")


@pytest.mark.parametrize("version", range(1, len(STEPS)))
def test_rows_of_every_older_version_come_along(tmp_path: Path, version: int) -> None:
    """A row in every table of that version, word by word what it was, wherever the column still has its name."""
    with sqlite3.connect(tmp_path / "library.db") as old:
        for step in STEPS[:version]:
            old.executescript(step)
        fill_tables(old, "owner", frozenset({"chore", "stored"}))  # these are work to be done
        old.execute(f"PRAGMA user_version = {version}")
        old.row_factory = sqlite3.Row
        before = {t: dict(old.execute(f"SELECT * FROM {t}").fetchone() or {}) for t in list_tables(old)}
    old.close()
    with closing(sqlite3.connect(tmp_path / "library.db", isolation_level=None)) as connection:
        connection.row_factory = sqlite3.Row
        connection.execute("PRAGMA foreign_keys = ON")
        migrate(connection)
        assert connection.execute("PRAGMA foreign_key_check").fetchall() == []
        for table, row in before.items():
            kept = [dict(found) for found in connection.execute(f"SELECT * FROM {table}")]
            assert not row or any(all(one[c] == row[c] for c in one.keys() & row.keys()) for one in kept), table


def test_traces_of_the_first_version_stay_with_their_swing(tmp_path: Path) -> None:
    with sqlite3.connect(tmp_path / "library.db") as old:
        old.executescript(STEPS[0])
        for table, values in (
            ("pupil", {k: v for k, v in rows.from_pupil(pupil()).items() if k != "consent_withdrawn"}),
            ("lesson", rows.from_lesson(lesson())),
            (
                "swing",
                {
                    "id": "s1",
                    "lesson_id": "l1",
                    "position": 1,
                    "kind": "shot",
                    "pairing_source": "",
                    "left_out": "",
                },
            ),
            (
                "trace",
                {k: v for k, v in rows.from_trace(trace("t1"), "").items() if k != "lesson_id"} | {"swing_id": "s1"},
            ),
        ):
            marks = ", ".join(f":{name}" for name in values)
            old.execute(f"INSERT INTO {table} ({', '.join(values)}) VALUES ({marks})", values)
        old.execute("PRAGMA user_version = 1")
    old.close()
    with Library.open(tmp_path) as library:
        (kept,) = library.swings("l1")
        assert kept.trace is not None
        assert kept.trace.id == "t1"
        assert [t.id for t in library.traces("l1")] == ["t1"]


def test_step_that_fails_leaves_the_old_version(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    with Library.open(tmp_path) as library:
        fill(library)
    before = _schema(tmp_path / "library.db")
    with monkeypatch.context() as patch:
        patch.setattr("review.library.migrations.STEPS", (*STEPS, "CREATE TABLE half (id); CREATE TABLE pupil (id)"))
        with pytest.raises(MachineError):
            Library.open(tmp_path)
    assert _schema(tmp_path / "library.db") == before
    with Library.open(tmp_path) as library:
        assert library.lesson("l1") == lesson()


def _text(path: Path) -> None:
    path.write_text("this is a letter, not a library\n" * 50)


def _newer(path: Path) -> None:
    with sqlite3.connect(path) as other:
        other.execute("CREATE TABLE pupil (id)")
        other.execute(f"PRAGMA user_version = {len(STEPS) + 1}")
    other.close()


def _foreign(path: Path, version: int = 0) -> None:
    with sqlite3.connect(path) as other:
        other.execute("CREATE TABLE songs (title)")
        other.execute(f"PRAGMA user_version = {version}")
    other.close()


def _foreign_of_same_version(path: Path) -> None:
    _foreign(path, len(STEPS))


@pytest.mark.parametrize(
    ("make", "words"),
    [
        (_text, "no library of this tool"),
        (_newer, "newer version.*Update the program"),
        (_foreign, "another program.*songs"),
        (_foreign_of_same_version, "another program.*songs"),
    ],
)
def test_what_is_no_library_is_refused_and_left_alone(tmp_path: Path, make, words: str) -> None:
    make(tmp_path / "library.db")
    before = (tmp_path / "library.db").read_bytes()
    with pytest.raises(BadInputError, match=words):
        Library.open(tmp_path)
    assert (tmp_path / "library.db").read_bytes() == before
    assert [p.name for p in tmp_path.iterdir()] == ["library.db"]


def test_no_library_is_made_unasked(tmp_path: Path) -> None:
    with pytest.raises(BadInputError, match="no library"):
        Library.open(tmp_path / "none", create=False)
    assert not (tmp_path / "none").exists()


def test_a_file_in_the_way(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("x")
    for folder in (tmp_path / "file", tmp_path / "file" / "below"):
        with pytest.raises(BadInputError, match="in the way"):
            Library.open(folder)


def test_damaged_library_is_named(tmp_path: Path) -> None:
    with Library.open(tmp_path) as library:
        fill(library)
    database = tmp_path / "library.db"
    content = bytearray(database.read_bytes())
    content[4096:] = b"\xff" * (len(content) - 4096)  # all pages after the first
    database.write_bytes(content)
    with pytest.raises(BadInputError, match="damaged"), Library.open(tmp_path) as library:
        library.pupils()


@pytest.mark.parametrize(
    ("said", "kind", "words"),
    [  # texts of SQLite's result codes, https://www.sqlite.org/rescode.html
        ("database or disk is full", MachineError, "disk is full"),
        ("database is locked", MachineError, "in use"),
        ("attempt to write a readonly database", MachineError, "may be written"),
        ("unable to open database file", MachineError, "may be written"),
        ("database disk image is malformed", BadInputError, "damaged"),
        ("file is not a database", BadInputError, "no library"),
    ],
)
def test_complaints_of_the_database_are_put_into_words(said: str, kind: type, words: str) -> None:
    told = explain(sqlite3.OperationalError(said), Path("library.db"))
    assert isinstance(told, kind)
    assert words in str(told)


def _open_and_add(folder: Path, number: int, gate, answers) -> None:
    gate.wait()
    try:
        with Library.open(folder) as library:
            for i in range(5):
                with library.transaction():
                    library.add_pupil(pupil(f"p{number}-{i}", f"Pupil {number}"))
                    library.add_lesson(lesson(f"l{number}-{i}", f"p{number}-{i}"))
                    library.replace_swings(f"l{number}-{i}", [swing(f"s{number}-{i}", 1)])
        answers.put("")
    except Exception as error:
        answers.put(repr(error))
        raise


def test_four_runs_open_a_new_library_at_once(tmp_path: Path) -> None:
    context = multiprocessing.get_context("spawn" if sys.platform in ("win32", "darwin") else "fork")
    for attempt in range(3):
        gate, answers = context.Barrier(4), context.Queue()
        folder = tmp_path / str(attempt)
        runs = [context.Process(target=_open_and_add, args=(folder, n, gate, answers)) for n in range(4)]
        for run in runs:
            run.start()
        assert [answers.get(timeout=60) for _ in runs] == [""] * 4
        for run in runs:
            run.join()
        with Library.open(folder) as library:
            assert len(library.pupils()) == 20
            assert all(len(library.swings(each.id)) == 1 for each in library.lessons())


def test_waiting_for_a_run_that_writes_ends_in_words(tmp_path: Path) -> None:
    with Library.open(tmp_path) as one, Library.open(tmp_path) as other:
        other._connection.execute("PRAGMA busy_timeout = 20")
        with one.transaction():
            one.add_pupil(pupil())
            assert other.pupils() == ()  # reading goes on meanwhile
            with pytest.raises(MachineError, match="in use by another run"):
                other.add_pupil(pupil("p2"))
        other.add_pupil(pupil("p2"))
        assert len(one.pupils()) == 2


def fill_twice(library: Library, id: str = "p1") -> None:
    library.add_pupil(pupil(id))
    library.add_pupil(pupil(id))


def test_transaction_is_all_or_nothing_and_an_inner_one_fails_alone(tmp_path: Path) -> None:
    with Library.open(tmp_path) as library:
        with pytest.raises(ValueError, match="refuses"), library.transaction():
            fill_twice(library)
        assert library.pupils() == ()
        with library.transaction():
            library.add_pupil(pupil())
            with pytest.raises(ValueError, match="refuses"), library.transaction():
                fill_twice(library, "p2")
            library.add_pupil(pupil("p3"))
        assert {p.id for p in library.pupils()} == {"p1", "p3"}
        # clips are stored before, so that nobody waits while a file is copied; forgetting is a step of its own
        with library.transaction():
            with pytest.raises(ValueError, match="before the transaction"):
                library.store_clip_file(tmp_path / "x.mp4")
            with pytest.raises(ValueError, match="inside a transaction"):
                library.forget_pupil("p1")


def test_clips_of_a_version_without_parts_are_whole_files_and_keep_what_was_made_of_them(tmp_path: Path) -> None:
    before_parts = 5
    known = {k: v for k, v in rows.from_clip(clip("c1")).items() if k in _CLIP_BEFORE_PARTS} | {"lesson_id": "l1"}
    kept = tmp_path / "derived" / "landmarks" / "a.npz"
    kept.parent.mkdir(parents=True)
    kept.write_bytes(b"landmarks")
    with sqlite3.connect(tmp_path / "library.db") as old:
        for step in STEPS[:before_parts]:
            old.executescript(step)
        for table, values in (
            ("pupil", {k: v for k, v in rows.from_pupil(pupil()).items() if k != "consent_withdrawn"}),
            ("lesson", rows.from_lesson(lesson())),
            ("clip", known),
            ("derived", {"file": "derived/landmarks/a.npz", "clip_sha256": known["sha256"]}),
        ):
            marks = ", ".join(f":{name}" for name in values)
            old.execute(f"INSERT INTO {table} ({', '.join(values)}) VALUES ({marks})", values)
        old.execute(f"PRAGMA user_version = {before_parts}")
    old.close()
    with Library.open(tmp_path) as library:
        assert library.clips("l1") == (clip("c1"),)
        assert library.footage_of(clip("c1")).end_s is None
        library.forget_pupil("p1")
    assert not kept.exists()
