"""Which rows travel with a packed lesson: no table may be forgotten, and nothing private may go along unnoticed."""

import re
import sqlite3
from pathlib import Path

import pytest
from library_samples import fill, measure, shot, swing, trace

from review.errors import BadInputError
from review.library import Library, read_archived
from review.library.schema_steps import STEPS
from review.library.travelling import BLANK, STAYS, TRAVELS

_PRIVATE = re.compile(r"private|note|pain|injur|secret|forgotten|process|held_s")


@pytest.fixture
def library(tmp_path: Path) -> Library:
    return Library.open(tmp_path / "library")


def test_every_table_is_named_as_travelling_or_as_staying(library: Library) -> None:
    tables = set(library.tables())
    assert tables - TRAVELS - set(STAYS) == set(), "name the new table in review/library/travelling.py"
    assert TRAVELS | set(STAYS) == tables
    assert not TRAVELS & set(STAYS)


def test_every_travelling_table_is_reached_from_the_lesson(library: Library) -> None:
    fill(library)
    assert set(library.rows_of_lesson("l1")) == TRAVELS


def test_columns_that_sound_private_stay(library: Library) -> None:
    found = {
        (table, row["name"])
        for table in TRAVELS
        for row in library._connection.execute(f"PRAGMA table_info({table})")
        if _PRIVATE.search(row["name"])
    }
    assert found == set(BLANK)


def test_only_rows_of_the_lesson_travel(library: Library) -> None:
    fill(library)
    for lesson_id in ("l1", "l2"):
        if lesson_id == "l2":
            library.add_lesson(library.lesson("l1").__class__("l2", "p1", library.lesson("l1").held_on))
        library.add_shots(lesson_id, [shot(f"{lesson_id}-r", 1)])
        own = swing(f"{lesson_id}-s", 1, shot=shot(f"{lesson_id}-r", 1), trace=trace(f"{lesson_id}-t"))
        library.replace_swings(lesson_id, [own])
        library.set_measures(f"{lesson_id}-s", [measure()], "body 1")
    rows = library.rows_of_lesson("l1")
    assert [row["id"] for row in rows["swing"]] == ["l1-s"]
    assert [row["swing_id"] for row in rows["measure"]] == ["l1-s"]
    assert [row["id"] for row in rows["trace"]] == ["l1-t"]
    assert len(rows["pupil"]) == len(rows["lesson"]) == 1


def test_rows_of_an_older_schema_are_brought_to_todays() -> None:
    """Rows as the first schema wrote them, by its own statements."""
    connection = sqlite3.connect(":memory:")
    connection.row_factory = sqlite3.Row
    connection.executescript(STEPS[0])
    connection.execute(
        "INSERT INTO pupil (id, name, handedness, is_minor, private_note) VALUES ('p1', 'Name', 'left', 0, '')"
    )
    connection.execute("INSERT INTO lesson VALUES ('l1', 'p1', '2026-03-14', 'bay', 'aim', '[]', '[]', '[]', 'alone')")
    connection.execute("INSERT INTO batch VALUES ('b1', 'l1', 1, NULL, 'cue', 'feel', '6-iron', 1)")
    sha = "a" * 64
    connection.execute(
        "INSERT INTO clip VALUES ('c1', 'l1', NULL, ?, ?, 'a.mp4', '', NULL, NULL, 1, 2, 60, 1, 0.5)",
        (sha, f"clips/{sha}.mp4"),
    )
    old = {
        table: [dict(row) for row in connection.execute(f"SELECT * FROM {table}")]
        for table in ("pupil", "lesson", "batch", "clip")
    }
    connection.close()
    with read_archived(old, 1, "l1") as read:
        (clip,) = read.clips("l1")
        assert (clip.content, clip.time_scale_source, clip.strikes) == (sha, "", ())
        assert read.lesson("l1").batches[0].ball == ""
        assert read.schema_version == len(STEPS)
    with pytest.raises(BadInputError, match="newer version"), read_archived(old, len(STEPS) + 1, "l1"):
        pass
