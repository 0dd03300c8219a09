"""Search over what was written: whatever case and accents, no command of the search, nothing left after forgetting."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from library_samples import clip, lesson, pupil, swing

from review.lesson import Batch, Drawing, DrawingKind, KeyFrame
from review.library import Library

WORDS = ("Zürcher Knöchel", "NAÏVE elbow", "quuxword")


@pytest.fixture
def library(tmp_path: Path) -> Iterator[Library]:
    with Library.open(tmp_path / "library") as opened:
        opened.add_pupil(pupil(private_note="Sore Zürcher Knöchel"))
        batches = (
            Batch("b1", 1, None, "", "", "6-iron"),
            Batch("b2", 2, None, "Turn the BELT early", "a naïve elbow", "6-iron"),
        )
        opened.add_lesson(lesson(batches=batches, practice_plan=("früh drehen", "ten with a ball")))
        opened.add_pupil(pupil("p2", "Another"))
        opened.add_lesson(lesson("l2", "p2", date(2026, 5, 1), aim="turn late"))
        yield opened


def _find(library: Library, text: str) -> list[tuple[str, str]]:
    return [(found.what, found.words) for found in library.find_written(text)]


@pytest.mark.parametrize(
    ("text", "what"),
    [
        ("belt early", "cue"),
        ("EARLY turn", "cue"),
        ("NAIVE", "feel"),
        ("elb", "feel"),
        ("knochel", "private note"),
        ("KNÖCHEL", "private note"),
        ("fruh", "practice"),
        ("belt, early!", "cue"),
    ],
)
def test_case_accents_order_and_word_beginnings_do_not_matter(library: Library, text: str, what: str) -> None:
    assert [found.what for found in library.find_written(text)] == [what]


def test_a_hit_says_whose_and_when_the_last_lesson_first(library: Library) -> None:
    found = library.find_written("turn")
    assert [(f.pupil_name, f.what, f.held_on, f.batch_number) for f in found] == [
        ("Another", "cue", date(2026, 5, 1), 2),
        ("Another", "aim", date(2026, 5, 1), 0),
        ("Test Pupil", "cue", date(2026, 3, 14), 2),
    ]
    assert library.find_written("knochel")[0].held_on is None
    assert len(library.find_written("turn", limit=2)) == 2


@pytest.mark.parametrize(
    "text",
    [
        *('"', "'; DROP TABLE pupil; --", "belt AND (", "NEAR(belt turn, 2)", "words : belt", "^belt -", "*", "", "  "),
        *(
            'belt" OR "turn',
            "\0",
            "belt\0*",
            "{belt turn}",
            "+ + +",
            "%",
            "_",
            "\N{COMBINING ACUTE ACCENT}",
            "a" * 100_000,
        ),
    ],
)
def test_nothing_in_a_query_is_a_command(library: Library, text: str) -> None:
    for found in library.find_written(text):
        assert "belt" in found.words.casefold()
    assert len(library.pupils()) == 2


def test_what_is_changed_or_taken_back_is_found_so(library: Library) -> None:
    held = library.lesson("l1")
    library.update_lesson(
        replace(held, batches=(held.batches[0], replace(held.batches[1], cue="", feel="hands quiet")))
    )
    assert (_find(library, "belt early"), _find(library, "naive")) == ([], [])
    assert _find(library, "quiet") == [("feel", "hands quiet")]
    library.update_lesson(replace(held, batches=held.batches[:1], aim="", practice_plan=()))
    assert [_find(library, text) for text in ("quiet", "hips", "fruh")] == [[], [], []]
    library.update_pupil(pupil())
    assert _find(library, "knochel") == []


def test_notes_on_clips_go_with_the_clip(library: Library) -> None:
    library.add_clip("l1", clip("c1"))
    library.replace_swings("l1", [swing("s1", 1, clips=(clip("c1"),))])
    for note in ("elbow touches", "elbow far"):
        library.set_key_frames("c1", [KeyFrame("P", 0.5, 30, 1.0, "coach", note)])
    library.add_drawing("c1", Drawing("d1", DrawingKind.TEXT, ((1.0, 2.0),), 0.0, 1.0, "see elbow"))
    assert set(_find(library, "elbow")) == {("mark", "elbow far"), ("drawing", "see elbow"), ("feel", "a naïve elbow")}
    library.move_swings("l1", library.swings("l1"), "l2", {"s1": "l2-2"})
    assert {f.pupil_name for f in library.find_written("elbow") if f.what != "feel"} == {"Another"}
    library.remove_drawing("c1", "d1")
    library.remove_mark("c1", "P")
    assert _find(library, "elbow") == [("feel", "a naïve elbow")]


def test_of_a_forgotten_pupil_no_word_is_left(library: Library) -> None:
    """Not in the index either, which keeps words apart and folded."""
    library.update_pupil(pupil(private_note="Sore Zürcher Knöchel quuxword"))
    library.update_pupil(pupil(private_note="Sore Zürcher Knöchel"))
    before = _find(library, "late")
    library.forget_pupil("p1")
    library.close()
    for word in (b"cher", b"chel", b"knochel", b"naive", b"belt early", b"elbow", b"quux", b"fruh"):
        for path in library.folder.rglob("*"):
            assert not path.is_file() or word not in path.read_bytes().lower(), (word, path)
    with Library.open(library.folder) as again:
        assert _find(again, "late") == before == [("aim", "turn late")]
        assert again._execute("INSERT INTO written_words (written_words) VALUES ('integrity-check')") is not None


def test_a_library_of_before_is_taken_in(tmp_path: Path) -> None:
    """The step finds what was written before there was a search."""
    import sqlite3

    from review.library.migrations import statements_of
    from review.library.schema_steps import STEPS
    from review.library.searching import STEP

    at = next(n for n, step in enumerate(STEPS) if STEP in step)
    (tmp_path / "old").mkdir()
    connection = sqlite3.connect(tmp_path / "old" / "library.db")
    for step in STEPS[:at]:
        for statement in statements_of(step):
            connection.execute(statement)
    connection.execute(f"PRAGMA user_version = {at}")
    connection.execute(
        "INSERT INTO pupil VALUES ('p', 'Old', 'right', NULL, 0, NULL, 'sore knee', NULL, NULL, NULL, NULL, 0, NULL)"
    )
    connection.execute(
        """INSERT INTO lesson VALUES ('l', 'p', '2020-01-02', '', 'aim high', '[]', '[]', '["fr\\u00fch"]', '')"""
    )
    connection.commit()
    connection.close()
    with Library.open(tmp_path / "old") as library:
        assert [_find(library, text) for text in ("knee", "high", "fruh")] == [
            [("private note", "sore knee")],
            [("aim", "aim high")],
            [("practice", "früh")],
        ]
